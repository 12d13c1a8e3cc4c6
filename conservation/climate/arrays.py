"""Arrays of readings: checked against a range, and computed block by block to spare memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from conservation.ranges import ConservationError, OutOfRangeError

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
V = TypeVar("V", float, FloatArray)

BLOCK = 1 << 15
LARGEST_COUNT = 20_000_000


class NotEnoughReadingsError(ConservationError):
    """The readings are too few, too short or too broken for what was asked."""


def checked(name: str, values: ArrayLike, least: float, most: float, unit: str) -> FloatArray:
    """Return the values as floats, or raise OutOfRangeError at the first outside [least, most].

    NaN marks a missing reading and passes. Range: 20 000 000 values. Source: none, definition.

    >>> checked("The temperature", [20.0, float("nan")], -60, 80, "°C")
    array([20., nan])
    """
    try:
        given = np.asarray(values)
        if given.dtype.kind not in "iufO":
            raise TypeError
        array = given.astype(np.float64, copy=False)
    except (TypeError, ValueError) as error:
        raise OutOfRangeError(name, "no number", least, most, unit) from error
    if array.size > LARGEST_COUNT:
        raise ConservationError(
            f"{name} has {array.size:,} values; at most {LARGEST_COUNT:,} are taken at once."
        )
    if array.size:
        low, high = np.fmin.reduce(array, axis=None), np.fmax.reduce(array, axis=None)
        if low < least or high > most:
            raise OutOfRangeError(name, f"{low if low < least else high:g}", least, most, unit)
    return array


def same_shape(**arrays: FloatArray | IntArray) -> None:
    """Raise ConservationError where arrays that belong together differ in length.

    Source: none, definition.

    >>> same_shape(times=np.zeros(2), values=np.zeros(2))
    """
    sizes = {name: array.shape for name, array in arrays.items()}
    if len(set(sizes.values())) > 1:
        told = ", ".join(f"{name} {shape}" for name, shape in sizes.items())
        raise ConservationError(f"Readings that belong together differ in length: {told}.")


def blockwise(compute: Callable[..., FloatArray], *inputs: FloatArray) -> FloatArray:
    """Apply an elementwise function block by block, so that temporaries stay in the cache.

    Numbers are spread over the arrays beside them; numbers alone give a number. Source: none,
    definition.

    >>> blockwise(np.add, np.array([1.0, 2.0]), np.array(3.0))
    array([4., 5.])
    """
    try:
        spread = np.broadcast_arrays(*inputs)
    except ValueError:
        same_shape(**{f"input {n}": array for n, array in enumerate(inputs, 1)})
        raise
    shape = spread[0].shape
    if len(shape) == 0:
        return np.asarray(compute(*(array.reshape(1) for array in spread)))[0]  # type: ignore[no-any-return]
    flat = [array.reshape(-1) for array in spread]
    result = np.empty(flat[0].size)
    for start in range(0, result.size, BLOCK):
        part = slice(start, start + BLOCK)
        result[part] = compute(*(array[part] for array in flat))
    return result.reshape(shape)
