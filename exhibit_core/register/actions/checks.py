"""Check many rows as `full_clean` checks one, with the same few queries however many they are."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from django.core.exceptions import ValidationError
from django.db import models

from exhibit_core.register.models import Measurement, MuseumObject

AT_ONCE = 900
SIZES = ("height_mm", "width_mm", "depth_mm", "diameter_mm", "mass_g")


def check_objects(changed: Sequence[tuple[MuseumObject, Collection[str]]]) -> None:
    """Raise the first object's ValidationError, its `obj` the object; takes the changed fields."""
    if len(changed) == 1:
        changed[0][0].full_clean()
        return
    for obj, names in changed:
        _check(obj, names)
        if None not in (obj.year_from, obj.year_to) and obj.year_from > obj.year_to:
            raise _error(obj, message_of(MuseumObject, "object_years_in_order"))
    _check_numbers([obj for obj, names in changed if not obj.pk or "number" in names])


def check_measurements(rows: Sequence[Measurement]) -> None:
    """Raise the first record's ValidationError, its `obj` the record."""
    if len(rows) == 1:
        rows[0].full_clean(validate_unique=False)
        return
    for row in rows:
        _check(row, ())
        if not any(getattr(row, name) for name in SIZES):
            raise _error(row, message_of(Measurement, "measurement_says_something"))


def message_of(model: type[models.Model], constraint: str) -> str:
    found = {each.name: each for each in model._meta.constraints}
    return str(found[constraint].violation_error_message)


def _check(row: models.Model, names: Collection[str]) -> None:
    """Check the fields of a new row, or those of a known row that changed."""
    left_out = {
        field.name
        for field in row._meta.concrete_fields
        if field.is_relation or (row.pk and field.name not in names)
    }
    try:
        row.clean_fields(exclude=left_out)
        row.clean()
    except ValidationError as error:
        error.obj = row
        raise


def _check_numbers(objects: Sequence[MuseumObject]) -> None:
    counts = Counter(obj.number for obj in objects)
    numbers, owners = list(counts), {}
    for start in range(0, len(numbers), AT_ONCE):
        rows = MuseumObject.objects.filter(number__in=numbers[start : start + AT_ONCE])
        owners |= dict(rows.values_list("number", "pk"))
    for obj in objects:
        if counts[obj.number] > 1 or _is_another(obj, owners):
            raise _error(obj, f"Another object has the number {obj.number}.", field="number")


def _is_another(obj: MuseumObject, owners: Mapping[str, int]) -> bool:
    return obj.number in owners and owners[obj.number] != obj.pk


def _error(row: models.Model, sentence: str, *, field: str = "") -> ValidationError:
    error = ValidationError({field: [sentence]} if field else sentence)
    error.obj = row
    return error
