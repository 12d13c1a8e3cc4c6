"""Answer health probes before host checks and redirects can refuse them."""

from collections.abc import Callable

from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse


class HealthMiddleware:
    """`/healthz`: the process answers. `/readyz`: database reachable and migrated, else 503."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path == "/healthz":
            return HttpResponse("ok\n", content_type="text/plain")
        if request.path == "/readyz":
            return _ready()
        return self._get_response(request)


def _ready() -> HttpResponse:
    try:
        executor = MigrationExecutor(connection)
        waiting = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except DatabaseError:
        return HttpResponse("database does not answer\n", status=503, content_type="text/plain")
    if waiting:
        return HttpResponse("migrations are waiting\n", status=503, content_type="text/plain")
    return HttpResponse("ready\n", content_type="text/plain")
