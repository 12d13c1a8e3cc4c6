"""Rows from CSV or JSON, decimal commas, and JSON whose lists stand in CSV files."""

import json

import pytest

from conservation.__main__ import main
from conservation.cli.common import InputError
from conservation.cli.files import read_rows, read_with_lists

ROTATION = {
    "days": 90,
    "every_days": 30,
    "hours_a_day": 8,
    "places": [{"id": "case 1", "set": "prints", "lux": 50}],
    "objects": "objects.csv",
}
OBJECTS = """id;set;longest_days;budgets.0.lux_hours;hazards
1;prints;;15000;mercury | lead
map;prints;60;;
"""
CASE = {
    "volume_m3": 0.5,
    "exchanges_a_day": [0.3, 1],
    "closes_on": "2027-03-01",
    "days": 90,
    "objects": "things.csv",
    "materials": "walls.csv",
}


def written(folder, **files):
    for name, text in files.items():
        path = folder / name.replace("_", ".")
        path.write_text(text if isinstance(text, str) else json.dumps(text), encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.csv", "what,lux,hours\nopen,50.5,10\n"),
        ("a.csv", "what;lux;hours\nopen;50,5;10\n"),
        ("a.csv", "what\tlux\thours\nopen\t50,5\t10\n"),
        ("a.json", '[{"what": "open", "lux": 50.5, "hours": 10}]'),
    ],
)
def test_csv_with_decimal_commas_and_json_are_the_same_rows(tmp_path, name, text):
    path = tmp_path / name
    path.write_text(text)
    (row,) = read_rows(str(path), ("lux", "hours"), ("what",))
    assert (row.text("what"), row.number("lux"), row.number("hours")) == ("open", 50.5, 10.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[1]", "row 1: give a JSON object of columns"),
        ('[{"lux": [1]}]', "row 1: lux must be a number or text"),
        ('[{"lux": true}]', "row 1: lux must be a number or text"),
        ("[]", "has no rows"),
        ('[{"hours": 1}]', "lacks the column lux"),
        ('[{"lux": NaN}]', "no number of JSON"),
        ('[{"lux": 1', "this is not JSON"),
    ],
)
def test_json_rows_that_cannot_be_used_end_in_a_sentence(tmp_path, text, words):
    path = tmp_path / "a.json"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        [row.number("lux") for row in read_rows(str(path), ("lux",))]
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_null_in_a_row_is_an_empty_cell(tmp_path):
    path = tmp_path / "a.json"
    path.write_text('[{"lux": null}]')
    (row,) = read_rows(str(path), ("lux",))
    assert row.number("lux", 7.0) == 7.0


def test_objects_of_a_rotation_stand_in_a_csv_file(tmp_path, capsys):
    folder = written(tmp_path, rotation_json=ROTATION, objects_csv=OBJECTS)
    lists = {"objects": ("hazards",)}
    assert read_with_lists(str(folder / "rotation.json"), lists)["objects"] == [
        {
            "id": "1",
            "set": "prints",
            "budgets": [{"lux_hours": 15000}],
            "hazards": ["mercury", "lead"],
        },
        {"id": "map", "set": "prints", "longest_days": 60},
    ]
    assert main(["rotate", str(folder / "rotation.json")]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["status"] == "optimal"
    assert {stay["object"] for stay in plan["stays"]} == {"1", "map"}


def test_objects_and_materials_of_a_case_stand_in_csv_files(tmp_path, capsys):
    folder = written(
        tmp_path,
        case_json=CASE,
        things_csv="id,materials,rh_percent.0,rh_percent.1\nseal,lead | paper,40,55.5\n",
        walls_csv="name,test.ratings.silver,test.tested_on\nMDF,P,2020-01-01\n",
    )
    main(["case", str(folder / "case.json")])
    words = capsys.readouterr()
    assert words.err == ""
    assert "seal" in words.out
    assert "MDF" in words.out


def test_pieces_to_light_stand_in_a_csv_file(tmp_path, capsys):
    problem = {"pieces": "pieces.csv", "luminaires": [{"id": "L"}]}
    pieces = "id,corner_mm.0,corner_mm.1,corner_mm.2,width_mm,height_mm,facing_deg\nA,0,0,,9,9,90\n"
    folder = written(tmp_path, aim_json=problem, pieces_csv=pieces)
    assert main(["aim", str(folder / "aim.json")]) == 2
    # The empty third coordinate is what is wrong with the piece.
    assert "pieces[0].corner_mm is [0, 0]: give x, y and z" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("objects", "words"),
    [
        (None, "objects.csv cannot be opened"),
        ("id;set\n", "objects.csv has no rows"),
        ("id;set;set.more\nA;prints;1\n", "set has a column of its own"),
        ("id;set;days\nA;prints;1\n", "unknown field 'days'"),
        ("id;set;longest_days\nA;prints;soon\n", "longest_days is 'soon'"),
        ("id;set;longest_days\nA;prints\n", "line 2: 2 cells where the head has 3"),
    ],
)
def test_lists_that_cannot_be_used_end_in_a_sentence(tmp_path, capsys, objects, words):
    written(tmp_path, rotation_json=ROTATION)
    if objects is not None:
        written(tmp_path, objects_csv=objects)
    assert main(["rotate", str(tmp_path / "rotation.json")]) == 2
    assert words in capsys.readouterr().err


def test_readings_as_json_are_read_like_an_export(tmp_path, capsys):
    path = tmp_path / "a.json"
    rows = [
        {"time": f"2026-01-30 {hour}:00", "temp_c": 20.1, "rh_percent": 48 + hour - 22}
        for hour in (22, 23)
    ]
    path.write_text(json.dumps(rows))
    assert main(["climate", str(path), "--rule", "record"]) == 0
    record = json.loads(capsys.readouterr().out)["record"]
    assert record["readings"] == 2
    humid = next(c for c in record["courses"] if c["quantity"] == "relative humidity")
    assert (humid["least"], humid["most"]) == (48, 49)
