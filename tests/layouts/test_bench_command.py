"""The one command that measures, at sizes that take a moment; timings are never asserted."""

import random
from itertools import permutations

import pytest

from layouts.__main__ import main
from layouts.bench import library
from layouts.bench.command import MEASURED
from layouts.bench.hanging import hangs
from layouts.bench.instances import exhibition
from layouts.bench.memory import memory
from layouts.bench.repeating import answers, cores
from layouts.bench.resolving import CHANGES, resolve
from layouts.bench.symmetry import closed_form


def test_every_measurement_has_a_name():
    assert [*MEASURED] == [
        *("hangs", "resolve", "mirrored", "rows", "cluster", "related", "memory", "same")
    ]


@pytest.mark.parametrize("count", range(1, 8))
def test_closed_form_is_the_least_of_all_orders(count):
    widths = [random.Random(count).randint(100, 400) for _ in range(count)]  # noqa: S311
    assert closed_form(widths) == min(
        sum(abs(row[n] - row[-1 - n]) for n in range(count // 2)) for row in permutations(widths)
    )


def test_hangs_are_counted_and_compared(capsys):
    assert hangs(16, 2, 1, 1.0) == 0
    told = capsys.readouterr().out
    assert [line.split()[0] for line in told.splitlines()[4:6]] == ["perfect", "rough"]
    assert "2 of 2 proved, 2 within 1 mm of the bound" in told
    assert "0 demands broken" in told


def test_changes_change_what_they_say():
    data = exhibition(20, 2, 0, planted=True)
    names = {p["id"] for p in data["pieces"]}
    for change in CHANGES:
        after = exhibition(20, 2, 0, planted=True)
        change(after, random.Random(1))  # noqa: S311
        now = {p["id"] for p in after["pieces"]}
        grown = {"resized": 0, "withdrawn": -1, "added": 1}[change.__name__]
        assert (len(now) - len(names), after != data) == (grown, True)
        assert all(set(group) <= now for group in after["together"])


def test_hanging_again_is_compared_with_hanging_afresh(capsys):
    assert resolve(16, 2, 1) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[1] for line in lines[2:5]] == ["resized", "withdrawn", "added"]


def test_memory_of_the_search_is_more_than_of_nothing(capsys):
    assert memory(8, 2) == 0
    words = capsys.readouterr().out.split()
    peak, empty = (int(words[n - 1]) for n, word in enumerate(words) if word == "MB")
    assert 0 < empty < peak


def test_seeds_and_problems_are_told_apart_by_their_digests():
    one, other = (exhibition(6, 2, seed, planted=True) for seed in (0, 1))
    told = answers([one, other, one], cores()[:1])
    assert told[0] == told[2] != told[1]


def test_missing_library_is_named_with_its_cure(monkeypatch, capsys):
    def gone(name):
        raise ModuleNotFoundError(name)

    monkeypatch.setattr(library, "import_module", gone)
    assert main(["bench", "--what", "rows"]) == 1
    assert "pip install rectpack" in capsys.readouterr().err
