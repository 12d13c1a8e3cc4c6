"""The plan's own stylesheet for paper and files, in the tones of the elevations."""

from layouts.drawing.style import ACCENT, HAIRLINE, INK, QUIET, paper_stylesheet

WARNING = "#A3341F"


def floor_stylesheet(scale: float) -> str:
    """Return rules for black on white at 1:scale; line widths follow the ISO 128 series."""

    def pen(width_mm: float) -> str:
        return f"stroke-width:{width_mm * scale:g}"

    dash = 1.0 * scale
    return paper_stylesheet(scale) + "".join(
        (
            "text{font-family:'Source Sans 3',sans-serif}",
            ".floor-ground{fill:#fff}.too-narrow{fill:#E9E6DE}",
            f".floor-wall{{stroke:{INK};{pen(0.7)};stroke-linejoin:miter}}",
            f".section-area{{stroke:{HAIRLINE};{pen(0.25)};stroke-dasharray:{dash:g} {dash:g}}}",
            f".turning{{stroke:{QUIET};{pen(0.18)};stroke-dasharray:{2 * dash:g} {dash:g}}}",
            f".door-opening{{stroke:#fff;{pen(1.1)}}}.door-jamb{{stroke:{INK};{pen(0.5)}}}",
            f".swing{{stroke:{QUIET};{pen(0.18)}}}.door-leaf{{stroke:{INK};{pen(0.35)}}}",
            f".floor-piece .piece-outline{{fill:#fff;stroke:{INK};{pen(0.35)}}}",
            f".floor-piece .piece--seat{{fill:#F8F7F4;stroke:{QUIET};{pen(0.25)}}}",
            f".floor-piece .piece--barrier{{fill:{QUIET};stroke:none}}",
            f".floor-piece .solid{{fill:{INK}}}.glass-line{{stroke:{QUIET};{pen(0.13)}}}",
            f".route{{stroke:{ACCENT};{pen(0.5)};stroke-linejoin:round;stroke-linecap:round}}",
            f".route-ground{{stroke:#fff;{pen(1.3)}}}",
            f".route--broken{{stroke-dasharray:{2 * dash:g} {1.5 * dash:g}}}",
            f".route-head{{fill:{ACCENT}}}",
            f".route-stop{{fill:#fff;stroke:{ACCENT};{pen(0.5)}}}",
            f".route-stop-name{{fill:{ACCENT};font-weight:600}}",
            f".narrow-line{{stroke:{QUIET};{pen(0.18)}}}.narrow-end{{stroke:{INK};{pen(0.25)}}}",
            f".narrow--aside{{stroke:{HAIRLINE}}}",
            f".narrow--short.narrow-line,.narrow--short.narrow-end{{stroke:{WARNING};{pen(0.35)}}}",
            f".narrow--least.narrow-line{{{pen(0.35)};stroke:{INK}}}",
            f".narrow--short.narrow--least.narrow-line{{stroke:{WARNING}}}",
            f"text.narrow--short{{fill:{WARNING}}}",
            "text.narrow--least{font-weight:600}",
            f".mark{{fill:{WARNING}}}.mark-figure{{fill:#fff;font-weight:600}}",
            f".dead-end{{stroke:{WARNING};{pen(0.5)}}}",
        )
    )
