"""The development server, with a worker of its own."""

import os

from whitenoise.runserver_nostatic.management.commands.runserver import Command as Runserver

from exhibit_core.jobs.server import worker_beside


class Command(Runserver):
    help = "Serve for development and run a worker beside it."

    def run(self, **options):
        # The autoreloader runs this command twice; only its parent starts the worker.
        if os.environ.get("RUN_MAIN") == "true":
            super().run(**options)
            return
        with worker_beside():
            super().run(**options)
