"""Undo, from any page that offers it."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from exhibit_core.history.undo import undo_batch
from exhibit_core.web.answers import return_to
from exhibit_core.web.errors import RefusedError


@require_POST
def undo(request: HttpRequest, batch: uuid.UUID) -> HttpResponse:
    try:
        entries = undo_batch(batch=batch, by=request.user)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
    else:
        words = entries[0].sentence if len(entries) == 1 else f"{len(entries)} changes"
        messages.success(request, f"Undone: {words}.")
    return redirect(return_to(request, default="/"))
