"""Solve the same showcases in processes of their own, on one core and on all that there are."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import Any

SCRIPT = """
import json, os, resource, sys
cores, count, seed = int(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
if hasattr(os, "sched_setaffinity"):
    os.sched_setaffinity(0, set(sorted(os.sched_getaffinity(0))[:cores]))
from layouts.cases import solve_cases
from tests.layouts.cases.problems import showcases
answer = solve_cases(showcases(count, seed), seconds=600).to_dict()
answer.pop("seconds")
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
print(json.dumps([answer, peak, len(os.sched_getaffinity(0))]))
"""


def solved(cores: int, count: int, seed: int) -> tuple[dict[str, Any], int, int]:
    """Return the answer without its seconds, peak memory in MB, and the cores allowed."""
    words = [sys.executable, "-c", SCRIPT, str(cores), str(count), str(seed)]
    # Another order of hashed names in every process would show what depends on it.
    env = {**os.environ, "PYTHONHASHSEED": "random"}
    done = subprocess.run(words, capture_output=True, check=True, env=env)  # noqa: S603
    answer, peak, there = json.loads(done.stdout)
    return answer, peak, there
