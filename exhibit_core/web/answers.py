"""What a view answers to a form: saved, refused, or changed by someone else meanwhile."""

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import BaseForm, BoundField
from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme

from exhibit_core.web.errors import RefusedError, StaleError


@dataclass(frozen=True)
class Clash:
    """A field that someone else set to another value meanwhile."""

    label: str
    yours: str
    theirs: str


@dataclass(frozen=True)
class Stale:
    sentence: str
    clashes: list[Clash]


def posted(request: HttpRequest) -> Any:
    """Return what a form is bound to: None shows it empty."""
    return request.POST if request.method == "POST" else None


def attempt(form: BaseForm, act: Callable[[], Any]) -> Any:
    """Run an action; a refusal becomes the form's error and the answer is None."""
    try:
        return act()
    except StaleError:
        raise
    except RefusedError as refusal:
        form.add_error(None, str(refusal))
    except ValidationError as error:
        known = hasattr(error, "error_dict") and set(error.error_dict) <= set(form.fields)
        form.add_error(None, error if known else error.messages)
    return None


def tell_done(request: HttpRequest, words: str, batch: uuid.UUID) -> None:
    """Say what an act did and offer to take it back."""
    messages.success(request, words, extra_tags=f"undo:{batch}")


def tell_saved(request: HttpRequest, what: str, batch: uuid.UUID, *, changed: bool) -> None:
    """Say that a form was saved and offer to take it back, or that it changed nothing."""
    if changed:
        tell_done(request, f"Saved {what}.", batch)
    else:
        messages.info(request, f"{what} stays as it was: nothing was changed.")


def return_to(request: HttpRequest, *, default: str) -> str:
    """Return the page of our own that a form names in `next`, else where it stood, else default."""
    wanted = request.POST.get("next") or request.META.get("HTTP_REFERER", "")
    safe = url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()})
    return wanted if safe else default


def status_of(form: BaseForm) -> int:
    return 422 if form.is_bound and form.errors else 200


def both_values(form: BaseForm, stale: StaleError) -> Stale:
    """Set what was typed beside what is stored, and let the form overwrite knowingly."""
    clashes = [
        Clash(form[name].label, _words(form[name], form.cleaned_data[name]), _words(form[name], v))
        for name, v in stale.theirs.items()
        if v != form.cleaned_data[name]
    ]
    form.data = form.data.copy()
    form.data["version"] = str(stale.version)
    return Stale(str(stale), clashes)


def _words(bound: BoundField, value: Any) -> str:
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    chosen = value if isinstance(value, list) else [value]
    labels = dict(getattr(bound.field, "choices", ()))
    said = [str(labels.get(one, one)) for one in ("" if one is None else one for one in chosen)]
    return ", ".join(word for word in said if word) or "nothing"
