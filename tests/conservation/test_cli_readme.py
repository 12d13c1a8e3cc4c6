"""What the package's README shows is what the package does."""

import doctest
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import conservation
from conservation.cli import COMMANDS
from conservation.light import light_limit
from conservation.table_reading import TableError
from conservation.tables import Tables

README = Path(conservation.__file__).parent / "README.md"
TEXT = README.read_text(encoding="utf-8")
CONSOLES = re.findall(r"```console\n\$ (.*?)\n(.*?)```", TEXT, re.S)


def test_examples_in_python_run():
    result = doctest.testfile(str(README), module_relative=False, encoding="utf-8")
    assert result.failed == 0
    assert result.attempted >= 20


@pytest.mark.parametrize(("command", "shown"), CONSOLES)
def test_examples_of_commands_print_what_is_shown(command, shown):
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(  # noqa: S602
        command,
        shell=True,
        capture_output=True,
        text=True,
        cwd=README.parent.parent,
        env={"PATH": path, "PYTHONUTF8": "1"},
        check=False,
    )
    assert done.stderr == ""
    assert done.stdout == shown


def test_own_table_as_shown_is_taken_and_its_fault_told_as_shown(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (table,) = re.findall(r"```toml\n(.*?)```", TEXT, re.S)
    Path("own.toml").write_text(table, encoding="utf-8")
    tables = Tables.with_own(["own.toml"])
    assert light_limit("R3", "house", tables=tables).max_lux == 40
    Path("own.toml").write_text(table.replace("= 40", "= -40"), encoding="utf-8")
    with pytest.raises(TableError) as caught:
        Tables.with_own(["own.toml"])
    assert f"```text\n{caught.value}\n```" in TEXT


def test_modules_and_commands_named_exist():
    named = re.findall(r"`((?:\w+/)*\w+\.py)`", TEXT)
    assert named
    assert [name for name in named if not (README.parent / name).exists()] == []
    commands = [
        name for row in re.findall(r"\| ([^|]*) \|\n", TEXT) for name in re.findall(r"`(\w+)", row)
    ]
    assert set(commands) - {"command"} <= set(COMMANDS)
