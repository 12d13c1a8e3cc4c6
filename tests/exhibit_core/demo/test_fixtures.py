"""The demonstration's data files agree with each other and with the register's rules."""

import csv
import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from exhibit_core.accounts.rights import Role
from exhibit_core.demo.pictures import KINDS
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.register import money, numbers
from exhibit_core.register.models import Hazard

FOLDER = Path(__file__).parents[3] / "fixtures" / "demo"
COLUMNS = [
    "Object no.", "Title", "Kind", "Maker", "Date", "Place", "Materials", "Technique",
    "Inscriptions", "Distinguishing features", "Description", "Credit line", "Lender", "Value",
    "Currency", "Hazards", "Restricted materials", "Light limit (lx)", "Size as stated",
    "Size as measured", "Framed/mounted size", "Weight", "Section", "Stage", "Show on", "Note",
]  # fmt: skip
SIZE_COLUMNS = ("Size as stated", "Size as measured", "Framed/mounted size")
NUMBER = r"\d+(?:\.\d+)?(?: \d+/\d+)?"
SIZE = re.compile(
    rf"(?:[a-z]+: )?"
    rf"(?:{NUMBER}(?: [x×] {NUMBER}){{1,2}} (?:mm|cm|m|in\.)(?: open)?"
    rf"|(?:(?:[HWDL]|diam\.|length) {NUMBER}(?: mm|cm)?,? ?){{1,3}}(?: ?mm| ?cm)?"
    rf"|{NUMBER} in\. diam\., {NUMBER} in\. deep)"
)


def read(name: str) -> Any:
    return json.loads((FOLDER / name).read_text("utf-8"))


@pytest.fixture(scope="module")
def rows() -> list[dict[str, str]]:
    with (FOLDER / "objects.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def exhibition() -> dict[str, Any]:
    return read("exhibition.json")


def on_the_wall(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    return [row for row in rows if (row["Stage"], row["Show on"]) == ("selected", "wall")]


def test_object_list_has_the_agreed_columns_and_full_rows(rows: list[dict[str, str]]) -> None:
    assert list(rows[0]) == COLUMNS
    assert [row["Object no."] for row in rows if None in row or None in row.values()] == []


def test_object_numbers_are_unique_and_written_normally(rows: list[dict[str, str]]) -> None:
    found = [row["Object no."] for row in rows]
    assert len({numbers.natural_key(number) for number in found}) == len(found)
    assert [numbers.normal_number(number) for number in found] == found


def test_every_object_has_title_description_and_a_kind_with_a_drawing(
    rows: list[dict[str, str]],
) -> None:
    assert {row["Kind"] for row in rows} == set(KINDS)
    required = ("Title", "Description", "Maker", "Date", "Credit line", "Materials")
    assert [(row["Object no."], name) for row in rows for name in required if not row[name]] == []


def test_stages_sections_and_places_are_known(
    rows: list[dict[str, str]], exhibition: dict[str, Any]
) -> None:
    assert {row["Stage"] for row in rows} == set(ListEntry.Stage.labels)
    assert {row["Section"] for row in rows} == {s["number"] for s in exhibition["sections"]}
    assert {row["Show on"] for row in rows} == {"", "wall", "case"}
    assert [
        row["Note"] for row in rows
        if row["Stage"] == "withdrawn" and not row["Note"].startswith("Withdrawn: ")
    ] == []  # fmt: skip


def test_hazards_values_and_light_limits_follow_the_register(rows: list[dict[str, str]]) -> None:
    hazards = {word for row in rows for word in row["Hazards"].split("; ") if word}
    assert hazards <= set(Hazard.labels)
    assert {"mercury", "radioactive", "lead", "arsenic", "cellulose nitrate"} <= hazards
    for row in rows:
        if row["Value"]:
            money.check_amount(Decimal(row["Value"]), row["Currency"])
        else:
            assert row["Currency"] == ""
    assert {row["Light limit (lx)"] for row in rows} == {"50", "150", "200", "300"}


def test_sizes_and_weights_are_written_in_ways_that_can_be_read(rows: list[dict[str, str]]) -> None:
    parts = [
        part for row in rows for name in SIZE_COLUMNS for part in row[name].split("; ") if part
    ]
    assert [part for part in parts if not SIZE.fullmatch(part)] == []
    weights = [row["Weight"] for row in rows if row["Weight"]]
    assert [w for w in weights if not re.fullmatch(r"(approx\. )?\d+(\.\d+)? (kg|g)", w)] == []
    assert [row["Object no."] for row in rows if not any(row[name] for name in SIZE_COLUMNS)] == []


def test_the_troubles_of_the_trade_are_there(rows: list[dict[str, str]]) -> None:
    by_number = {row["Object no."]: row for row in rows}
    assert by_number["1898.1"]["Weight"] == "60 kg"
    assert "15 000 lx·h" in by_number["L2026.7.2"]["Note"]
    assert "from 6 June" in by_number["1929.40"]["Note"]
    assert "ivory" in by_number["1931.6.2"]["Restricted materials"]
    stated_only = [row for row in on_the_wall(rows)
                   if not row["Size as measured"] and not row["Framed/mounted size"]]  # fmt: skip
    assert len(stated_only) >= 3
    assert [row["Object no."] for row in on_the_wall(rows) if not row["Weight"]] == ["1996.5.1"]


def test_lenders_are_those_of_the_list_and_loans_name_them(rows: list[dict[str, str]]) -> None:
    lenders = read("lenders.json")
    assert {lender["name"] for lender in lenders} == {row["Lender"] for row in rows} - {""}
    assert [lender["email"] for lender in lenders if not lender["email"].endswith(".example")] == []
    for row in rows:
        assert bool(row["Lender"]) == row["Object no."].startswith("L2026.")


def test_people_hold_each_role_once() -> None:
    people = read("people.json")
    assert [role for person in people for role in person["roles"]] == Role.values
    assert len({person["username"] for person in people}) == len(people)


def test_hang_names_only_walls_sections_and_wall_objects_that_exist(
    rows: list[dict[str, str]], exhibition: dict[str, Any]
) -> None:
    walls = {wall["name"] for room in exhibition["rooms"] for wall in room["walls"]}
    sections = {section["number"] for section in exhibition["sections"]}
    hung = {row["Object no."] for row in on_the_wall(rows)}
    for hang in exhibition["hangs"]:
        assert set(hang["walls"]) <= walls
        assert set(hang["sections"]) <= sections
        named = {n for rule in hang["together"] for n in rule}
        tied = [*hang["apart"], *hang.get("near", ())]
        named |= {n for rule in tied for n in rule["objects"]}
        assert named <= hung


def test_walls_hold_their_blocked_areas_zones_and_fixings(exhibition: dict[str, Any]) -> None:
    for wall in (wall for room in exhibition["rooms"] for wall in room["walls"]):
        for area in wall["blocked"]:
            assert area["x_mm"] + area["width_mm"] <= wall["length_mm"]
            assert area["y_mm"] + area["height_mm"] <= wall["height_mm"]
        for stretches in (wall["zones"], wall["fixings"]):
            starts = [stretch["from_mm"] for stretch in stretches]
            ends = [stretch["to_mm"] for stretch in stretches]
            assert [*starts, wall["length_mm"]] == [0, *ends]
