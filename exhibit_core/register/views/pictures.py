"""Pictures of an object: shown, added and removed."""

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from exhibit_core.accounts.rights import Right
from exhibit_core.register import actions
from exhibit_core.register.access import object_for, picture_for
from exhibit_core.register.forms import PictureForm
from exhibit_core.register.pictures import LONGEST_SIDE_PX
from exhibit_core.web.answers import attempt, status_of
from exhibit_core.web.render import page

# What is stored was encoded by the register itself; anything else is not served.
CONTENT_TYPES = {"jpg": "image/jpeg", "png": "image/png"}
AN_HOUR = 3600


def picture(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """Serve a picture in one of its sizes."""
    row = picture_for(request.user, pk)
    if size not in LONGEST_SIDE_PX:
        raise Http404
    stored = getattr(row, size)
    content_type = CONTENT_TYPES.get(stored.name.rpartition(".")[2])
    if content_type is None or not stored.storage.exists(stored.name):
        raise Http404
    response = FileResponse(stored.open("rb"), content_type=content_type)
    response["Content-Disposition"] = "inline"
    response["Cache-Control"] = f"private, max-age={AN_HOUR}"
    return response


def add(request: HttpRequest, pk: int) -> HttpResponse:
    obj = object_for(request.user, pk, Right.MEASURE)
    form = PictureForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        added = attempt(
            form,
            lambda: actions.add_picture(
                obj=obj,
                file=form.cleaned_data["file"],
                caption=form.cleaned_data["caption"],
                by=request.user,
            ),
        )
        if added is not None:
            messages.success(request, f"Added a picture of {obj.number}.")
            return redirect("register:object", pk)
    context = {"object": obj, "form": form}
    return page(request, "register/add_picture.html", context, status=status_of(form))


def remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then remove a picture: its files go with it, so there is no way back."""
    row = picture_for(request.user, pk, Right.MEASURE)
    obj = row.object
    if request.method == "POST":
        actions.remove_picture(picture=row, by=request.user)
        messages.success(request, f"Removed the picture of {obj.number}.")
        return redirect("register:object", obj.pk)
    return page(request, "register/remove_picture.html", {"object": obj, "picture": row})
