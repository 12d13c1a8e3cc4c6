"""A small rotation to try things on: two prints take turns in one case for sixty days."""

from conservation.rotation.problem import Problem

TWO_PRINTS = Problem.from_dict(
    {
        "days": 60,
        "every_days": 30,
        "hours_a_day": 8,
        "places": [{"id": "case", "set": "prints", "lux": 50}],
        "objects": [
            {"id": name, "set": "prints", "longest_days": 30, "effort": 2} for name in "AB"
        ],
    }
)
