"""The command `aim`: what it answers, and how it refuses."""

import json
import math
import re
import shutil

import pytest

from conservation.__main__ import BAD_INPUT, NOT_KEPT, OK, main
from conservation.photometry import read_lm63
from tests.conservation.photometry.lamps import FILES

PROBLEM = {
    "photometry": {"even": "even.ies"},
    "luminaires": [
        {"id": "L1", "photometry": "even", "height_mm": 3600, "piece": "K 1", "maintenance": 0.8}
    ],
    "pieces": [
        {
            "id": "K 1",
            "corner_mm": [0, 0, 1549.5],
            "width_mm": 1,
            "height_mm": 1,
            "facing_deg": 90,
            "max_lux": 50,
        }
    ],
}
EVEN = "TILT=NONE\n1 -1 1 2 1 1 2 0 0 0\n1 1 5\n0 180\n0\n1000 1000\n"


@pytest.fixture
def ask(tmp_path, capsys):
    (tmp_path / "even.ies").write_text(EVEN)

    def run(problem, *words):
        path = tmp_path / "problem.json"
        path.write_text(problem if isinstance(problem, str) else json.dumps(problem))
        code = main(["aim", str(path), *words])
        out, err = capsys.readouterr()
        return code, out, err

    return run


def changed(**parts):
    """The problem with fields of its luminaire (l_...), its piece (p_...) or itself replaced."""
    data = json.loads(json.dumps(PROBLEM))
    for key, value in parts.items():
        target = {"l_": data["luminaires"][0], "p_": data["pieces"][0]}.get(key[:2], data)
        target[key.removeprefix("l_").removeprefix("p_")] = value
    return data


def test_a_lamp_before_a_picture(ask):
    """Worked by hand: setback 1183.6 mm, 2367.1 mm away, 89.23 lx, dimmed to 0.5603."""
    code, out, err = ask(PROBLEM)
    assert (code, err) == (OK, "")
    data = json.loads(out)
    lamp, piece = data["luminaires"][0], data["pieces"][0]
    assert lamp["at_mm"][1] == pytest.approx(1183.6, abs=0.051)
    assert lamp["distance_mm"] == pytest.approx(2367.1, abs=0.051)
    assert (lamp["tilt_deg"], lamp["incidence_deg"]) == pytest.approx((30, 60))
    assert lamp["dimming"] == pytest.approx(0.5603, abs=5.1e-5)
    assert lamp["bound_by"] == "K 1"
    assert lamp["flux_lm"] == pytest.approx(4000 * math.pi)
    assert piece["as_given"]["max_lux"] == pytest.approx(89.23, abs=0.0051)
    assert piece["dimmed"]["max_lux"] == pytest.approx(50)
    assert piece["maintained_mean_lux"] == pytest.approx(40)
    assert data["kept"]
    assert "licensed practice" in data["cautions"][0]


def test_a_table_for_reading(ask):
    code, out, _ = ask(PROBLEM, "--table")
    assert code == OK
    assert re.search(r"^L1 +.* 56\.03 +K 1$", out, re.M)
    assert "licensed practice" in out
    assert "direct light" in out


def test_other_light_that_is_too_much(ask):
    code, out, _ = ask(changed(p_other_lux=60))
    assert code == NOT_KEPT
    data = json.loads(out)
    assert data["luminaires"][0]["dimming"] == 0
    assert not data["pieces"][0]["kept"]


def test_a_dark_corner_is_null_in_json(ask, tmp_path):
    (tmp_path / "even.ies").write_text(EVEN.replace("0 180\n", "0 10\n"))
    code, out, _ = ask(changed(p_width_mm=3000))
    levels = json.loads(out)["pieces"][0]["dimmed"]
    assert code == OK
    assert (levels["min_lux"], levels["max_to_min"]) == (0, None)
    assert levels["max_lux"] == pytest.approx(50)


def test_a_lamp_behind_the_piece(ask):
    data = changed(l_at_mm=[0, -500, 4000], p_max_lux=None)
    del data["luminaires"][0]["height_mm"]
    code, out, _ = ask(data)
    assert code == OK
    assert json.loads(out)["pieces"][0]["dimmed"]["max_lux"] == 0
    assert "behind" in json.loads(out)["warnings"][0]


def test_warnings_of_files_places_and_near_fields(ask, tmp_path):
    near = EVEN.replace("2 0 0 0", "2 0.6 0.6 0").replace("0 180\n", "0 170\n")
    (tmp_path / "even.ies").write_text(near)
    _, out, _ = ask(changed(l_angle_deg=12))
    words = " ".join(json.loads(out)["warnings"])
    assert "12 degrees from upright" in words
    assert "five times its luminous size" in words
    assert "dark beyond" in words


def test_the_gallery_of_the_example(capsys):
    assert main(["aim", str(FILES / "gallery.json")]) == OK
    data = json.loads(capsys.readouterr().out)
    for piece in data["pieces"]:
        assert piece["kept"]
        assert piece["dimmed"]["max_lux"] == pytest.approx(piece["limit_lux"], rel=1e-6)


@pytest.mark.parametrize(
    ("problem", "words"),
    [
        ("[]", "must be a JSON object"),
        ("{", "this is not JSON"),
        (changed(luminaires=[]), "luminaires is empty"),
        (changed(pieces={}), "pieces must be a list"),
        (changed(colour=1), "unknown field 'colour'"),
        (changed(step_mm=0), "step_mm is 0"),
        (changed(photometry=[]), "photometry must be a JSON object"),
        (changed(photometry={"even": "none.ies"}), "there is no such file"),
        (changed(l_photometry="spot"), "named files are even"),
        (changed(l_piece="K 2"), "name a piece of the list"),
        (changed(l_piece=None), "aimed at nothing"),
        (changed(l_at_mm=[0, 0, 0]), "needs at_mm, or height_mm"),
        (changed(l_height_mm=1000), "no higher than its aim"),
        (changed(l_height_mm="high"), "height_mm is 'high'"),
        (changed(l_angle_deg=95), "from 1 to 89"),
        (changed(l_dimming=1.5), "from 0 to 1"),
        (changed(l_dimming=True), "dimming is True"),
        (changed(l_id=""), "give text"),
        (changed(l_aim_mm=[0, 0]), "give x, y and z"),
        (changed(p_corner_mm=[0, 0, 1e9]), "within 1 km"),
        (changed(p_corner_mm=[0, 0, "1"]), "give x, y and z"),
        (changed(p_width_mm=-5), "width_mm is -5"),
        (changed(p_facing_deg=None), "facing_deg is None"),
        (changed(p_lying=True), "facing_deg has no meaning"),
        (changed(p_lying="yes"), "give true or false"),
        (changed(p_max_lux=10**400), "max_lux is 1000"),
        (changed(step_mm=1, p_width_mm=9e5, p_height_mm=9e5), "greater step_mm"),
        (changed(pieces=PROBLEM["pieces"] * 2), "'K 1' stands twice"),
        (changed(luminaires=PROBLEM["luminaires"] * 2), "'L1' stands twice"),
        (changed(pieces=PROBLEM["pieces"] * 2001), "at most 2000"),
        (json.dumps(PROBLEM).replace("3600", "NaN"), "NaN"),
    ],
)
def test_problems_that_cannot_be_read(ask, problem, words):
    code, out, err = ask(problem)
    assert (code, out) == (BAD_INPUT, "")
    assert words in err
    assert "Traceback" not in err
    assert err.endswith(".\n")


def test_a_lying_piece_lit_from_straight_above(ask):
    data = changed(l_at_mm=[0.5, 0.5, 2900], p_corner_mm=[0, 0, 900], p_lying=True)
    del data["luminaires"][0]["height_mm"], data["pieces"][0]["facing_deg"]
    code, out, _ = ask(data)
    assert code == OK
    lamp = json.loads(out)["luminaires"][0]
    assert lamp["incidence_deg"] == pytest.approx(0, abs=1e-6)
    assert lamp["dimming"] == pytest.approx(0.2, rel=1e-6)


def test_paths_count_from_the_problem(ask, tmp_path):
    (tmp_path / "files").mkdir()
    shutil.copy(FILES / "spot.ies", tmp_path / "files")
    code, out, _ = ask(changed(photometry={"even": "files/spot.ies"}))
    assert code == OK
    beam = json.loads(out)["luminaires"][0]["beam_deg"]
    assert beam == pytest.approx(33.488, abs=5.1e-4)
    assert read_lm63(FILES / "spot.ies").form in out
