"""Hangs: how an exhibition's wall objects are arranged, in versions."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.spaces.models import Wall

# The states in which an answer hangs something.
PLACED = ("optimal", "feasible")
FEWEST_ROWS, MOST_ROWS = 2, 6
LOWEST_DATUM_MM, HIGHEST_DATUM_MM = 100, 20_000
_NO_LOWER = MinValueValidator(LOWEST_DATUM_MM)
_NO_HIGHER = MaxValueValidator(HIGHEST_DATUM_MM)


class Hang(models.Model):
    """One layout of an exhibition: which walls, which rule, which labels."""

    class Kind(models.TextChoices):
        EVEN = "even", "even run"
        BY_SECTION = "by_section", "by section"
        MIRRORED = "mirrored", "mirrored"
        RISE = "rise", "rising"
        CENTRE_HIGH = "centre_high", "highest in the middle"
        RELATED = "related", "related side by side"
        ROWS = "rows", "in rows"
        CLUSTER = "cluster", "tight group"

    class Align(models.TextChoices):
        CENTRELINE = "centreline", "centreline"
        TOP = "top", "top edges"
        BOTTOM = "bottom", "bottom edges"
        HANGING_LINE = "hanging_line", "hanging line"

    class Ends(models.TextChoices):
        SAME = "same", "same as the gaps"
        HALF = "half", "half a gap"
        FREE = "free", "free"

    class LabelSide(models.TextChoices):
        NONE = "", "no labels"
        RIGHT = "right", "to the right"
        LEFT = "left", "to the left"
        BELOW = "below", "below"

    exhibition = models.ForeignKey(Exhibition, on_delete=models.CASCADE, related_name="hangs")
    title = models.CharField(max_length=200)
    walls = models.ManyToManyField(Wall, related_name="hangs")
    sections = models.ManyToManyField(
        Section, blank=True, related_name="hangs", help_text="None chosen means all sections"
    )
    kind = models.CharField("arrangement", max_length=12, choices=Kind, default=Kind.BY_SECTION)
    align = models.CharField("alignment", max_length=12, choices=Align, default=Align.CENTRELINE)
    datum_mm = models.PositiveIntegerField(
        "datum (mm from the floor)",
        default=1500,
        validators=[_NO_LOWER, _NO_HIGHER],
    )
    lowest_edge_mm = models.PositiveIntegerField(
        "lowest edge (mm from the floor)", null=True, blank=True, validators=[_NO_HIGHER]
    )
    highest_edge_mm = models.PositiveIntegerField(
        "highest edge (mm from the floor)", null=True, blank=True, validators=[_NO_HIGHER]
    )
    rows = models.PositiveSmallIntegerField(
        "number of rows",
        default=FEWEST_ROWS,
        validators=[MinValueValidator(FEWEST_ROWS), MaxValueValidator(MOST_ROWS)],
    )
    row_gap_mm = models.PositiveIntegerField("between rows (mm)", default=200)
    ends = models.CharField("at the ends of a run", max_length=4, choices=Ends, default=Ends.SAME)
    min_gap_mm = models.PositiveIntegerField("smallest gap (mm)", default=100)
    max_gap_mm = models.PositiveIntegerField("largest gap (mm)", null=True, blank=True)
    section_gap_mm = models.PositiveIntegerField("gap between sections (mm)", null=True, blank=True)
    keep_order = models.BooleanField("keep the order of the list", default=False)
    label_side = models.CharField(
        "labels", max_length=5, choices=LabelSide, blank=True, default=LabelSide.RIGHT
    )
    label_width_mm = models.PositiveIntegerField("label width (mm)", default=150)
    label_height_mm = models.PositiveIntegerField("label height (mm)", default=100)
    label_gap_mm = models.PositiveIntegerField("gap to the label (mm)", default=40)
    version = models.PositiveIntegerField(default=1, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["exhibition", "title"], name="hang_title_once")
        ]

    def __str__(self) -> str:
        return self.title

    def clean(self) -> None:
        low, high = self.lowest_edge_mm, self.highest_edge_mm
        if low is not None and high is not None and high <= low:
            raise ValidationError(
                {"highest_edge_mm": f"It must be above the lowest edge of {low} mm."}
            )


class WallDatum(models.Model):
    """A datum that holds on one wall of a hang, instead of the hang's own."""

    hang = models.ForeignKey(Hang, on_delete=models.CASCADE, related_name="wall_datums")
    wall = models.ForeignKey(Wall, on_delete=models.CASCADE, related_name="wall_datums")
    datum_mm = models.PositiveIntegerField(
        "datum (mm from the floor)", validators=[_NO_LOWER, _NO_HIGHER]
    )

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["hang", "wall"], name="datum_once_per_wall")]

    def __str__(self) -> str:
        return f"{self.datum_mm} mm on {self.wall}"


class HangRule(models.Model):
    """What objects must do: hang together, so far apart, near each other, on some walls only."""

    class Kind(models.TextChoices):
        TOGETHER = "together", "together"
        APART = "apart", "apart"
        NEAR = "near", "near each other"
        ON_WALLS = "on_walls", "only on some walls"

    class Weight(models.IntegerChoices):
        """How much it matters that objects hang near each other."""

        A_LITTLE = 1, "a little"
        SOMEWHAT = 2, "somewhat"
        MUCH = 3, "much"
        VERY_MUCH = 4, "very much"
        ABOVE_ALL = 5, "above all"

    hang = models.ForeignKey(Hang, on_delete=models.CASCADE, related_name="rules")
    kind = models.CharField(max_length=8, choices=Kind)
    entries = models.ManyToManyField(ListEntry, related_name="hang_rules")
    section = models.ForeignKey(
        Section, on_delete=models.CASCADE, null=True, blank=True, related_name="hang_rules"
    )
    walls = models.ManyToManyField(Wall, blank=True, related_name="hang_rules")
    at_least_mm = models.PositiveIntegerField("at least apart (mm)", null=True, blank=True)
    weight = models.PositiveSmallIntegerField(
        "how much it matters", choices=Weight, null=True, blank=True
    )

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.get_kind_display()

    @property
    def words(self) -> str:
        """Say the rule in one phrase; wants entries with their objects, section and walls."""
        numbers = ", ".join(entry.object.number for entry in self.entries.all())
        if self.kind == self.Kind.ON_WALLS:
            who = f"section {self.section.number}" if self.section else numbers
            return f"{who}: only on {', '.join(wall.name for wall in self.walls.all())}"
        if self.kind == self.Kind.APART:
            return f"{numbers}: at least {self.at_least_mm} mm apart"
        if self.kind == self.Kind.NEAR:
            return f"{numbers}: near each other, which matters {self.get_weight_display()}"
        return f"{numbers}: together"


class FixedPlace(models.Model):
    """An object that must hang on this wall and, where given, exactly here."""

    hang = models.ForeignKey(Hang, on_delete=models.CASCADE, related_name="fixed_places")
    entry = models.ForeignKey(ListEntry, on_delete=models.CASCADE, related_name="fixed_places")
    wall = models.ForeignKey(Wall, on_delete=models.CASCADE, related_name="fixed_places")
    x_mm = models.PositiveIntegerField("left edge from the left end (mm)", null=True, blank=True)
    y_mm = models.PositiveIntegerField("bottom edge from the floor (mm)", null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["hang", "entry"], name="fixed_once_per_hang")
        ]

    def __str__(self) -> str:
        return f"{self.entry} on {self.wall}"


class KeptPlace(models.Model):
    """A place kept for an object still to come: it hangs as a box that nothing else may take."""

    hang = models.ForeignKey(Hang, on_delete=models.CASCADE, related_name="kept_places")
    name = models.CharField("what it is kept for", max_length=60)
    width_mm = models.PositiveIntegerField("width (mm)", validators=[MinValueValidator(1)])
    height_mm = models.PositiveIntegerField("height (mm)", validators=[MinValueValidator(1)])
    section = models.ForeignKey(
        Section, on_delete=models.SET_NULL, null=True, blank=True, related_name="kept_places"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["hang", "name"], name="kept_once_per_hang")]

    def __str__(self) -> str:
        return self.name

    @property
    def words(self) -> str:
        """Say in one phrase what is kept; wants the section selected."""
        where = f", section {self.section.number}" if self.section else ""
        return f"{self.name}: {self.height_mm} × {self.width_mm} mm{where}"


class HangVersion(models.Model):
    """One computed answer, kept as it was asked and answered; never changed afterwards."""

    hang = models.ForeignKey(Hang, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField()
    problem = models.JSONField()
    solution = models.JSONField()
    captions = models.JSONField(default=dict, blank=True)
    status = models.CharField(max_length=10)
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-number"]
        constraints = [models.UniqueConstraint(fields=["hang", "number"], name="hang_version_once")]

    def __str__(self) -> str:
        return f"{self.hang.title}, version {self.number}"

    @property
    def places(self) -> bool:
        """True when the answer hangs something, rather than saying why nothing can hang."""
        return self.status in PLACED
