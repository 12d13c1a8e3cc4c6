"""Set up the furnished demonstration and serve it on this machine."""

import shutil
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from exhibit_core.demo import hanging, loader


class Command(BaseCommand):
    help = "Load the invented exhibition, compute its hang, write its sheets and serve it all."

    def add_arguments(self, parser):
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--fresh", action="store_true", help="start over: remove the old demo")
        parser.add_argument("--address", default="127.0.0.1:8000")

    def handle(self, *, no_serve: bool, fresh: bool, address: str, **options):
        if not settings.DEMO:
            raise CommandError("Run it as `python manage.py demo`, or set EVENHANG_MODE=demo.")
        if fresh:
            self._start_over()
        settings.DATA_DIR.mkdir(parents=True, exist_ok=True)
        call_command("migrate", verbosity=0)
        call_command("collectstatic", interactive=False, verbosity=0)
        self._furnish()
        self._list_sheets()
        if no_serve:
            return
        self.stdout.write(self.style.SUCCESS(f"\nOpen http://{address}/ and enter as any role."))
        self.stdout.write("Ctrl+C ends it; running the command again goes on where you left off.")
        call_command("serve", address=address)

    def _furnish(self) -> None:
        if loader.is_loaded():
            self.stdout.write("The demonstration is there already; --fresh starts over.")
            return
        exhibition = loader.load(tell=self._tell)
        for version in hanging.hang(exhibition, tell=self._tell):
            hanging.write(version, loader.sheets_folder())

    def _tell(self, words: str) -> None:
        self.stdout.write(f"  {words}")

    def _list_sheets(self) -> None:
        sheets = sorted(p for p in loader.sheets_folder().rglob("*") if p.is_file())
        self.stdout.write("Sheets:")
        for path in sheets:
            self.stdout.write(f"  {_short(path)}")

    def _start_over(self) -> None:
        """Remove only what the demonstration made: its database, pictures and sheets."""
        connection.close()
        if connection.vendor != "sqlite":
            raise CommandError("--fresh removes the embedded database only; empty yours by hand.")
        database = Path(settings.DATABASES["default"]["NAME"])
        for path in database.parent.glob(f"{database.name}*"):
            path.unlink()
        for folder in (settings.MEDIA_ROOT, settings.SHEETS_ROOT, settings.IMPORTS_ROOT):
            shutil.rmtree(folder, ignore_errors=True)


def _short(path: Path) -> Path:
    try:
        return path.relative_to(Path.cwd())
    except ValueError:
        return path
