"""The only way to a row of the register."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from exhibit_core.accounts.access import can, require
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.register.models import Lender, Measurement, MuseumObject, Picture
from exhibit_core.register.queries import lenders, objects_with_everything

FIELD_RIGHTS = {
    "value": Right.EDIT_MONEY,
    "currency": Right.EDIT_MONEY,
    "max_lux": Right.SET_LIMITS,
    "hazards": Right.SET_LIMITS,
    "hazard_note": Right.SET_LIMITS,
}
PRIVATE_FIELDS = frozenset({"value", "currency"})


def objects_for(user: User, right: Right = Right.SEE) -> QuerySet[MuseumObject]:
    require(user, right)
    return objects_with_everything()


def object_for(user: User, pk: int, right: Right = Right.SEE) -> MuseumObject:
    return get_object_or_404(objects_for(user, right), pk=pk)


def measurement_for(user: User, object_pk: int, pk: int, right: Right = Right.SEE) -> Measurement:
    require(user, right)
    rows = Measurement.objects.select_related("object")
    return get_object_or_404(rows, object_id=object_pk, pk=pk)


def picture_for(user: User, pk: int, right: Right = Right.SEE) -> Picture:
    require(user, right)
    return get_object_or_404(Picture.objects.select_related("object"), pk=pk)


def lenders_for(user: User, right: Right = Right.SEE) -> QuerySet[Lender]:
    require(user, right)
    return lenders()


def lender_for(user: User, pk: int, right: Right = Right.SEE) -> Lender:
    return get_object_or_404(lenders_for(user, right), pk=pk)


def editable_fields(user: User, names: list[str]) -> list[str]:
    """Keep the fields of an object that this person may change."""
    return [name for name in names if can(user, FIELD_RIGHTS.get(name, Right.EDIT_REGISTER))]
