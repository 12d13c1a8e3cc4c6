"""Measure orders that keep related pieces near: `python -m tests.bench.related [--near FOLDER]`."""

import sys

from layouts.__main__ import main

if __name__ == "__main__":
    sys.exit(main(["bench", "--what", "related", *sys.argv[1:]]))
