"""Measure tight groups and rows: `python -m tests.bench.packing [--packings FOLDER]`."""

import sys

from layouts.__main__ import main

if __name__ == "__main__":
    codes = [main(["bench", "--what", what, *sys.argv[1:]]) for what in ("cluster", "rows")]
    sys.exit(max(codes))
