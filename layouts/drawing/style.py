"""The drawing's own stylesheet, for where no page brings one: paper and files."""

INK, QUIET, HAIRLINE, ACCENT = "#22272B", "#5A6168", "#A9A296", "#27489A"
FAMILY = "'Source Sans 3', sans-serif"


def paper_stylesheet(scale: float) -> str:
    """Return rules for black on white at 1:scale; line widths follow the ISO 128 series."""

    def pen(width_mm: float) -> str:
        return f"stroke-width:{width_mm * scale:g}"

    dash = 1.0 * scale
    return "".join(
        (
            f"text{{font-family:{FAMILY};fill:{INK};stroke:none}}",
            "rect,line,path,circle{fill:none}",
            f".wall{{fill:#fff}}.wall-end{{stroke:{INK};{pen(0.25)}}}",
            f".floor-line{{stroke:{INK};{pen(0.7)}}}",
            f".match{{stroke:{ACCENT};{pen(0.35)};stroke-dasharray:{3 * dash:g} {dash:g}}}",
            ".zone--dim{fill:#EFEDE7}.zone--medium{fill:#F8F7F4}.zone--bright{fill:#fff}",
            f".zone-end{{stroke:{HAIRLINE};{pen(0.18)};stroke-dasharray:{dash:g} {dash:g}}}",
            f".fixing{{stroke:{HAIRLINE};{pen(0.18)}}}",
            f".blocked{{fill:#fff;stroke:{INK};{pen(0.35)}}}.hatch{{stroke:{QUIET};{pen(0.13)}}}",
            ".ground,.piece{fill:#fff}",
            f".datum{{stroke:{ACCENT};{pen(0.25)};"
            f"stroke-dasharray:{6 * dash:g} {dash:g} {dash:g} {dash:g}}}",
            f".figure--datum{{fill:{ACCENT};font-weight:600}}",
            f".figure--quiet{{fill:{QUIET}}}",
            ".figure--strong,.piece-number,.section-title{font-weight:600}",
            f".piece-outline{{stroke:{INK};{pen(0.35)}}}",
            f".label-block{{fill:#fff;stroke:{QUIET};{pen(0.18)}}}.label-text{{stroke:{QUIET};{pen(0.13)}}}",
            f".hook-ground{{stroke:#fff;{pen(0.9)}}}.hook{{stroke:{ACCENT};{pen(0.35)}}}",
            f".section-bracket{{stroke:{INK};{pen(0.25)}}}",
            f".dimension{{stroke:{QUIET};{pen(0.13)}}}.dimension-end{{stroke:{INK};{pen(0.25)}}}",
            f".dimension-origin{{fill:#fff;stroke:{INK};{pen(0.25)}}}",
            f".scale-bar{{fill:#fff;stroke:{INK};{pen(0.18)}}}.scale-bar--full{{fill:{INK}}}",
        )
    )
