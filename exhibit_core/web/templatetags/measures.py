"""Lengths in the words of rooms."""

from django import template

register = template.Library()


@register.filter
def metres(mm: int) -> str:
    """Write millimetres as metres, to the centimetre where needed."""
    return f"{mm / 1000:.3f}".rstrip("0").rstrip(".") + "\u00a0m"


@register.filter
def thousands(mm: int | None) -> str:
    """Write whole millimetres with a space between thousands."""
    return "" if mm is None else f"{mm:,}".replace(",", "\u00a0")
