"""The command line: one small module for each command, imported only when its command is given.

A command NAME (light, aim, climate …) is the module `conservation/cli/NAME.py`:

    '''Compute the dose of light …              # first line: shown by --help

    Example:                                    # the docstring's rest teaches; its example must
      $ python -m conservation NAME in.json     # run, and tests run it (see `example_of`)
    '''
    import argparse
    from conservation.cli.common import Answer, Commands, Grid, new_command
    from conservation.cli.files import read_json

    def add(commands: Commands) -> None:
        parser = new_command(commands, "NAME", __doc__)   # adds --table and --own FILE
        parser.add_argument("file")

    def run(given: argparse.Namespace) -> Answer:
        data = read_json(given.file)                      # "-" reads standard input
        …
        return Answer(result, grids=(Grid("Dose", ("room", "lx·h"), rows),))

`run` returns an Answer: `data` is printed as JSON (dataclasses, tuples, paths, dates and numpy
numbers are turned into plain JSON; NaN is refused), `grids` are printed under --table, with `notes`
below, and `exit_code` 1 says that what was asked is not kept (a limit is broken). Anything that is
wrong with the input is raised as a ConservationError (from conservation.ranges, such as
OutOfRangeError, or InputError from cli.common): its sentence goes to stderr, the exit code is 2.
Import heavy libraries inside `run` or below it. `tables_of(given)` returns our tables with the
museum's own, given by --own, laid over them.

For the reading there is `cli.files`: `read_json(path)` refuses what is no JSON object or list;
`read_rows(path, required=…, optional=…)` returns the rows of CSV or of a JSON list, which know
their line, and whose `.number(column)` raises a sentence with file and line; `read_with_lists`
takes a JSON object whose lists may be CSV files. All refuse files over a size. New names of
commands are entered in `COMMANDS` below.
"""

COMMANDS = {
    "light": "class, limits, dose, budget, fading and spectral damage",
    "limits": "the limits of one object from several voices",
    "aim": "aiming, illuminance at a point, photometric files",
    "climate": "climate readings against limits, dew point, ageing, mould",
    "case": "showcases: air exchange, buffering, materials, compatibility",
    "rotate": "who rests when: rotation of objects over periods and years",
    "flags": "hazards and permits that words in a description call for, and whom to ask",
    "tables": "the tables of judgements, their sources, and the check of a museum's own",
}
