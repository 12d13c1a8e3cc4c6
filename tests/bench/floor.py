"""How long a floor takes to measure and to arrange: `python -m tests.bench.floor`.

Each row gives seconds, processor seconds, and these as ratios to a plain baseline: the geometry
library alone building the free floor of the same room and shrinking it once a millimetre width by
width until nothing gets through, as one would find the widest route without the gaps.
"""

import random
import time
from collections.abc import Callable
from typing import Any

from layouts.floor import Floor, check, solve_floor

TIMES = 5


def generated(count: int, seed: int, **arrangement: Any) -> Floor:
    """Return a hall with pieces in rows, each a little off its place and turned at random."""
    dice = random.Random(seed)  # noqa: S311
    columns = 10
    rows = -(-count // columns)
    pieces = []
    for n in range(count):
        piece = {
            "id": f"P{n}",
            "width_mm": dice.randint(400, 900),
            "depth_mm": dice.randint(400, 700),
            "height_mm": 1200,
            "turn_deg": dice.choice([0, 0, 90, dice.randint(0, 90)]),
            "section": str(1 + 3 * n // count),
            "mass_g": 80_000,
        }
        if not arrangement:
            piece["x_mm"] = 2000 + n % columns * 2000 + dice.randint(-200, 200)
            piece["y_mm"] = 1500 + n // columns * 2200 + dice.randint(-200, 200)
        pieces.append(piece)
    deep = 2200 * rows + 1000
    return Floor.from_dict(
        {
            "outline": [[0, 0], [0, deep], [22_000, deep], [22_000, 0]],
            "doors": [
                {"id": "in", "wall": 4, "along_mm": 20_000, "width_mm": 1000, "role": "entrance"},
                {"id": "out", "wall": 2, "along_mm": 15_000, "width_mm": 1000, "role": "exit"},
            ],
            "pieces": pieces,
            "sections": [{"id": str(n)} for n in (1, 2, 3)],
            "arrangement": arrangement or {"kind": "keep"},
        }
    )


def shrunk_step_by_step(floor: Floor) -> int:
    """Find the widest disc by shrinking the floor millimetre by millimetre."""
    import shapely

    room = shapely.Polygon(floor.outline)
    bodies = [
        shapely.affinity.rotate(
            shapely.box(
                p.x_mm - p.width_mm / 2,
                p.y_mm - p.depth_mm / 2,
                p.x_mm + p.width_mm / 2,
                p.y_mm + p.depth_mm / 2,
            ),
            p.turn_deg,
        )
        for p in floor.pieces
    ]
    free = room.difference(shapely.union_all(bodies))
    ends = [(1500, 0), (15_500, floor.outline[2][1])]
    for width in range(300, 2400):
        parts = shapely.get_parts(free.buffer(-width / 2, quad_segs=16))
        if not any(all(p.distance(shapely.Point(e)) < width for e in ends) for p in parts):
            return width - 1
    return 2400


def median_of(act: Callable[[], object]) -> tuple[float, float]:
    took = []
    for _ in range(TIMES):
        start, busy = time.perf_counter(), time.process_time()
        act()
        took.append((time.perf_counter() - start, time.process_time() - busy))
    return sorted(took)[TIMES // 2]


def told(name: str, act: Callable[[], object], plain: float) -> None:
    took, busy = median_of(act)
    print(f"{name:<38}{took:>8.3f}{busy:>8.3f}{busy / plain:>12.2f}")


def main() -> None:
    solve_floor(generated(5, 0))
    print(f"{'median of ' + str(TIMES):<38}{'s':>8}{'busy s':>8}{'× baseline':>12}")
    for count in (20, 60, 120):
        floor = generated(count, 1)
        _, plain = median_of(lambda floor=floor: shrunk_step_by_step(floor))
        told(f"baseline, {count} pieces", lambda floor=floor: shrunk_step_by_step(floor), plain)
        told(f"measure {count} pieces", lambda floor=floor: solve_floor(floor), plain)
        report = solve_floor(floor)
        told(
            f"verify {count} pieces",
            lambda floor=floor, report=report: check(floor, report),
            plain,
        )
        free = generated(count, 1, kind="free", work=1000)
        told(f"arrange {count} pieces, 1000 moves", lambda free=free: solve_floor(free), plain)


if __name__ == "__main__":
    main()
