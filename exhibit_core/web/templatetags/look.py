"""What the components need besides what is passed to them."""

from django import template
from django.middleware.csrf import get_token
from django.template import Context
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()

UNITS = {"mm", "kg", "g", "lux"}


@register.simple_tag(takes_context=True)
def csrf_field(context: Context) -> SafeString:
    """Write the token field also inside `{% include … only %}`, which drops `csrf_token`."""
    token = get_token(context.request)  # type: ignore[attr-defined]
    return format_html('<input type="hidden" name="csrfmiddlewaretoken" value="{}">', token)


@register.filter
def permille(value: int) -> str:
    """Turn 0 to 1000 into an SVG length in per cent of the width."""
    return f"{value / 10:g}%"


@register.filter
def spoken(name: str) -> str:
    """Turn a field's name into words, its unit in brackets: width_mm is "width (mm)"."""
    words, _, unit = name.rpartition("_")
    if words and unit in UNITS:
        return f"{words} ({unit})".replace("_", " ")
    return name.replace("_", " ")
