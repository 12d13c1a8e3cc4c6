"""The only way to a hang or one of its versions."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from exhibit_core.accounts.access import require
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, HangVersion, KeptPlace


def hangs_for(user: User, exhibition_pk: int, right: Right = Right.SEE) -> QuerySet[Hang]:
    require(user, right)
    return Hang.objects.filter(exhibition=exhibition_pk)


def hang_for(user: User, pk: int, right: Right = Right.SEE) -> Hang:
    require(user, right)
    return get_object_or_404(Hang.objects.select_related("exhibition__venue"), pk=pk)


def version_for(user: User, pk: int, right: Right = Right.SEE) -> HangVersion:
    require(user, right)
    rows = HangVersion.objects.select_related("hang__exhibition__venue", "made_by", "accepted_by")
    return get_object_or_404(rows, pk=pk)


def rule_for(user: User, hang_pk: int, pk: int, right: Right = Right.HANG) -> HangRule:
    require(user, right)
    return get_object_or_404(
        HangRule.objects.select_related("hang", "section"), hang=hang_pk, pk=pk
    )


def place_for(user: User, hang_pk: int, pk: int, right: Right = Right.HANG) -> FixedPlace:
    require(user, right)
    rows = FixedPlace.objects.select_related("hang", "entry__object", "wall__room")
    return get_object_or_404(rows, hang=hang_pk, pk=pk)


def kept_for(user: User, hang_pk: int, pk: int, right: Right = Right.HANG) -> KeptPlace:
    require(user, right)
    rows = KeptPlace.objects.select_related("hang", "section")
    return get_object_or_404(rows, hang=hang_pk, pk=pk)
