"""Tables: ours hold together, a museum's own lies over them, and a wrong file is told where."""

import os
import random
import threading
import tomllib
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation.light import light_limit, rule_sets, use_of_year
from conservation.materials import classify
from conservation.table_reading import STATUSES, TableError
from conservation.tables import OURS, Tables, UnknownRowError, table_names

OWN = """table = "light_limits"
title = "House limits"

[sources.house]
body = "Marrowby Museum"
title = "House rules on light"
year = 2026
edition = "House rules 2026"
status = "house rule"

[[rows]]
id = "house_r3"
source = "house"
rule_set = "house"
class = "R3"
name = "fugitive"
max_lux = 40
max_lux_h_per_year = 10_000

[[rows]]
id = "cie_157_r2"
source = "house"
rule_set = "cie_157"
class = "R2"
name = "changed here"
max_lux = 45.5
"""


def own(tmp_path, text, name="own.toml"):
    path = tmp_path / name
    if isinstance(text, bytes):
        path.write_bytes(text)
    else:
        path.write_text(text, encoding="utf-8")
    return path


def refusal(tmp_path, text):
    path = own(tmp_path, text)
    with pytest.raises(TableError) as caught:
        Tables.with_own([path])
    return str(caught.value).replace(str(path), "FILE")


def refusals(path):
    try:
        Tables.with_own([path])
    except TableError as error:
        return [fault.words for fault in error.faults]
    return []


@pytest.mark.parametrize("name", table_names())
def test_table_of_ours_reads_and_names_its_sources(name):
    table = OURS[name]
    assert table.rows
    assert len({row.id for row in table}) == len(table.rows)
    for row in table:
        source = row.source
        assert source.body
        assert source.title
        assert source.edition
        assert source.status in STATUSES
        assert row.line > 0
    raw = tomllib.loads((files("conservation") / "data" / f"{name}.toml").read_text("utf-8"))
    used = {row.source.key for row in table}
    assert set(raw["sources"]) - used == set()
    assert all(column["means"] for column in raw["columns"].values())


@pytest.mark.parametrize("name", table_names())
def test_line_of_a_row_is_where_it_stands(name):
    lines = (files("conservation") / "data" / f"{name}.toml").read_text("utf-8").splitlines()
    for row in OURS[name]:
        assert lines[row.line - 1].strip() == "[[rows]]"
        section = lines[row.line : row.line + 20]
        assert next(line for line in section if line.startswith("id")) == f'id = "{row.id}"'


def test_figure_from_memory_says_so():
    source = light_limit("R3").source
    assert source.cite().endswith("from memory: check your edition")
    assert (source.year, source.body, source.place) == (
        2004,
        "CIE, taken over by CEN",
        "CIE section 3; CEN tables 2 and 3",
    )
    assert classify(["moon dust"]).components[0].source.cite().endswith("choice of this program")


def test_own_rows_come_first_and_replace_by_id(tmp_path):
    tables = Tables.with_own([own(tmp_path, OWN)])
    assert rule_sets(tables)[0] == "house"
    limit = light_limit("R3", "house", tables=tables)
    assert (limit.max_lux, limit.source.cite()) == (40, "House rules 2026, house rule")
    assert use_of_year(5000, limit).sources[0].body == "Marrowby Museum"
    changed = light_limit("R2", tables=tables)
    assert (changed.max_lux, changed.max_lux_h_per_year) == (45.5, None)
    assert light_limit("R1", tables=tables).source.edition.startswith("CIE 157")
    row = tables["light_limits"].by_id("house_r3")
    assert row.file.endswith("own.toml")
    assert OWN.splitlines()[row.line - 1] == "[[rows]]"
    assert rule_sets() == rule_sets(OURS)
    assert "house" not in rule_sets()


def test_later_own_file_wins(tmp_path):
    first = own(tmp_path, OWN)
    second = own(tmp_path, OWN.replace("max_lux = 40", "max_lux = 30"), "later.toml")
    tables = Tables.with_own([first, second])
    assert light_limit("R3", "house", tables=tables).max_lux == 30
    assert len(tables["light_limits"].files) == 3


def test_own_file_may_leave_out_and_replace(tmp_path):
    head = 'table = "uv_limits"\nleave_out = ["usual"]\n'
    tables = Tables.with_own([own(tmp_path, head)])
    assert [row.id for row in tables["uv_limits"]] == ["preferred"]
    row = '[[rows]]\nid = "strict"\nsource = "texas"\nname = "strict"\nmax_uw_per_lm = 5\n'
    tables = Tables.with_own([own(tmp_path, f'table = "uv_limits"\nreplace = true\n{row}')])
    assert [row.id for row in tables["uv_limits"]] == ["strict"]
    assert tables["uv_limits"].by_id("strict").source.body == "Texas Association of Museums"


def test_byte_order_mark_is_no_fault(tmp_path):
    assert Tables.with_own([own(tmp_path, b"\xef\xbb\xbf" + OWN.encode())])


def change(old, new):
    assert old in OWN
    return OWN.replace(old, new, 1)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (change("max_lux = 40", "max_lux = nan"), "line 17: max_lux of row house_r3 is nan: "
         "give a number in lx."),
        (change("max_lux = 40", "max_lux = -1"), "line 17: max_lux of row house_r3 is -1: "
         "give a number from 0 to 200000 lx."),
        (change("max_lux = 40", "max_lux = true"), "line 17: max_lux of row house_r3 is True: "
         "give a number in lx."),
        (change("max_lux = 40", 'max_lux = "40"'), "line 17: max_lux of row house_r3 is '40': "
         "give a number in lx."),
        (change("max_lux = 40", "max_lx = 40"), "line 17: row house_r3 has max_lx, which is no "
         "column; known: rule_set, class, name, max_lux, max_lux_h_per_year."),
        (change('class = "R3"', 'class = "R9"'), "line 15: class of row house_r3 is 'R9': use one "
         "of R0, R1, R2, R3."),
        (change('class = "R3"\n', ""), "line 11: row house_r3 needs class (class of "
         "responsivity)."),
        (change('source = "house"', 'source = "home"'), "line 13: row house_r3 names source "
         "'home'; known: cie_157, french_dose, house, ies_rp_30, texas, thomson."),
        (change('source = "house"\n', ""), 'line 11: row house_r3 needs source = "…".'),
        (change('id = "cie_157_r2"', 'id = "house_r3"'), "line 20: row 'house_r3' stands already "
         "on line 11."),
        (change('id = "house_r3"\n', ""), 'line 11: row 1 needs id = "…".'),
        (change("year = 2026\n", ""), "line 4: source house needs year, such as 2004, or undated "
         "= true if it bears none."),
        (change("year = 2026", "year = 20260"), "line 7: source house needs year, such as 2004, or "
         "undated = true if it bears none."),
        (change('status = "house rule"', 'status = "sure"'), "line 9: status of source house is "
         f"'sure': use one of {', '.join(STATUSES)}."),
        (change('table = "light_limits"', 'table = "dark_limits"'), "line 1: there is no table "
         "named 'dark_limits'."),
        (change('table = "light_limits"\n', ""), ': the file needs table = "…".'),
        (change('title = "House limits"', 'titel = "House limits"'), "line 2: titel is not a field "
         "here; known: leave_out, replace, rows, source, sources, table, title."),
        ('table = "light_limits"\n', ": the file has no [[rows]]."),
        ('table = "uv_limits"\nleave_out = ["none"]\n', "line 2: leave_out names 'none', which is "
         "no row of ours."),
        ('table = "uv_limits"\nreplace = "yes"\n', "line 2: replace must be true or false."),
        ('table = "uv_limits"\nrows = 3\n', "line 2: rows must be sections headed [[rows]]."),
        ('table = "uv_limits"\nsources = [1]\n', "sources must be sections"),
        (OWN[:300], "is not TOML from here on"),
        (OWN[: OWN.index("40")], "line 17: the file is not TOML from here on"),
        ("a" * 1_100_000, ": the file is larger than 1,000,000 bytes; a table is far smaller."),
        (b"\x00\x01\x02", "line 1: the file is not TOML from here on"),
        (b"table = 'a'\n\xff\xfe", "line 2: the file is not text in UTF-8; save it as UTF-8."),
        ("a = " + "[" * 5000, ": the file is nested too deeply to be a table."),
        ("a = " + "9" * 9000, "is not TOML from here on"),
        ("", ': the file needs table = "…".'),
    ],
)  # fmt: skip
def test_wrong_file_is_told_by_line_and_field(tmp_path, text, words):
    told = refusal(tmp_path, text)
    assert words in told
    assert told.startswith("FILE")
    assert "Traceback" not in told


def test_line_is_right_below_a_text_of_several_lines(tmp_path):
    note = 'note = """\nmore\n[[rows]]\nmax_lux = 3\n[[rows]]\n"""\nbody = "M"'
    text = change('body = "Marrowby Museum"', note).replace("max_lux = 40", "max_lux = inf")
    assert refusal(tmp_path, text) == (
        "FILE, line 23: max_lux of row house_r3 is inf: give a number in lx."
    )


def test_all_faults_are_told_at_once(tmp_path):
    text = change("max_lux = 40", "max_lux = -1").replace("max_lux = 45.5", "max_lux = nan")
    assert [line.split(":")[0] for line in refusal(tmp_path, text).splitlines()] == [
        "FILE, line 17",
        "FILE, line 26",
    ]


def test_many_faults_are_cut_short(tmp_path):
    rows = "".join(f'[[rows]]\nid = "x{n}"\nsource = "cie_157"\n' for n in range(50))
    told = refusal(tmp_path, 'table = "uv_limits"\n' + rows).splitlines()
    assert len(told) == 21
    assert told[-1] == "And 130 more faults."


def test_missing_file_and_folder_are_told(tmp_path):
    for path in (tmp_path / "none.toml", tmp_path, tmp_path / "a\0b"):
        with pytest.raises(TableError, match="cannot be opened"):
            Tables.with_own([path])


def test_endless_file_is_refused(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)

    def feed():
        try:
            with pipe.open("wb") as stream:
                stream.write(b"#" * 5_000_000)
        except BrokenPipeError:
            pass

    writer = threading.Thread(target=feed)
    writer.start()
    with pytest.raises(TableError, match="larger than"):
        Tables.with_own([pipe])
    writer.join()


@settings(max_examples=60)
@given(st.integers(0, 2**32))
def test_torn_file_is_read_or_refused_in_sentences(tmp_path_factory, seed):
    dice = random.Random(seed)  # noqa: S311
    raw = bytearray(OWN.encode())
    for _ in range(dice.randint(1, 6)):
        at = dice.randrange(len(raw))
        raw[at : at + dice.randint(0, 5)] = dice.randbytes(dice.randint(0, 5))
    path = own(tmp_path_factory.mktemp("torn"), bytes(raw))
    assert not [words for words in refusals(path) if not words.endswith(".")]


def test_unknown_table_and_row_name_the_known():
    with pytest.raises(UnknownRowError, match="known: blue_wool_doses, "):
        OURS["moon"]
    with pytest.raises(UnknownRowError, match="no row with id x; known id: usual, preferred"):
        OURS["uv_limits"].by_id("x")
    with pytest.raises(UnknownRowError, match="gives no max_lux"):
        OURS["light_limits"].by_id("cie_157_r0").number("max_lux")


def test_list_column_is_searched_by_its_members():
    found = OURS["hazards"].where(found_in="barometers")
    assert [row.id for row in found] == ["mercury"]
    assert OURS["permits"].where(materials="ivory")[0].text("ask")


def test_row_that_an_own_rule_set_lacks_names_those_it_has(tmp_path):
    tables = Tables.with_own([own(tmp_path, OWN)])
    with pytest.raises(UnknownRowError) as caught:
        light_limit("R2", "house", tables=tables)
    assert str(caught.value) == (
        "Table light_limits has no row with class R2 and rule_set house; known class: R3."
    )
