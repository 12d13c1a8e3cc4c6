"""Reading the queue."""

from django.db.models import QuerySet

from exhibit_core.jobs.models import Job


def recent_jobs() -> QuerySet[Job]:
    return Job.objects.select_related("asked_by").order_by("-pk")
