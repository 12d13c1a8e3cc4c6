"""The same input and seed on one core, on two, and beside a busy neighbour: the same answer?"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from layouts.bench.instances import exhibition

CODE = """
import hashlib, json, os, sys
from layouts import solve
os.sched_setaffinity(0, set(json.loads(sys.argv[1])))
told = []
for task in json.load(sys.stdin):
    answer = solve(task["problem"], seed=task["seed"], seconds=task["seconds"])
    data = answer.to_dict()
    data.pop("seconds")
    told.append(hashlib.sha256(repr(data).encode()).hexdigest()[:16] + " " + answer.status)
print(json.dumps(told))
"""


def cores() -> list[int]:
    """Return the cores that this process may use."""
    return sorted(os.sched_getaffinity(0))


def answers(
    problems: list[dict[str, Any]], on: list[int], *, seed: int = 0, seconds: float = 30.0
) -> list[str]:
    """Return a digest and the status of each answer, all found by one process on these cores.

    The digest covers everything in the answer but the time taken.
    """
    tasks = [{"problem": data, "seed": seed, "seconds": seconds} for data in problems]
    words = [sys.executable, "-c", CODE, json.dumps(on)]
    done = subprocess.run(  # noqa: S603
        words, input=json.dumps(tasks), capture_output=True, text=True, check=True
    )
    return list(json.loads(done.stdout))


@contextmanager
def busy(core: int) -> Iterator[None]:
    """Let a neighbour burn a core for as long as the block runs."""
    code = f"import os\nos.sched_setaffinity(0, {{{core}}})\nwhile True: pass"
    neighbour = subprocess.Popen([sys.executable, "-c", code])  # noqa: S603
    try:
        yield
    finally:
        neighbour.kill()
        neighbour.wait()


def same(pieces: int, walls: int, count: int) -> int:
    """Print whether answers repeat; return how many did not."""
    have = cores()
    names = [(planted, seed) for planted in (True, False) for seed in range(count)]
    problems = [exhibition(pieces, walls, seed, planted=planted) for planted, seed in names]
    found = {"one core": answers(problems, have[:1])}
    if len(have) > 1:
        found["two cores"] = answers(problems, have[:2])
    with busy(have[0]):
        found["one core, busy"] = answers(problems, have[:1])
    ways = list(found)
    print(f"{pieces} pieces on {walls} walls, the same seed on {', on '.join(ways)}.")
    differing = 0
    for n, (planted, seed) in enumerate(names):
        told = [found[way][n] for way in ways]
        differing += len(set(told)) > 1
        words = "the same answer" if len(set(told)) == 1 else f"DIFFERENT: {', '.join(told)}"
        print(f"{'perfect' if planted else 'rough':8}{seed:3} {words}")
    print(f"{len(names) - differing} of {len(names)} repeat.\n")
    return differing
