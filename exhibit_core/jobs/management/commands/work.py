"""Run waiting jobs until told to stop."""

import signal

from django.core.management.base import BaseCommand

from exhibit_core.jobs.runner import StopFlag, run_waiting, work


class Command(BaseCommand):
    help = "Run waiting jobs until SIGTERM or Ctrl+C; several may run on several machines."

    def add_arguments(self, parser):
        parser.add_argument("--once", action="store_true", help="end when no job is waiting")

    def handle(self, *, once: bool, **options):
        if once:
            self.stdout.write(f"{run_waiting()} jobs ran.")
            return
        flag = StopFlag()
        signal.signal(signal.SIGTERM, flag.stop)
        signal.signal(signal.SIGINT, flag.stop)
        work(until=flag)
