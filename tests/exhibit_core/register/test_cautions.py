import pytest

from exhibit_core.register.cautions import DEFER, cautions_for
from exhibit_core.register.models import Hazard, MuseumObject


@pytest.mark.parametrize("hazard", Hazard.values)
def test_each_hazard_has_a_caution_that_defers(hazard):
    (caution,) = cautions_for(MuseumObject(hazards=[hazard]))
    assert caution.title == Hazard(hazard).label
    assert caution.words.endswith(f". {DEFER}")


def test_restricted_material_calls_for_permits():
    """Trade in ivory is regulated by CITES and by national law: both countries are asked."""
    (caution,) = cautions_for(MuseumObject(restricted_materials="elephant ivory"))
    assert caution.title == "restricted material: elephant ivory"
    assert "permit" in caution.words
    assert "authorities of both countries" in caution.words


def test_object_without_hazard_has_no_caution():
    assert cautions_for(MuseumObject()) == []
