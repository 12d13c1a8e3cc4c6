"""How many examples a property is tried with: few in the usual run, thousands when wandering."""

from hypothesis import HealthCheck, settings

WANDERING = not settings.default.derandomize


def few(count: int) -> settings:
    """Return settings with some examples; `--hypothesis-profile=wander` tries thousands."""
    return settings(
        max_examples=settings.default.max_examples if WANDERING else count,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )
