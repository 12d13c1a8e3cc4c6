"""The one list of objects, with everything that is known of each."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from exhibit_core.register import money, numbers, text

LARGEST_MM = 100_000
LARGEST_G = 100_000_000


class Hazard(models.TextChoices):
    MERCURY = "mercury", "mercury"
    RADIOACTIVE = "radioactive", "radioactive"
    ARSENIC = "arsenic", "arsenic"
    LEAD = "lead", "lead"
    ASBESTOS = "asbestos", "asbestos"
    CELLULOSE_NITRATE = "cellulose_nitrate", "cellulose nitrate"
    PESTICIDE = "pesticide", "pesticide residue"
    MOULD = "mould", "mould or pests"
    SHARP = "sharp", "sharp or heavy parts"
    OTHER = "other", "other: see note"


def validate_hazards(codes: list[str]) -> None:
    if unknown := sorted(set(codes) - set(Hazard.values)):
        known = ", ".join(Hazard.values)
        raise ValidationError(f"Unknown hazard {', '.join(unknown)}: use {known}.")


class Lender(models.Model):
    """Someone who lends; the address is seen only by those who may see money values."""

    name = models.CharField(max_length=200, unique=True)
    address = models.TextField(blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=60, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class MuseumObject(models.Model):
    """One object of the register; without a lender it is of the own collection."""

    number = models.CharField("object number", max_length=60, unique=True)
    number_key = models.CharField(max_length=200, db_index=True, editable=False)
    title = models.CharField(max_length=300)
    object_type = models.CharField("object type", max_length=100, blank=True)
    maker = models.CharField(max_length=200, blank=True)
    date_text = models.CharField("date", max_length=100, blank=True)
    year_from = models.SmallIntegerField("earliest year", null=True, blank=True)
    year_to = models.SmallIntegerField("latest year", null=True, blank=True)
    place = models.CharField(max_length=200, blank=True)
    materials = models.CharField(max_length=500, blank=True)
    technique = models.CharField(max_length=300, blank=True)
    inscriptions = models.TextField(blank=True)
    features = models.TextField("distinguishing features", blank=True)
    description = models.TextField(blank=True)
    credit_line = models.CharField("credit line", max_length=300, blank=True)
    lender = models.ForeignKey(
        Lender, on_delete=models.PROTECT, null=True, blank=True, related_name="lent_objects"
    )
    value = models.DecimalField(
        "insurance value",
        max_digits=16,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    currency = models.CharField(max_length=3, blank=True, help_text="ISO 4217 code, as in EUR")
    hazards = models.JSONField(default=list, blank=True, validators=[validate_hazards])
    hazard_note = models.CharField("hazard note", max_length=300, blank=True)
    restricted_materials = models.CharField(
        "restricted materials",
        max_length=300,
        blank=True,
        help_text="Materials that may need a permit, as in ivory or tortoiseshell",
    )
    max_lux = models.PositiveIntegerField(
        "light limit (lx)",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(200_000)],
    )
    search_text = models.TextField(editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["number_key"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(year_from=None)
                | models.Q(year_to=None)
                | models.Q(year_from__lte=models.F("year_to")),
                name="object_years_in_order",
                violation_error_message="The earliest year is later than the latest year.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    def clean(self) -> None:
        if self.value is None:
            return
        try:
            money.check_amount(self.value, self.currency)
        except money.MoneyError as error:
            raise ValidationError({"value": str(error)}) from error

    def derive(self) -> None:
        """Fill the columns that follow from others: sort key and search text."""
        self.number_key = numbers.natural_key(self.number)
        words = [
            self.number,
            self.title,
            self.object_type,
            self.maker,
            self.date_text,
            self.place,
            self.materials,
            self.lender.name if self.lender_id else "",
        ]
        self.search_text = text.fold(" ".join(word for word in words if word))

    @property
    def hazard_words(self) -> list[str]:
        return [str(Hazard(code).label) for code in self.hazards]


class Measurement(models.Model):
    """One act of measuring, or one statement of size; never overwritten, only withdrawn."""

    class State(models.TextChoices):
        BARE = "bare", "bare"
        FRAMED = "framed", "framed"
        MOUNTED = "mounted", "mounted"
        CRATED = "crated", "crated"
        PART = "part", "part"

    class Basis(models.TextChoices):
        STATED = "stated", "stated"
        MEASURED = "measured", "measured"

    object = models.ForeignKey(MuseumObject, on_delete=models.CASCADE, related_name="measurements")
    state = models.CharField("measured as", max_length=8, choices=State, default=State.BARE)
    part = models.CharField(max_length=60, blank=True)
    basis = models.CharField(max_length=8, choices=Basis, default=Basis.STATED)
    height_mm = models.PositiveIntegerField("height (mm)", null=True, blank=True)
    width_mm = models.PositiveIntegerField("width (mm)", null=True, blank=True)
    depth_mm = models.PositiveIntegerField("depth (mm)", null=True, blank=True)
    diameter_mm = models.PositiveIntegerField("diameter (mm)", null=True, blank=True)
    mass_g = models.PositiveIntegerField("weight (g)", null=True, blank=True)
    hang_point_mm = models.PositiveIntegerField(
        "hanging point (mm)",
        null=True,
        blank=True,
        help_text="From the top edge down to where it bears on the hook, wire taut",
    )
    by_whom = models.CharField("by whom", max_length=120, blank=True)
    on = models.DateField("date", null=True, blank=True)
    source_text = models.TextField("as written", blank=True)
    withdrawn = models.BooleanField(default=False, editable=False)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                # Each with its own test for null: a comparison with null alone would pass.
                condition=models.Q(height_mm__isnull=False, height_mm__gt=0)
                | models.Q(width_mm__isnull=False, width_mm__gt=0)
                | models.Q(depth_mm__isnull=False, depth_mm__gt=0)
                | models.Q(diameter_mm__isnull=False, diameter_mm__gt=0)
                | models.Q(mass_g__isnull=False, mass_g__gt=0),
                name="measurement_says_something",
                violation_error_message="Give at least one dimension or the weight.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_state_display()}, {self.get_basis_display()}"

    def clean(self) -> None:
        for name in ("height_mm", "width_mm", "depth_mm", "diameter_mm"):
            value = getattr(self, name)
            if value is not None and value > LARGEST_MM:
                said = f"{value} mm is over {LARGEST_MM} mm: check the unit."
                raise ValidationError({name: said})
        if self.mass_g is not None and self.mass_g > LARGEST_G:
            raise ValidationError({"mass_g": f"{self.mass_g} g is over {LARGEST_G} g."})


class Picture(models.Model):
    """A picture of an object in three sizes, upright and without location data."""

    object = models.ForeignKey(MuseumObject, on_delete=models.CASCADE, related_name="pictures")
    large = models.FileField(upload_to="pictures/large/")
    medium = models.FileField(upload_to="pictures/medium/")
    small = models.FileField(upload_to="pictures/small/")
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    caption = models.CharField(max_length=300, blank=True)
    position = models.PositiveSmallIntegerField(default=0)
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["object", "sha256"], name="picture_once_per_object")
        ]

    def __str__(self) -> str:
        return self.caption or f"Picture of {self.object}"
