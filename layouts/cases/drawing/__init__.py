"""Draw showcases with what stands in them as SVG in millimetres, for screen and paper alike."""

from __future__ import annotations

from pathlib import Path

from layouts.cases.answer import CasesAnswer
from layouts.cases.drawing.sheet import draw_case
from layouts.cases.drawing.style import case_stylesheet
from layouts.cases.drawing.view import CaseDrawing, CaseView
from layouts.cases.problem import CasesProblem

__all__ = ["CaseDrawing", "CaseView", "case_stylesheet", "draw_case", "write_all"]

SCALE, TEXT_MM = 10, 2.6


def write_all(problem: CasesProblem, answer: CasesAnswer, folder: Path) -> list[Path]:
    """Write one SVG a case in use at 1:10 into a folder, and return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for n, case in enumerate(answer.cases, 1):
        view = CaseView(TEXT_MM * SCALE, f"case-{n}", case_stylesheet(SCALE))
        path = folder / f"{n:02d}.svg"
        path.write_text(draw_case(CaseDrawing.of(problem, answer, case), view), encoding="utf-8")
        paths.append(path)
    return paths
