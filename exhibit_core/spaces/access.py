"""The only way to a venue, a room or a wall."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from exhibit_core.accounts.access import require
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.spaces.models import Room, Venue, Wall


def venues_for(user: User, right: Right = Right.SEE) -> QuerySet[Venue]:
    require(user, right)
    return Venue.objects.prefetch_related("rooms__walls")


def venue_for(user: User, pk: int, right: Right = Right.SEE) -> Venue:
    return get_object_or_404(venues_for(user, right), pk=pk)


def room_for(user: User, pk: int, right: Right = Right.SEE) -> Room:
    require(user, right)
    return get_object_or_404(Room.objects.select_related("venue"), pk=pk)


def wall_for(user: User, pk: int, right: Right = Right.SEE) -> Wall:
    require(user, right)
    rows = Wall.objects.select_related("room__venue")
    return get_object_or_404(
        rows.prefetch_related("blocked_areas", "light_zones", "fixings"), pk=pk
    )
