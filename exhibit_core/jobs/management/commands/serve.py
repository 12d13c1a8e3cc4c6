"""Serve the application with its own worker, for one machine."""

from django.core.management.base import BaseCommand
from gunicorn.app.base import BaseApplication

from exhibit_core.jobs.server import worker_beside
from exhibit_core.wsgi import application


class _Server(BaseApplication):
    def __init__(self, options: dict[str, object]) -> None:
        self._options = options
        super().__init__()

    def load_config(self) -> None:
        for name, value in self._options.items():
            self.cfg.set(name, value)

    def load(self):
        return application


class Command(BaseCommand):
    help = "Serve on one machine with a worker beside it; for several, run gunicorn and work."

    def add_arguments(self, parser):
        parser.add_argument("--address", default="127.0.0.1:8000")
        parser.add_argument("--threads", type=int, default=8)

    def handle(self, *, address: str, threads: int, **options):
        with worker_beside():
            _Server({"bind": address, "threads": threads, "loglevel": "warning"}).run()
