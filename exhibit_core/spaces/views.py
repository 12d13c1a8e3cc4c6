"""Pages of venues, rooms and walls."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.history.queries import history_of
from exhibit_core.spaces import actions, queries
from exhibit_core.spaces.access import room_for, venue_for, venues_for, wall_for
from exhibit_core.spaces.forms import PART_FORMS, RoomForm, VenueForm, WallForm
from exhibit_core.spaces.models import Room, Venue, Wall
from exhibit_core.web.answers import attempt, posted, return_to, status_of, tell_done
from exhibit_core.web.errors import RefusedError
from exhibit_core.web.render import page

RECENT = 20
PART_WORDS = {"blocked": "a blocked area", "light": "a light zone", "fixing": "fixings"}


def index(request: HttpRequest) -> HttpResponse:
    venues = venues_for(request.user)
    rows = [(venue, queries.running(queries.venue_walls(venue))) for venue in venues]
    return page(request, "spaces/index.html", {"rows": rows})


def new_venue(request: HttpRequest) -> HttpResponse:
    venues_for(request.user, Right.EDIT_SPACES)
    form = VenueForm(posted(request))
    if made := _added(request, form):
        return redirect("spaces:venue", made.pk)
    return page(request, "spaces/new_venue.html", {"form": form}, status=status_of(form))


def venue(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a venue's rooms in the visitor's order, and add one."""
    row = venue_for(request.user, pk, _right(request))
    form = RoomForm(posted(request), instance=Room(venue=row))
    if made := _added(request, form):
        return redirect("spaces:room", made.pk)
    walls = queries.venue_walls(row)
    rooms = [
        (room, queries.running([w for w in walls if w.room_id == room.pk]))
        for room in row.rooms.all()
    ]
    context = {
        "venue": row,
        "rooms": rooms,
        "running": queries.running(walls),
        "form": form,
        "entries": history_of(row)[:RECENT],
    }
    return page(request, "spaces/venue.html", context, status=status_of(form))


def edit_venue(request: HttpRequest, pk: int) -> HttpResponse:
    row = venue_for(request.user, pk, Right.EDIT_SPACES)
    return _edited(request, row, VenueForm, "spaces:venue", pk)


def room(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a room's walls in the visitor's order, and add one."""
    row = room_for(request.user, pk, _right(request))
    form = WallForm(posted(request), instance=Wall(room=row))
    if made := _added(request, form):
        return redirect("spaces:wall", made.pk)
    walls = [wall for wall in queries.venue_walls(row.venue) if wall.room_id == row.pk]
    context = {
        "room": row,
        "walls": [(wall, queries.running([wall])) for wall in walls],
        "form": form,
        "entries": history_of(row)[:RECENT],
    }
    return page(request, "spaces/room.html", context, status=status_of(form))


def edit_room(request: HttpRequest, pk: int) -> HttpResponse:
    row = room_for(request.user, pk, Right.EDIT_SPACES)
    return _edited(request, row, RoomForm, "spaces:room", pk)


@require_POST
def move_room(request: HttpRequest, pk: int) -> HttpResponse:
    row = room_for(request.user, pk, Right.EDIT_SPACES)
    actions.move(row=row, later=request.POST.get("to") == "later", by=request.user)
    return redirect("spaces:venue", row.venue_id)


def wall(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a wall as an elevation, with what blocks it, lights it and carries it."""
    row = wall_for(request.user, pk)
    context = {
        "wall": row,
        # The drawing is made of numbers and escaped words by our own code alone.
        "drawing": mark_safe(queries.drawing_of(row)),  # noqa: S308
        "running": queries.running([row]),
        "entries": history_of(row)[:RECENT],
    }
    return page(request, "spaces/wall.html", context)


def edit_wall(request: HttpRequest, pk: int) -> HttpResponse:
    row = wall_for(request.user, pk, Right.EDIT_SPACES)
    return _edited(request, row, WallForm, "spaces:wall", pk)


@require_POST
def move_wall(request: HttpRequest, pk: int) -> HttpResponse:
    row = wall_for(request.user, pk, Right.EDIT_SPACES)
    actions.move(row=row, later=request.POST.get("to") == "later", by=request.user)
    return redirect("spaces:room", row.room_id)


def add_part(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Add a blocked area, a light zone or fixings to a wall."""
    row = wall_for(request.user, pk, Right.EDIT_SPACES)
    form_class = _part_form(kind)
    form = form_class(posted(request), instance=form_class._meta.model(wall=row))
    if _added(request, form):
        return redirect("spaces:wall", pk)
    context = {"form": form, "wall": row, "kind": kind, "heading": f"Add {PART_WORDS[kind]}"}
    return page(request, "spaces/part.html", context, status=status_of(form))


def edit_part(request: HttpRequest, pk: int, kind: str, part_pk: int) -> HttpResponse:
    row = wall_for(request.user, pk, Right.EDIT_SPACES)
    form_class = _part_form(kind)
    part = get_object_or_404(form_class._meta.model, pk=part_pk, wall=row)
    form = form_class(posted(request), instance=part)
    if _changed(request, form):
        return redirect("spaces:wall", pk)
    context = {"form": form, "wall": row, "kind": kind, "heading": f"Change {part}"}
    return page(request, "spaces/part.html", context, status=status_of(form))


@require_POST
def remove(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Remove a venue, a room, a wall or a part of a wall, and offer to undo it."""
    row, onward = _row_and_owner(request, kind, pk)
    try:
        actions.remove(row=row, by=request.user)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
        return redirect(return_to(request, default=reverse("spaces:index")))
    _told(request, f"Removed {row}.", onward)
    return redirect(*onward)


def _row_and_owner(request: HttpRequest, kind: str, pk: int) -> tuple[Any, tuple[Any, ...]]:
    """Return the row to remove and the address of the page that owned it."""
    if kind == "venue":
        return venue_for(request.user, pk, Right.EDIT_SPACES), ("spaces:index",)
    if kind == "room":
        row = room_for(request.user, pk, Right.EDIT_SPACES)
        return row, ("spaces:venue", row.venue_id)
    if kind == "wall":
        row = wall_for(request.user, pk, Right.EDIT_SPACES)
        return row, ("spaces:room", row.room_id)
    venues_for(request.user, Right.EDIT_SPACES)
    part = get_object_or_404(_part_form(kind)._meta.model.objects.select_related("wall"), pk=pk)
    return part, ("spaces:wall", part.wall_id)


def _told(request: HttpRequest, words: str, onward: tuple[Any, ...]) -> None:
    owners: dict[str, type[Model]] = {
        "spaces:venue": Venue,
        "spaces:room": Room,
        "spaces:wall": Wall,
    }
    if model := owners.get(onward[0]):
        entry = history_of(model(pk=onward[1])).first()
        if entry is not None:
            tell_done(request, words, entry.batch)
            return
    messages.success(request, words)


def _right(request: HttpRequest) -> Right:
    return Right.SEE if request.method in {"GET", "HEAD"} else Right.EDIT_SPACES


def _part_form(kind: str) -> type[forms.ModelForm]:
    if kind not in PART_FORMS:
        raise Http404
    return PART_FORMS[kind]


def _added(request: HttpRequest, form: forms.ModelForm) -> Any:
    if request.method != "POST" or not form.is_valid():
        return None
    made = attempt(form, lambda: actions.add(row=form.instance, by=request.user))
    if made:
        messages.success(request, f"Added {made}.")
    return made


def _changed(request: HttpRequest, form: forms.ModelForm) -> Any:
    if request.method != "POST" or not form.is_valid():
        return None
    saved = attempt(
        form,
        lambda: actions.change(row=form.instance, values=form.cleaned_data, by=request.user),
    )
    if saved:
        messages.success(request, f"Saved {saved}.")
    return saved


def _edited(
    request: HttpRequest, row: Any, form_class: type[forms.ModelForm], onward: str, pk: int
) -> HttpResponse:
    form = form_class(posted(request), instance=row)
    if _changed(request, form):
        return redirect(onward, pk)
    context = {"form": form, "row": row, "back": onward}
    return page(request, "spaces/edit.html", context, status=status_of(form))
