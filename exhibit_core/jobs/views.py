"""Watch a job, and stop it."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRedirect

from exhibit_core.jobs import actions, queries
from exhibit_core.jobs.models import Job
from exhibit_core.web.errors import RefusedError
from exhibit_core.web.render import page, wants_fragment


def _require_insider(request: HttpRequest) -> None:
    if not request.user.roles:
        raise Http404


def index(request: HttpRequest) -> HttpResponse:
    _require_insider(request)
    jobs = Paginator(queries.recent_jobs(), 50).get_page(request.GET.get("page"))
    return page(request, "jobs/index.html", {"page_obj": jobs})


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far a job is; when it is done, go to what it made."""
    _require_insider(request)
    job = get_object_or_404(Job.objects.select_related("asked_by"), pk=pk)
    if job.state == Job.State.DONE and (url := job.result.get("url")):
        if wants_fragment(request):
            return HttpResponseClientRedirect(url)
        if "stay" not in request.GET:
            return HttpResponseRedirect(url)
    return page(request, "jobs/detail.html", {"job": job}, partial="progress")


@require_POST
def cancel(request: HttpRequest, pk: int) -> HttpResponse:
    _require_insider(request)
    job = get_object_or_404(Job, pk=pk)
    if job.asked_by_id != request.user.pk and "administrator" not in request.user.roles:
        raise PermissionDenied("Only who asked for this job, or an administrator, may stop it.")
    try:
        actions.cancel(job=job)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "The job is asked to stop.")
    return redirect("jobs:detail", pk=pk)
