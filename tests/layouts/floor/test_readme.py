"""The example of the guide does what the guide says."""

import re
from pathlib import Path

import layouts.floor

GUIDE = Path(layouts.floor.__file__).with_name("README.md")


def test_example_runs():
    code = re.search(r"```python\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.S)[1]
    names: dict = {}
    exec(code, names)  # noqa: S102
    report = names["report"]
    assert f"# {(report.status, report.route.widest_mm)}" in code
    (narrowing,) = report.route.narrowings
    assert (narrowing.clear_mm, narrowing.length_mm) == (860, 600)
    assert names["check"](names["floor"], report) == []
