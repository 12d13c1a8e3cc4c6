"""Put shapes on an SVG surface whose unit is the millimetre and whose y runs up from the floor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from xml.sax.saxutils import escape, quoteattr

# Mean advance of a digit or letter over the font size, in a humanist sans with tabular figures.
ADVANCE = 0.53


def text_width(words: str, size_mm: float) -> float:
    """Return about how wide a text stands at a font size, in mm."""
    return len(words) * ADVANCE * size_mm


class Canvas:
    """Collect SVG elements; every length is in mm, every y is measured upwards."""

    def __init__(self) -> None:
        self._parts: list[str] = []

    def __str__(self) -> str:
        return "".join(self._parts)

    def line(self, x1: float, y1: float, x2: float, y2: float, kind: str) -> None:
        self._add("line", x1=x1, y1=-y1, x2=x2, y2=-y2, class_=kind)

    def rect(
        self, x: float, y: float, width: float, height: float, kind: str, *, dash: str = ""
    ) -> None:
        """Draw a rectangle from its lower left corner."""
        self._add(
            "rect",
            x=x,
            y=-y - height,
            width=width,
            height=height,
            class_=kind,
            stroke_dasharray=dash,
        )

    def circle(self, x: float, y: float, radius: float, kind: str) -> None:
        self._add("circle", cx=x, cy=-y, r=radius, class_=kind)

    def strokes(self, lines: Iterable[tuple[float, float, float, float]], kind: str) -> None:
        """Draw many straight strokes as one path."""
        d = "".join(
            f"M{number(x1)} {number(-y1)}L{number(x2)} {number(-y2)}" for x1, y1, x2, y2 in lines
        )
        if d:
            self._add("path", d=d, class_=kind)

    def cross(self, x: float, y: float, arm: float, kind: str) -> None:
        self.strokes(
            [(x - arm, y - arm, x + arm, y + arm), (x - arm, y + arm, x + arm, y - arm)], kind
        )

    def image(self, x: float, y: float, width: float, height: float, href: str) -> None:
        """Show a picture whole inside a box given by its lower left corner."""
        self._add(
            "image",
            x=x,
            y=-y - height,
            width=width,
            height=height,
            href=href,
            preserveAspectRatio="xMidYMid meet",
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        kind: str,
        *,
        size_mm: float,
        anchor: str = "start",
        turned: bool = False,
    ) -> None:
        """Write on the baseline through (x, y); turned text reads from the right."""
        self._add(
            "text",
            words,
            x=x,
            y=-y,
            font_size=size_mm,
            text_anchor=anchor,
            transform=f"rotate(-90 {number(x)} {number(-y)})" if turned else "",
            class_=kind,
        )

    def words(self, words: str) -> None:
        self._parts.append(escape(words))

    @contextmanager
    def group(self, tag: str = "g", **attributes: object) -> Iterator[None]:
        self._parts.append(f"<{tag}{_attributes(attributes)}>")
        yield
        self._parts.append(f"</{tag}>")

    def _add(self, tag: str, words: str = "", **attributes: object) -> None:
        end = f">{escape(words)}</{tag}>" if words else "/>"
        self._parts.append(f"<{tag}{_attributes(attributes)}{end}")


def number(value: float) -> str:
    """Write a length without needless zeros."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def _attributes(attributes: dict[str, object]) -> str:
    return "".join(
        f" {_name(name)}={quoteattr(number(value) if isinstance(value, float) else str(value))}"
        for name, value in attributes.items()
        if value not in ("", None)
    )


def _name(name: str) -> str:
    if name == "preserveAspectRatio":
        return name
    return name.rstrip("_").replace("_", "-")
