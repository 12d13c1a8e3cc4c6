"""The example of the guide does what the guide says."""

import re
from pathlib import Path

import layouts.cases

GUIDE = Path(layouts.cases.__file__).with_name("README.md")


def test_example_runs():
    code = re.search(r"```python\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.S)[1]
    names: dict = {}
    exec(code, names)  # noqa: S102
    answer = names["answer"]
    said = (answer.status, answer.measures.cases, answer.bound_cases)
    assert f"# {said}" in code
    assert names["check_cases"](names["problem"], answer) == []
