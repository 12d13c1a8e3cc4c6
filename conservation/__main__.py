"""Compute what things can bear: light, limits, aiming, climate, cases and rotation.

Each command prints JSON, or a table with --table; COMMAND --help teaches it with an example.
Nothing here certifies: it shows figures and their sources, and the conservator decides.
"""

from __future__ import annotations

import argparse
import importlib
import io
import sys
from types import ModuleType

from conservation.cli import COMMANDS

OK, NOT_KEPT, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130


def main(words: list[str] | None = None) -> int:
    """Run one command; returns 0, 1 where what was asked is not kept, 2 for bad input."""
    words = sys.argv[1:] if words is None else words
    name = words[0] if words and words[0] in COMMANDS else None
    try:
        module = _module(name) if name else None
        given = _parser(name, module).parse_args(words)
        if module is None:
            return BAD_INPUT
        return _answer(module, given)
    except ValueError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return INTERRUPTED


def _answer(module: ModuleType, given: argparse.Namespace) -> int:
    from conservation.cli.common import show

    answer = module.run(given)
    text = show(answer, table=given.table)
    try:
        print(text, flush=True)
    except BrokenPipeError:
        # The reader (such as `head`) has seen enough; keep the interpreter from flushing again.
        sys.stdout = None
    return int(answer.exit_code)


def _module(name: str) -> ModuleType:
    full = f"conservation.cli.{name}"
    try:
        return importlib.import_module(full)
    except ModuleNotFoundError as error:
        if error.name != full:
            raise
        raise ValueError(f"The command {name} is not part of this version.") from error


def _parser(name: str | None, module: ModuleType | None) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m conservation",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for known, words in COMMANDS.items():
        if module is None or known != name:
            commands.add_parser(known, help=words)
        else:
            module.add(commands)
    return parser


if __name__ == "__main__":
    if isinstance(sys.stdout, io.TextIOWrapper):
        # A terminal that lacks a letter shows its number instead of ending the program.
        sys.stdout.reconfigure(errors="backslashreplace")
    sys.exit(main())
