"""What each action of the command `light` teaches; every example runs."""

CLASS = """Find the class of responsivity of an object from its materials.

The most sensitive material decides; one that the table does not know counts as R2, and is said.

Example:
  $ python -m conservation light class "oil on canvas" "gilded wood" brass
"""

LIMIT = """Show the limits of light of a class under a rule set.

Example:
  $ python -m conservation light limit --class R1 --rules texas --table
"""

DOSE = """Sum the dose of intervals of light, against the yearly limit of a class or a budget.

The file is a CSV with the columns lux and hours, and perhaps what. Exit code 1: a limit is broken.

Example:
  $ printf 'what,lux,hours\\nopen,50,2450\\ncleaning,80,150\\nnight,1,6160\\n' |\\
    python -m conservation light dose - --class R2 --table
"""

CALENDAR = """Find the dose of a show from day to day, and the day on which a budget is spent.

The file is a JSON object: `first` and `last` day, `class` (with `rule_set`) or `budget_lux_h`,
`years` that a budget by class spans (1 if absent), `already_lux_h` taken before, and `habits`:
what, lux, hours_a_day, and perhaps weekdays (1 is Monday), first, last.
The answer also names the 365 days with the most light.
Exit code 1: the budget is spent before the last day, or a level is too bright for the class.

Example:
  $ printf '{"first": "2026-03-01", "last": "2026-05-29", "class": "R3", "years": 2,\\
    "habits": [{"what": "open", "lux": 50, "hours_a_day": 7},\\
    {"what": "cleaning", "lux": 80, "hours_a_day": 1, "weekdays": [1]}]}' |\\
    python -m conservation light calendar - --table || true
"""

KEEP = """Find the brightest level, or the longest time, that keeps a budget.

Example:
  $ python -m conservation light keep --class R3 --hours 600 --other 2000
  $ python -m conservation light keep --class R3 --lux 50
"""

FADE = """Count just noticeable fades for a dose, and the years until one, with and without UV.

The count is a straight line of first order: it shows a tendency, not the look of a colour.

Example:
  $ python -m conservation light fade --step 1 --dose 150000 --per-year 15000 --table
"""

UV = """Find the ultraviolet irradiance from level and content, and check the content.

Exit code 1: the content is above the limit.

Example:
  $ python -m conservation light uv --lux 50 --content 75
"""

SPECTRUM = """Find the effective irradiance and the time to a threshold from a spectrum.

The file is a CSV with the columns nm and w_per_m2_nm, wavelengths rising. Materials: see the table
damage_spectra (low_grade_paper, rag_paper, oil_on_canvas, textiles, watercolour_on_rag_paper).

Example:
  $ printf 'nm,w_per_m2_nm\\n380,0\\n450,0.0006\\n600,0.0008\\n780,0\\n' |\\
    python -m conservation light spectrum - --material textiles --table
"""
