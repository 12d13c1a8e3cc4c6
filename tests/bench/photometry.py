"""Measure light: `python -m tests.bench.photometry [FOLDER]`.

Prints seconds for 50 luminaires over 100,000 points, as a ratio to plain inverse-square arithmetic
in numpy, the time of a dimming, and of reading a large file. FOLDER holds photometric files (such
as `tests/data` of photompy's source distribution): then our reading of each is compared with that
of photompy 0.3.1 (LM-63) or eulumdat-py 1.0.0 (EULUMDAT), and what differs is explained.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import photompy
import pyldt

from conservation.photometry import (
    Lit,
    Luminaire,
    PhotometricFileError,
    Photometry,
    aimed,
    contributions,
    dim,
    distribution,
    flux_lm,
    illuminance,
    intensity_cd,
    parse_lm63,
    read_lm63,
    read_photometry,
    upright,
)
from conservation.photometry.checks import dimming_faults

FILES = Path(__file__).parents[2] / "fixtures" / "reference" / "photometry"
LUMINAIRES, POINTS, TIMES = 50, 100_000, 5
TOLERANCE = 1e-12
EXPLAINED = {
    "mirrored": "photompy mirrors a vertical angle from 0 one column off (it drops 90, not 0)",
    "lamp sets": "photompy adds the lumens of all lamp sets; they are alternatives: ours takes one",
    "all planes": "photompy takes the stored planes for all that are listed, and loses its place",
    "no standard": "the file lacks lines that EULUMDAT has (colour, watts, ratios)",
    "kind": "photompy sums kinds A and B as if the vertical angle ran from a pole",
}


def best(call: Callable[[], object]) -> float:
    seconds = []
    for _ in range(TIMES):
        began = time.perf_counter()
        call()
        seconds.append(time.perf_counter() - began)
    return min(seconds)


def plain(places: np.ndarray, points: np.ndarray, normal: np.ndarray) -> np.ndarray:
    """1000 cd all around: I cos(i) / d² and nothing else."""
    lux = np.zeros(len(points))
    for place in places:
        away = place - points
        square = (away * away).sum(axis=1)
        lux += 1000e6 * np.maximum(away @ normal, 0) / (square * np.sqrt(square))
    return lux


def over_points() -> None:
    rng = np.random.default_rng(1)
    places = rng.uniform((-8000, -8000, 3000), (8000, 8000, 4000), (LUMINAIRES, 3))
    targets = rng.uniform((-8000, -8000, 0), (8000, 8000, 0), (LUMINAIRES, 3))
    points = rng.uniform((-8000, -8000, 0), (8000, 8000, 0), (POINTS, 3))
    normal = np.array((0.0, 0.0, 1.0))
    base = best(lambda: plain(places, points, normal))
    even = distribution([0, 180], [0], [[1000, 1000]])
    lamps = [Luminaire("L", even, tuple(place)) for place in places]
    same = illuminance(lamps, points, normal).lux
    if not np.allclose(same, plain(places, points, normal), rtol=1e-9):
        raise SystemExit("The levels differ from plain arithmetic.")
    print(f"{LUMINAIRES} luminaires x {POINTS:,} points   seconds  : plain arithmetic")
    print(f"{'plain inverse square':34} {base:7.3f}  1.0")
    kinds = {"axial": even, **{name: read_lm63(FILES / f"{name}.ies") for name in NAMES}}
    for name, photometry in kinds.items():
        lamps = [
            aimed(str(n), photometry, at, to)
            for n, (at, to) in enumerate(zip(places, targets, strict=True))
        ]
        seconds = best(lambda lamps=lamps: illuminance(lamps, points, normal))
        print(f"{name:34} {seconds:7.3f} {seconds / base:4.1f}")


NAMES = ("lambert", "spot", "none_2019", "flood_b_2019", "beam_a_2002")


def over_pieces() -> None:
    rng = np.random.default_rng(2)
    spot = read_lm63(FILES / "spot.ies")
    for lamps, pieces in ((10, 20), (50, 100), (150, 300)):
        hung = [upright((x * 1500, 0, 1200), 900, 700, 90) for x in range(pieces)]
        wall = hung[-1].corner_mm[0] + 900
        names = [f"L{n}" for n in range(lamps)]
        lit = []
        lights = [
            aimed(name, spot, (x, 1200, 3600), (x, 0, 1550))
            for name, x in zip(names, np.linspace(0, wall, lamps), strict=True)
        ]
        for n, piece in enumerate(hung):
            points = piece.points_mm(18, 14).reshape(-1, 3)
            limit = float(rng.choice([50, 200]))
            lit.append(Lit(f"P{n}", contributions(lights, points, piece.normal).lux, limit))
        began = time.perf_counter()
        answer = dim(names, lit)
        seconds = time.perf_counter() - began
        if faults := dimming_faults(names, lit, answer):
            raise SystemExit(faults[0])
        count = lit[0].lux.shape[1]
        began = time.perf_counter()
        sum((np.ones(lamps) @ piece.lux).sum() for piece in lit)
        once = time.perf_counter() - began
        print(
            f"dimming {lamps:4} lamps, {pieces:4} pieces of {count} points "
            f"{seconds:7.2f} s, {seconds / once:8.0f} : adding the levels up once"
        )


def over_a_file() -> None:
    up, around = 1801, 541
    numbers = " ".join(["123.4"] * up)
    text = (
        f"TILT=NONE\n1 -1 1 {up} {around} 1 2 0 0 0\n1 1 5\n"
        + " ".join(f"{a / 10:g}" for a in range(up))
        + "\n"
        + " ".join(f"{360 * a / (around - 1):.4f}" for a in range(around))
        + "\n"
        + "\n".join([numbers] * around)
    )
    seconds = best(lambda: parse_lm63(text))
    base = best(lambda: np.array(text.partition("5\n")[2].split(), dtype=float))
    print(f"reading {up * around:,} values {seconds:7.2f} s, {seconds / base:.1f} : numpy's split")


def compare(folder: Path) -> None:
    print("of peak: largest difference in intensity, as a share of the peak, at 1000 directions.")
    print("flux: ours by the zonal sum against photompy's bands to the middle between two angles;")
    print(
        "the rules differ by up to 2 % on coarse tables (22.5 degrees), below 0.7 % on fine ones."
    )
    print(f"{'file':58} {'of peak':>9} {'flux':>8}  what differs")
    for path in sorted(p for p in folder.rglob("*") if p.suffix in (".ies", ".ldt")):
        name = str(path.relative_to(folder))
        try:
            ours = read_photometry(path)
        except PhotometricFileError as error:
            why = EXPLAINED["no standard"] if path.suffix == ".ldt" else "NOT EXPLAINED"
            print(f"{name[:58]:58} {'refused':>9} {'':8}  {why}: {error.what}")
            continue
        off, flux = (by_photompy if path.suffix == ".ies" else by_pyldt)(path, ours)
        ratio = f"{flux:+8.2%}" if flux is not None else f"{'':8}"
        print(f"{name[:58]:58} {off:9.1e} {ratio}  {why_of(path, ours, off)}")


def by_photompy(path: Path, ours: Photometry) -> tuple[float, float | None]:
    theirs = photompy.IESFile.read(str(path)).photometry.expanded()
    whole = ours.unfolded
    low, high = whole.vertical_deg[[0, -1]]
    left, right = (max(whole.horizontal_deg[0], theirs.phis[0]), theirs.phis[-1])
    up, around = np.random.default_rng(0).uniform((low, left), (high, right), (1000, 2)).T
    off = np.abs(intensity_cd(ours, up, around) - theirs.get_intensity(up, around)).max()
    flux = flux_lm(ours) / theirs.total_optical_power() - 1
    return float(off) / ours.peak_cd, float(flux)


def by_pyldt(path: Path, ours: Photometry) -> tuple[float, float | None]:
    theirs = pyldt.LdtReader.read(path)
    planes, up = np.array(theirs.header.c_angles), np.array(theirs.header.g_angles)
    want = np.array(theirs.intensities) * theirs.header.lamp_flux[0] / 1000
    found = intensity_cd(ours, up[None, :], planes[:, None])
    return float(np.abs(found - want).max()) / ours.peak_cd, None


def why_of(path: Path, ours: Photometry, off: float) -> str:
    words = []
    if off > TOLERANCE:
        mirrored = ours.kind != "C" and ours.vertical_deg[0] == 0
        words.append(EXPLAINED["mirrored"] if mirrored else "NOT EXPLAINED")
    if ours.kind != "C":
        words.append(EXPLAINED["kind"])
    if path.suffix == ".ldt":
        words += ldt_words(path, ours)
    return "; ".join(words)


def ldt_words(path: Path, ours: Photometry) -> list[str]:
    try:
        theirs = photompy.LDTFile.read(str(path)).photometry
    except Exception:
        return [EXPLAINED["all planes"]]
    if theirs.thetas.shape != ours.vertical_deg.shape or (theirs.thetas != ours.vertical_deg).any():
        return [EXPLAINED["all planes"]]
    if abs(theirs.max() / ours.peak_cd - 1) > TOLERANCE:
        return [EXPLAINED["lamp sets"]]
    return []


def main() -> None:
    if len(sys.argv) > 1:
        compare(Path(sys.argv[1]))
        return
    over_points()
    over_pieces()
    over_a_file()


if __name__ == "__main__":
    main()
