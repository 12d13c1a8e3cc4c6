"""The shape of the tree: what may stand where, how long a module may be, what nobody may write."""

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LONGEST_MODULE = 400
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "constraints.txt",
    "manage.py",
    "pyproject.toml",
    "exhibit_core",
    "layouts",
    "conservation",
    "templates",
    "tests",
    "fixtures",
}


def tracked(*patterns: str) -> list[Path]:
    listing = subprocess.run(  # noqa: S603
        ["git", "ls-files", *patterns],  # noqa: S607
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return [ROOT / line for line in listing.stdout.splitlines() if (ROOT / line).exists()]


def test_top_level_is_fixed():
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} - TOP_LEVEL == set()


def test_modules_stay_short():
    too_long = {
        str(path.relative_to(ROOT)): count
        for path in tracked("*.py")
        if "migrations" not in path.parts
        and "tests" not in path.parts
        and (count := len(path.read_text().splitlines())) > LONGEST_MODULE
    }
    assert too_long == {}


def test_templates_hold_no_inline_script_or_style():
    forbidden = re.compile(
        r"<script(?![^>]*\bsrc=)[^>]*>|<style\b|\sstyle=|\son[a-z]+=|hx-on|hx-boost", re.I
    )
    found = {
        str(path.relative_to(ROOT)): forbidden.findall(path.read_text())
        for path in tracked("templates/*.html")
        if "sheets" not in path.parts and forbidden.search(path.read_text())
    }
    assert found == {}


def whole(template: str) -> str:
    """Return a template with its own partials written out where they are used."""
    partials = dict(re.findall(r"{% partialdef (\w+).*?%}(.*?){% endpartialdef", template, re.S))
    return re.sub(r"{% partial (\w+) %}", lambda m: partials.get(m[1], ""), template)


def test_post_forms_carry_their_token():
    form = re.compile(r"<form\b[^>]*method=\"post\"[^>]*>(.*?)</form>", re.S | re.I)
    missing = [
        str(path.relative_to(ROOT))
        for path in tracked("templates/*.html")
        for body in form.findall(whole(path.read_text()))
        if "csrf" not in body
    ]
    assert missing == []
