"""Long work as rows that a worker claims."""

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models


class Job(models.Model):
    """One piece of long work: `kind` names its handler, `result` may carry a `url` to open."""

    class State(models.TextChoices):
        WAITING = "waiting", "waiting"
        RUNNING = "running", "running"
        DONE = "done", "done"
        FAILED = "failed", "failed"
        CANCELLED = "cancelled", "cancelled"

    kind = models.CharField(max_length=60)
    title = models.CharField(max_length=200)
    payload = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    percent = models.PositiveSmallIntegerField(default=0)
    words = models.CharField(max_length=500, blank=True)
    result = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    cancel_asked = models.BooleanField(default=False)
    attempts = models.PositiveSmallIntegerField(default=0)
    worker = models.CharField(max_length=80, blank=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    heartbeat = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["state", "id"], name="job_queue")]
        constraints = [
            models.CheckConstraint(condition=models.Q(percent__lte=100), name="job_percent_0_100")
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def ended(self) -> bool:
        return self.state in {self.State.DONE, self.State.FAILED, self.State.CANCELLED}

    @property
    def is_failed(self) -> bool:
        return self.state == self.State.FAILED
