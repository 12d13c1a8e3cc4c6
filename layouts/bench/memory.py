"""How much memory the largest hang takes, measured in a process of its own."""

from __future__ import annotations

import subprocess
import sys

CODE = """
import pathlib, resource, sys
from layouts import solve
from layouts.bench.instances import exhibition
def peak():
    status = pathlib.Path("/proc/self/status")
    if status.exists():  # what getrusage says there begins with the parent's peak
        return int(status.read_text().split("VmHWM:")[1].split()[0]) // 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
empty = peak()
pieces, walls, seed = map(int, sys.argv[1:])
answer = solve(exhibition(pieces, walls, seed, planted=False))
print(empty, peak(), len(answer.placements))
"""


def memory(pieces: int, walls: int) -> int:
    """Print the peak of resident memory in MB; return 0, for nothing can break a demand here."""
    words = [sys.executable, "-c", CODE, str(pieces), str(walls), "0"]
    done = subprocess.run(words, capture_output=True, text=True, check=True)  # noqa: S603
    empty, peak, hung = map(int, done.stdout.split())
    print(
        f"{pieces} pieces on {walls} walls: {peak} MB of memory at most, {empty} MB of them before "
        f"the search; {hung} pieces hung.\n"
    )
    return 0
