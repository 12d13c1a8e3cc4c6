"""People and the roles they hold."""

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import models

from exhibit_core.accounts.rights import RIGHTS, Right, Role


def validate_roles(roles: list[str]) -> None:
    if unknown := sorted(set(roles) - set(Role.values)):
        raise ValidationError(f"Unknown roles: {', '.join(unknown)}.")


class User(AbstractUser):
    """A person; one without a role is an outsider and sees nothing."""

    class Unit(models.TextChoices):
        CM = "cm", "centimetres"
        INCH = "in", "inches"

    name = models.CharField(max_length=120)
    roles = models.JSONField(default=list, blank=True, validators=[validate_roles])
    unit = models.CharField(max_length=2, choices=Unit, default=Unit.CM)

    def __str__(self) -> str:
        return self.name or self.username

    def has_right(self, right: Right) -> bool:
        return self.is_active and not RIGHTS[right].isdisjoint(self.roles)

    @property
    def role_words(self) -> list[str]:
        return [str(Role(code).label) for code in self.roles]
