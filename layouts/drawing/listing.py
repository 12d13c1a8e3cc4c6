"""List what hangs in several rows or tight groups, where figures would fall on each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layouts.along import Hung, Span
from layouts.drawing.canvas import Canvas, text_width

LINE = 1.5
HEADS = ("no.", "object", "left edge", "bottom", "hooks", "hook height")


@dataclass(frozen=True)
class Listing:
    """Lines of words in columns beside each other, below `top_mm`; widths in mm of wall.

    How deep the columns are follows from the whole wall, so that all its sheets are alike.
    """

    lines: tuple[tuple[str, ...], ...]
    widths_mm: tuple[float, ...]
    deep: int
    text_mm: float
    top_mm: float

    @classmethod
    def of(
        cls, hung: Sequence[Hung], numbers: Sequence[str], t: float, room_mm: float, top_mm: float
    ) -> Listing:
        lines = tuple(_words(one, number) for one, number in zip(hung, numbers, strict=True))
        widths = tuple(
            max(text_width(line[n], 1.05 * t) for line in [HEADS, *lines]) + 1.3 * t
            for n in range(len(HEADS))
        )
        columns = max(1, int(room_mm // sum(widths)))
        return cls(lines, widths, -(-len(lines) // columns), t, top_mm)

    @property
    def height_mm(self) -> float:
        return (self.deep + 1) * LINE * self.text_mm

    def draw(self, canvas: Canvas, left: float, room_mm: float, shown: Sequence[int]) -> None:
        """Write the lines that are shown, column by column; smaller where they have no room."""
        columns = -(-len(shown) // self.deep)
        small = min(1.0, room_mm / max(1.0, columns * sum(self.widths_mm)))
        t = small * self.text_mm
        for column in range(columns):
            x = left + column * small * sum(self.widths_mm)
            self._line(canvas, x, self.top_mm - t, HEADS, "figure figure--quiet", small)
            for row, n in enumerate(shown[column * self.deep : (column + 1) * self.deep], 1):
                y = self.top_mm - t - row * LINE * t
                self._line(canvas, x, y, self.lines[n], "figure", small)

    def _line(
        self, canvas: Canvas, x: float, y: float, words: Sequence[str], kind: str, small: float
    ) -> None:
        for n, (word, width) in enumerate(zip(words, self.widths_mm, strict=True)):
            strong = " figure--strong" if n == 0 and kind == "figure" else ""
            if word:
                canvas.text(x, y, word, kind + strong, size_mm=small * self.text_mm)
            x += small * width


def _words(hung: Hung, number: str) -> tuple[str, ...]:
    kept = hung.piece.reserve
    hooks = "place kept" if kept else " · ".join(map(str, hung.hooks_mm))
    height = "" if kept else str(hung.hook_mm)
    return str(hung.order), number, str(hung.x_mm), str(hung.y_mm), hooks, height


def group_mm(hung: Sequence[Hung]) -> float:
    """Return the width of the narrowest group: a sheet shows at least as much."""
    return min(_widths_mm(hung), default=0)


def spread_mm(hung: Sequence[Hung]) -> float:
    """Return how much wall is hung: sheets that show it have so much room in all."""
    return sum(_widths_mm(hung))


def _widths_mm(hung: Sequence[Hung]) -> list[int]:
    """Return the width from the first to the last piece of each stretch."""
    spans: dict[Span, list[Span]] = {}
    for one in hung:
        spans.setdefault(one.stretch, []).append(one.block_mm)
    return [max(b for _, b in some) - min(a for a, _ in some) for some in spans.values()]
