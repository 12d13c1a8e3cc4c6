"""How long it takes to preview and bring in 10,000 rows: `python -m tests.bench.imports`.

Each step is told with its processor time beside that which openpyxl needs to read the same workbook
read-only (the median of three), and with the most memory that the process held while it ran.
"""

import os
import random
import statistics
import threading
import time
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import django

import exhibit_core.testing  # noqa: F401  (sets the environment before settings are read)

ROWS = 10_000
TIMES = 3
WORDS = (
    *("cloud", "rain", "wind", "vane", "brass", "paper", "kite", "study", "barometer", "storm"),
    *("sea", "chart", "ink", "wash", "glass", "tube", "column", "mercury", "north", "tower"),
)
HEADINGS = (
    *("Inv.-Nr.", "Titel", "Objektart", "Hersteller", "Datierung", "Jahr von", "Jahr bis", "Ort"),
    *("Material", "Technik", "Inschrift", "Beschreibung", "Creditline", "Leihgeber"),
    *("Versicherungswert", "Währung", "Höhe (mm)", "Breite (mm)", "Maße gerahmt", "Lux"),
)


def write_workbook(path: Path, *, rows: int = ROWS, seed: int = 7) -> None:
    """Write an invented list of 20 columns, its texts in a table of shared strings."""
    from openpyxl import Workbook

    from tests.exhibit_core.exchange.files import saved, with_shared_texts

    draw = random.Random(seed)  # noqa: S311

    def words(count: int) -> str:
        return " ".join(draw.choices(WORDS, k=count))

    book = Workbook()
    book.active.title = "Objects"
    book.active.append(HEADINGS)
    for n in range(rows):
        year = 1700 + n % 200
        book.active.append(
            [
                *(f"{1900 + n % 97}.{n % 211}.{n}", f"{words(4)} {n}", words(1), words(2)),
                *(f"about {year}", year - 5, year + 5, words(1), words(3), words(2)),
                *(f"{words(5)} {n}", f"{words(12)} {n}", words(4), f"Lender {n % 40}"),
                *(1000 + n, "EUR", 200 + n % 900, 150 + n % 700),
                *(f"{draw.uniform(20, 90):.1f} x {draw.uniform(15, 70):.1f} x 3 cm", 50),
            ]
        )
    path.write_bytes(with_shared_texts(saved(book)))


def seconds(act: Callable[[], object]) -> tuple[float, float]:
    """Return how long an act took, and how much processor time, which neighbours do not spoil."""
    start, busy = time.perf_counter(), time.process_time()
    act()
    return time.perf_counter() - start, time.process_time() - busy


class PeakMemory:
    """Watch the resident memory of this process while a block runs."""

    def __enter__(self) -> "PeakMemory":
        self.start = self.peak = _resident_mb()
        self._running = True
        self._watch = threading.Thread(target=self._look, daemon=True)
        self._watch.start()
        return self

    def _look(self) -> None:
        while self._running:
            self.peak = max(self.peak, _resident_mb())
            time.sleep(0.02)

    def __exit__(self, *_error: object) -> None:
        self._running = False
        self._watch.join()


def _resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1_048_576


def read_with_openpyxl(path: Path) -> None:
    from openpyxl import load_workbook

    book = load_workbook(path, read_only=True, data_only=True)
    if (count := sum(1 for _ in book.worksheets[0].iter_rows(values_only=True))) != ROWS + 1:
        raise ValueError(f"openpyxl read {count} rows")


class Import:
    """One list on its way in, step by step."""

    def __init__(self, path: Path, by: object) -> None:
        self.path = path
        self.by = by

    def send(self) -> None:
        from tests.exhibit_core.exchange.flow import send

        self.list = send(self.path.read_bytes(), by=self.by, name="list.xlsx")

    def preview(self) -> None:
        from tests.exhibit_core.exchange.flow import match

        match(self.list, by=self.by)

    def bring_in(self) -> None:
        from tests.exhibit_core.exchange.flow import bring_in

        bring_in(self.list, by=self.by)
        if not self.list.is_applied:
            raise ValueError(self.list.job.words)


def main() -> None:
    from django.conf import settings
    from django.core.management import call_command
    from django.urls import reverse

    from exhibit_core.register.models import MuseumObject
    from tests.factories import LenderFactory, UserFactory

    call_command("migrate", verbosity=0)
    reverse("exchange:index")  # loads every page's code, as a worker has long done
    for n in range(40):
        LenderFactory(name=f"Lender {n}")
    path = Path(settings.DATA_DIR) / "list.xlsx"
    write_workbook(path)
    reads = [seconds(lambda: read_with_openpyxl(path)) for _ in range(TIMES)]
    took, plain = (statistics.median(values) for values in zip(*reads, strict=True))
    print(f"{ROWS} rows of {len(HEADINGS)} columns, {path.stat().st_size / 1e6:.1f} MB")
    print(f"{'step':<34}{'s':>7}{'busy s':>8}{'× openpyxl':>12}{'peak MB':>9}")
    print(f"{'read with openpyxl, read-only':<34}{took:>7.2f}{plain:>8.2f}{1:>12.2f}")

    def told(name: str, act: Callable[[], object]) -> None:
        with PeakMemory() as memory:
            took, busy = seconds(act)
        print(f"{name:<34}{took:>7.2f}{busy:>8.2f}{busy / plain:>12.2f}{memory.peak:>9.0f}")

    new = Import(path, UserFactory(roles=["registrar"]))
    told("send: check, look, keep", new.send)
    told("preview, all new", new.preview)
    told("bring in, all new", new.bring_in)
    told("send again", new.send)
    told("preview, all unchanged", new.preview)
    MuseumObject.objects.update(maker="someone else", value=Decimal(1))
    told("preview, all changed", new.preview)
    told("bring in, all changed", new.bring_in)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "exhibit_core.settings")
    django.setup()
    main()
