"""Draw things side by side to one scale, with a rule that tells it."""

from collections.abc import Iterable
from dataclasses import dataclass

WIDEST_PX = 150
TALLEST_PX = 110
RULES_MM = (10_000, 5_000, 2_000, 1_000, 500, 200, 100, 50, 20, 10)


@dataclass(frozen=True)
class Scale:
    """How many mm one pixel stands for, and the rule that fits beside the pictures."""

    mm_per_px: float
    rule_mm: int

    @property
    def rule_px(self) -> float:
        return self.px(self.rule_mm)

    @property
    def rule_words(self) -> str:
        if self.rule_mm == 500:
            return "½ m"
        return f"{self.rule_mm // 1000} m" if self.rule_mm >= 1000 else f"{self.rule_mm // 10} cm"

    def px(self, length_mm: int) -> float:
        return round(length_mm / self.mm_per_px, 1)


def scale_for(sizes: Iterable[tuple[int, int]]) -> Scale | None:
    """Fit the largest of (width, height) in mm into the picture column; None without sizes."""
    sizes = list(sizes)
    if not sizes:
        return None
    mm_per_px = max(
        max(width for width, _ in sizes) / WIDEST_PX,
        max(height for _, height in sizes) / TALLEST_PX,
    )
    room_mm = WIDEST_PX * mm_per_px
    rule_mm = next((rule for rule in RULES_MM if rule <= room_mm), RULES_MM[-1])
    return Scale(mm_per_px, rule_mm)
