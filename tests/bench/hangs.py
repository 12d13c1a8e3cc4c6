"""Compare hangs with plain ways: `python -m tests.bench.hangs [--what all] [--size 300]`."""

import sys

from layouts.__main__ import main

if __name__ == "__main__":
    sys.exit(main(["bench", *sys.argv[1:]]))
