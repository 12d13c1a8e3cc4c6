"""Keep the largest free rectangles of a surface, and stand boxes into them one by one."""

from __future__ import annotations

Box = tuple[int, int, int, int]
Rule = str


class FreeSpace:
    """The free part of a rectangle as all its largest free rectangles (x, y, width, depth)."""

    __slots__ = ("free",)

    def __init__(self, width: int, depth: int) -> None:
        self.free: list[Box] = [(0, 0, width, depth)] if width > 0 and depth > 0 else []

    def copy(self) -> FreeSpace:
        twin = FreeSpace(0, 0)
        twin.free = list(self.free)
        return twin

    def best(
        self, wide: int, deep: int, turns: bool, rule: Rule = "front"
    ) -> tuple[int, int, bool] | None:
        """Return the best corner for a box and whether it is turned; None where none is free.

        `front` stands boxes as near to the front and left as they go, `short` where the least is
        left beside them.
        """
        ways = [(wide, deep, False)]
        if turns and wide != deep:
            ways.append((deep, wide, True))
        found: tuple[int, int, int, int, bool] | None = None
        for x, y, w, d in self.free:
            for bw, bd, turned in ways:
                if bw > w or bd > d:
                    continue
                a, b = (y + bd, x) if rule == "front" else sorted((w - bw, d - bd))
                score = (a, b, x, y, turned)
                if found is None or score < found:
                    found = score
        return None if found is None else found[2:]

    def take(self, x: int, y: int, w: int, d: int) -> None:
        """Occupy a rectangle."""
        right, far = x + w, y + d
        kept: list[Box] = []
        parts: list[Box] = []
        for rect in self.free:
            fx, fy, fw, fd = rect
            if x >= fx + fw or right <= fx or y >= fy + fd or far <= fy:
                kept.append(rect)
                continue
            if x > fx:
                parts.append((fx, fy, x - fx, fd))
            if right < fx + fw:
                parts.append((right, fy, fx + fw - right, fd))
            if y > fy:
                parts.append((fx, fy, fw, y - fy))
            if far < fy + fd:
                parts.append((fx, far, fw, fy + fd - far))
        for n, part in enumerate(parts):
            px, py, pw, pd = part
            if any(
                k[0] <= px and k[1] <= py and k[0] + k[2] >= px + pw and k[1] + k[3] >= py + pd
                for k in kept
            ):
                continue
            if any(
                q[0] <= px
                and q[1] <= py
                and q[0] + q[2] >= px + pw
                and q[1] + q[3] >= py + pd
                and (q != part or m < n)
                for m, q in enumerate(parts)
                if m != n
            ):
                continue
            kept.append(part)
        self.free = kept
