"""The stylesheet of showcases, for where no page brings one: paper and files."""

from layouts.drawing.style import INK, QUIET, paper_stylesheet

GLASS = "#7FA3B8"


def case_stylesheet(scale: float) -> str:
    """Return rules for paper at 1:scale, those of walls and those of cases."""

    def pen(width_mm: float) -> str:
        return f"stroke-width:{width_mm * scale:g}"

    dash = 0.8 * scale
    return paper_stylesheet(scale) + "".join(
        (
            ".case-inside{fill:#fff}.case-outside{fill:#F8F7F4}",
            f".glass{{stroke:{GLASS};{pen(0.5)}}}.closed{{stroke:{INK};{pen(0.7)}}}",
            f".shelf{{fill:#DCE7EC;stroke:{GLASS};{pen(0.18)}}}",
            f".shelf--opaque{{fill:#D6D2C9;stroke:{QUIET}}}",
            f".shelf-edge{{stroke:{GLASS};{pen(0.35)}}}",
            f".usable{{stroke:#C9C3B8;{pen(0.13)};stroke-dasharray:{dash:g} {dash:g}}}",
            ".label-strip{fill:#F1EEE6}",
            ".piece{fill:#EFEAE0}",
        )
    )
