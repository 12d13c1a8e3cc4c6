"""Pictures of the demonstration's objects, drawn from their kind, size and seed alone."""

from collections.abc import Callable
from random import Random

from PIL import Image

from exhibit_core.demo.pictures import (
    barometers,
    heat_and_damp,
    kites,
    paper,
    posters,
    recorders,
    skies,
    vessels,
    wind,
)
from exhibit_core.demo.pictures.sheet import Sheet

_Drawing = Callable[[Sheet, str], None]

_SOLID: dict[str, _Drawing] = {
    "stick barometer": barometers.stick_barometer,
    "wheel barometer": barometers.wheel_barometer,
    "aneroid barometer": barometers.aneroid_barometer,
    "barograph": recorders.barograph,
    "thermometer": heat_and_damp.thermometer,
    "hygrometer": heat_and_damp.hygrometer,
    "weather house": heat_and_damp.weather_house,
    "glass vessel": vessels.glass_vessel,
    "rain gauge": vessels.rain_gauge,
    "anemometer": wind.anemometer,
    "weather vane": wind.weather_vane,
    "storm signal flag": wind.signal_flag,
    "signal lamp": wind.signal_lamp,
    "kite": kites.kite,
    "sunshine recorder": recorders.sunshine_recorder,
    "radiosonde": recorders.radiosonde,
    "camera": recorders.camera,
    "boxed set": recorders.boxed_set,
    "apparatus": recorders.apparatus,
    "log book": paper.log_book,
}
_FRAMED = {
    "sea chart": paper.sea_chart,
    "cloud study": skies.cloud_study,
    "cloud photograph": skies.cloud_photograph,
    "forecasting poster": posters.forecasting_poster,
}
KINDS = (*_SOLID, *_FRAMED)


def draw(
    kind: str, *, width_mm: int, height_mm: int, seed: int, title: str = "", framed: bool = True
) -> Image.Image:
    """Return the object's picture in its true proportions; the same input, the same picture.

    Words of the title may pick the motif, as in a vane "in the form of a fox".
    """
    sheet = Sheet(width_mm=width_mm, height_mm=height_mm, rng=Random(seed))  # noqa: S311
    if kind in _SOLID:
        _SOLID[kind](sheet, title)
    elif kind in _FRAMED:
        _FRAMED[kind](sheet, title, framed=framed)
    else:
        raise ValueError(f"No drawing for {kind!r}: use one of {', '.join(KINDS)}.")
    return sheet.finish()
