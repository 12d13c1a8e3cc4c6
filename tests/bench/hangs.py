"""Compare the search with plain ways to hang: `python -m tests.bench.hangs [--size 300]`."""

import sys

from layouts.__main__ import main

if __name__ == "__main__":
    sys.exit(main(["bench", *sys.argv[1:]]))
