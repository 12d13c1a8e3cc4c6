"""Draw an object to scale beside what everybody knows the size of. Lengths in mm."""

from dataclasses import dataclass
from functools import cached_property

PERSON_MM = 1650
PERSON_WIDTH_MM = 480
RULE_MM = 100
RULE_WIDTH_MM = 18
SMALL_MM = 300
# Half a standing figure, seen from the front, in mm from its middle axis and from the floor.
_HEAD = (1535, 92, 115)
_OUTLINE = (
    (0, 1412, 45, 1412),
    (45, 1380, 150, 1365),
    (205, 1350, 222, 1240),
    (240, 1010, 232, 760),
    (200, 742, 188, 770),
    (176, 1000, 160, 1130),
    (150, 960, 168, 830),
    (160, 480, 128, 40),
    (140, 12, 120, 0),
    (70, 0, 48, 0),
    (34, 12, 40, 60),
    (44, 480, 14, 730),
)


@dataclass(frozen=True)
class Comparison:
    """An object standing on one floor beside a person, or beside a rule when it is small."""

    height_mm: int
    width_mm: int

    @property
    def with_person(self) -> bool:
        return max(self.height_mm, self.width_mm) >= SMALL_MM

    @property
    def beside_mm(self) -> int:
        """Return the height of what stands beside it."""
        return PERSON_MM if self.with_person else RULE_MM

    @property
    def beside_width_mm(self) -> int:
        return PERSON_WIDTH_MM if self.with_person else RULE_WIDTH_MM

    @property
    def tallest_mm(self) -> int:
        return max(self.height_mm, self.beside_mm)

    @property
    def gap_mm(self) -> int:
        return round(self.tallest_mm * 0.12)

    @property
    def total_mm(self) -> int:
        return self.beside_width_mm + self.gap_mm + self.width_mm

    @property
    def margin_mm(self) -> int:
        return round(self.tallest_mm * 0.03) + 1

    @property
    def view_box(self) -> str:
        m = self.margin_mm
        return f"{-m} {-m} {self.total_mm + 2 * m} {self.tallest_mm + 2 * m}"

    @property
    def object_x_mm(self) -> int:
        return self.beside_width_mm + self.gap_mm

    @property
    def object_top_mm(self) -> int:
        return self.tallest_mm - self.height_mm

    @cached_property
    def person_path(self) -> str:
        """Return the outline of a standing person as an SVG path: both halves, then the head."""
        x, floor = PERSON_WIDTH_MM // 2, self.tallest_mm
        right = f"M{x} {floor - 1412}" + "".join(
            f"Q{x + cx} {floor - cy} {x + ex} {floor - ey}" for cx, cy, ex, ey in _OUTLINE
        )
        left = f"M{x} {floor - 1412}" + "".join(
            f"Q{x - cx} {floor - cy} {x - ex} {floor - ey}" for cx, cy, ex, ey in _OUTLINE
        )
        middle, across, up = _HEAD
        head = (
            f"M{x - across} {floor - middle}a{across} {up} 0 1 0 {2 * across} 0"
            f"a{across} {up} 0 1 0 {-2 * across} 0"
        )
        return right + left + head

    @property
    def rule_path(self) -> str:
        """Return a rule of 10 cm with a tick at each centimetre as an SVG path."""
        floor = self.tallest_mm
        ticks = "".join(
            f"M0 {floor - mm}h{RULE_WIDTH_MM if mm % 50 == 0 else RULE_WIDTH_MM // 2}"
            for mm in range(0, RULE_MM + 1, 10)
        )
        return f"M0 {floor}V{floor - RULE_MM}{ticks}"

    @property
    def words(self) -> str:
        """Say the same as the drawing."""
        if self.with_person:
            share = round(100 * self.height_mm / PERSON_MM)
            return f"{share} % of the height of a person of {PERSON_MM / 1000:.2f}\u00a0m."
        return (
            f"{self.height_mm / RULE_MM:.1f} times as high and {self.width_mm / RULE_MM:.1f} times "
            f"as wide as a rule of {RULE_MM // 10}\u00a0cm."
        )
