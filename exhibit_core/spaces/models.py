"""Venues, rooms and walls: where things may hang. Lengths in mm from the wall's left end."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

LONGEST_WALL_MM = 500_000
HIGHEST_WALL_MM = 30_000


class Venue(models.Model):
    """A building, or a part of one, where exhibitions are shown."""

    name = models.CharField(max_length=200, unique=True)
    address = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Room(models.Model):
    """A room, in the visitor's order."""

    venue = models.ForeignKey(Venue, on_delete=models.PROTECT, related_name="rooms")
    name = models.CharField(max_length=100)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["venue", "name"], name="room_name_once")]

    def __str__(self) -> str:
        return self.name


class Wall(models.Model):
    """A wall as the visitor faces it, in the visitor's order within its room."""

    room = models.ForeignKey(Room, on_delete=models.PROTECT, related_name="walls")
    name = models.CharField(max_length=100)
    position = models.PositiveSmallIntegerField(default=0)
    length_mm = models.PositiveIntegerField(
        "length (mm)", validators=[MinValueValidator(100), MaxValueValidator(LONGEST_WALL_MM)]
    )
    height_mm = models.PositiveIntegerField(
        "height (mm)", validators=[MinValueValidator(100), MaxValueValidator(HIGHEST_WALL_MM)]
    )
    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["room__position", "room_id", "position", "pk"]
        constraints = [models.UniqueConstraint(fields=["room", "name"], name="wall_name_once")]

    def __str__(self) -> str:
        return f"{self.room.name}, {self.name}"


class BlockedArea(models.Model):
    """A part of a wall where nothing may hang, and why: a door, a hydrant, a vent."""

    wall = models.ForeignKey(Wall, on_delete=models.CASCADE, related_name="blocked_areas")
    what = models.CharField(max_length=100)
    x_mm = models.PositiveIntegerField("from the left end (mm)")
    y_mm = models.PositiveIntegerField("from the floor (mm)", default=0)
    width_mm = models.PositiveIntegerField("width (mm)", validators=[MinValueValidator(1)])
    height_mm = models.PositiveIntegerField("height (mm)", validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["x_mm", "pk"]

    def __str__(self) -> str:
        return self.what

    def clean(self) -> None:
        if None in (self.x_mm, self.width_mm, self.y_mm, self.height_mm):
            return
        if self.x_mm + self.width_mm > self.wall.length_mm:
            raise ValidationError(
                {
                    "width_mm": f"It ends at {self.x_mm + self.width_mm} mm; the wall is "
                    f"{self.wall.length_mm} mm long."
                }
            )
        if self.y_mm + self.height_mm > self.wall.height_mm:
            raise ValidationError(
                {
                    "height_mm": f"It reaches {self.y_mm + self.height_mm} mm; the wall is "
                    f"{self.wall.height_mm} mm high."
                }
            )


class Stretch(models.Model):
    """What holds from one place along a wall to another."""

    from_mm = models.PositiveIntegerField("from (mm)", default=0)
    to_mm = models.PositiveIntegerField("to (mm)")

    class Meta:
        abstract = True
        ordering = ["from_mm", "pk"]

    def clean(self) -> None:
        if None in (self.from_mm, self.to_mm):
            return
        if self.to_mm <= self.from_mm:
            raise ValidationError({"to_mm": "It must end after it begins."})
        if self.to_mm > self.wall.length_mm:
            raise ValidationError(
                {"to_mm": f"{self.to_mm} mm is beyond the wall's {self.wall.length_mm} mm."}
            )


class LightZone(Stretch):
    """How bright a stretch of wall is, at the brightest."""

    wall = models.ForeignKey(Wall, on_delete=models.CASCADE, related_name="light_zones")
    lux = models.PositiveIntegerField("light (lx)", validators=[MaxValueValidator(200_000)])

    def __str__(self) -> str:
        return f"{self.lux} lx from {self.from_mm} to {self.to_mm} mm"


class Fixing(Stretch):
    """What a stretch of wall carries; working loads, as the structure's engineer gave them."""

    wall = models.ForeignKey(Wall, on_delete=models.CASCADE, related_name="fixings")
    max_kg_per_object = models.DecimalField(
        "most per object (kg)", max_digits=8, decimal_places=1, null=True, blank=True
    )
    max_kg_per_m = models.DecimalField(
        "most per running metre (kg)", max_digits=8, decimal_places=1, null=True, blank=True
    )

    def __str__(self) -> str:
        return f"fixings from {self.from_mm} to {self.to_mm} mm"
