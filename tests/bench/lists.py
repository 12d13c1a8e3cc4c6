"""How long a page of a list of 10,000 objects takes: `python -m tests.bench.lists`.

Each look is answered several times and the median told: the whole page as the server makes it,
reading its rows alone, and a plain SELECT of the same rows by hand, to which reading is compared.
"""

import os
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

import django

import exhibit_core.testing  # noqa: F401  (sets the environment before settings are read)

ROWS = 10_000
SECTIONS = 6
TIMES = 7
PLAIN = """
    SELECT e.*, o.*, s.* FROM exhibitions_listentry e
    JOIN register_museumobject o ON o.id = e.object_id
    LEFT JOIN exhibitions_section s ON s.id = e.section_id
    WHERE e.exhibition_id = %s AND {where} ORDER BY {order} LIMIT {limit} OFFSET {offset}
"""
STORY = "s.position, e.position, o.number_key"


@dataclass(frozen=True)
class Look:
    name: str
    query: str
    order: str = STORY
    where: str = "1 = 1"
    offset: int = 0
    limit: int = 50


LOOKS = (
    Look("page 1", ""),
    Look("last page", f"page={ROWS // 50}", offset=ROWS - 50),
    Look(
        "search",
        "words=etude+777",
        where="o.search_text LIKE '%%etude%%' AND o.search_text LIKE '%%777%%'",
    ),
    Look("sort by title", "sort=title", order="o.title, o.number_key"),
    Look(
        "by stage and type",
        "stage=selected&object_type=kite",
        where="e.stage = 'selected' AND o.object_type = 'kite'",
    ),
    Look("200 rows", "per=200", limit=200),
)


def fill():
    """Make an exhibition whose list has a size for every object."""
    from exhibit_core.exhibitions.models import ListEntry
    from exhibit_core.register.models import Measurement, MuseumObject
    from tests.factories import ExhibitionFactory, LenderFactory, SectionFactory

    exhibition = ExhibitionFactory()
    sections = [SectionFactory(exhibition=exhibition) for _ in range(SECTIONS)]
    lenders = [LenderFactory() for _ in range(40)]
    kinds = ("kite", "barometer", "sea chart", "storm flag", "cloud study")
    objects = []
    for n in range(ROWS):
        obj = MuseumObject(
            number=f"{1900 + n % 97}.{n % 211}.{n}",
            title=f"Étude {n * 7919 % ROWS} of the sky",
            object_type=kinds[n % len(kinds)],
            lender=lenders[n % 80] if n % 80 < 40 else None,
        )
        obj.derive()
        objects.append(obj)
    MuseumObject.objects.bulk_create(objects, batch_size=500)
    Measurement.objects.bulk_create(
        [
            Measurement(object=obj, state="framed", height_mm=200 + n % 900, width_mm=150 + n % 700)
            for n, obj in enumerate(objects)
        ],
        batch_size=500,
    )
    stages = [code for code in ListEntry.Stage.values if code != ListEntry.Stage.WITHDRAWN]
    ListEntry.objects.bulk_create(
        [
            ListEntry(
                exhibition=exhibition,
                object=obj,
                section=sections[n % SECTIONS],
                position=n,
                stage=stages[n % len(stages)],
            )
            for n, obj in enumerate(objects)
        ],
        batch_size=500,
    )
    return exhibition


def milliseconds(act: Callable[[], object]) -> float:
    took = []
    for _ in range(TIMES):
        start = time.perf_counter()
        act()
        took.append(time.perf_counter() - start)
    return statistics.median(took) * 1000


def main() -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.test.utils import setup_test_environment
    from django.urls import reverse

    from tests.factories import UserFactory

    setup_test_environment()
    call_command("migrate", verbosity=0)
    exhibition = fill()
    client = Client()
    client.force_login(UserFactory(roles=["curator"]))
    address = reverse("exhibitions:list", args=[exhibition.pk])
    print(f"{ROWS} entries; median of {TIMES}, in ms")
    print(f"{'look':<28}{'page':>8}{'reading':>9}{'SELECT':>8}{'ratio':>7}")
    for look in LOOKS:
        page, reading, plain = measured(look, client, address, exhibition)
        print(f"{look.name:<28}{page:>8.1f}{reading:>9.1f}{plain:>8.1f}{reading / plain:>7.1f}")
    change = f"{reverse('exhibitions:change', args=[exhibition.pk])}"
    start = time.perf_counter()
    answer = client.post(change, {"all": "matching", "expected": ROWS, "shown_on": "case"})
    print(
        f"change all {ROWS} in one act: {time.perf_counter() - start:.2f} s, {answer.status_code}"
    )


def measured(look: Look, client, address: str, exhibition) -> tuple[float, float, float]:
    """Return what the page, its rows alone, and the plain SELECT took; all must agree on rows."""
    from django.core.paginator import Paginator
    from django.db import connection
    from django.http import QueryDict

    from exhibit_core.exhibitions import queries
    from exhibit_core.exhibitions.forms import NarrowForm

    form = NarrowForm(QueryDict(look.query), exhibition=exhibition)
    if not form.is_valid():
        raise ValueError(form.errors)

    def page():
        return client.get(f"{address}?{look.query}")

    def read():
        rows = queries.ordered(
            queries.narrowed(exhibition, form.asked()), form.cleaned_data["sort"]
        )
        keys = Paginator(rows.values_list("pk", flat=True), form.rows_on_a_page)
        return queries.entries_shown(list(keys.get_page(QueryDict(look.query).get("page"))))

    def plain():
        with connection.cursor() as cursor:
            cursor.execute(PLAIN.format(**vars(look)), [exhibition.pk])
            return cursor.fetchall()

    shown = [line.entry.pk for line in page().context["rows"]]
    if not shown or not shown == [entry.pk for entry in read()] == [row[0] for row in plain()]:
        raise ValueError(f"{look.name}: page, reading and SELECT do not agree on the rows")
    return milliseconds(page), milliseconds(read), milliseconds(plain)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "exhibit_core.settings")
    django.setup()
    main()
