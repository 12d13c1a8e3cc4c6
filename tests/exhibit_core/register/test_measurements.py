import pytest
from django.core.exceptions import ValidationError

from exhibit_core.history.queries import history_of
from exhibit_core.history.undo import undo_batch
from exhibit_core.register.actions import add_measurement, withdraw_measurement
from exhibit_core.register.models import Measurement
from exhibit_core.web.errors import RefusedError
from tests.factories import MuseumObjectFactory

VALUES = {"state": "framed", "basis": "measured", "height_mm": 400, "width_mm": 300, "mass_g": 2500}


def states():
    return list(Measurement.objects.values_list("height_mm", "withdrawn"))


def test_add_measurement_is_kept_and_undone(make_person):
    obj, person = MuseumObjectFactory(number="7.1"), make_person("technician")
    add_measurement(obj=obj, values=VALUES, by=person)
    (entry,) = history_of(obj)
    assert entry.sentence == (
        "Recorded the size of 7.1, framed, measured: height 400 mm, width 300 mm, weight 2500 g"
    )
    undo_batch(batch=entry.batch, by=person)
    assert states() == [(400, True)]


def test_withdraw_measurement_is_undone(make_person):
    obj, person = MuseumObjectFactory(), make_person("technician")
    row = add_measurement(obj=obj, values=VALUES, by=person)
    withdraw_measurement(measurement=row, by=person)
    assert states() == [(400, True)]
    undo_batch(batch=history_of(obj)[0].batch, by=person)
    assert states() == [(400, False)]


def test_withdraw_twice_is_refused(make_person):
    row = add_measurement(obj=MuseumObjectFactory(), values=VALUES, by=make_person("registrar"))
    withdraw_measurement(measurement=row, by=row.recorded_by)
    with pytest.raises(RefusedError, match="withdrawn already"):
        withdraw_measurement(measurement=row, by=row.recorded_by)


def test_undo_without_right_is_refused(make_person):
    obj = MuseumObjectFactory()
    add_measurement(obj=obj, values=VALUES, by=make_person("technician"))
    with pytest.raises(RefusedError, match="does not let you record dimensions"):
        undo_batch(batch=history_of(obj)[0].batch, by=make_person("graphic_designer"))
    assert states() == [(400, False)]


@pytest.mark.parametrize(
    ("values", "said"),
    [({}, "at least one dimension"), ({"height_mm": 100_001}, "over 100000 mm: check the unit")],
)
def test_add_measurement_refuses(make_person, values, said):
    obj, person = MuseumObjectFactory(), make_person("technician")
    with pytest.raises(ValidationError, match=said):
        add_measurement(obj=obj, values=values, by=person)
    assert states() == []
