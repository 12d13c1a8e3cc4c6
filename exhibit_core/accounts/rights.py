"""Who may do what: the one table of rights."""

from django.db import models


class Role(models.TextChoices):
    CURATOR = "curator", "curator"
    REGISTRAR = "registrar", "registrar"
    CONSERVATOR = "conservator", "conservator"
    DESIGNER = "designer", "exhibition designer"
    GRAPHIC_DESIGNER = "graphic_designer", "graphic designer"
    TECHNICIAN = "technician", "technician"
    HEAD = "head", "head of exhibitions"
    ADMINISTRATOR = "administrator", "administrator"


class Right(models.TextChoices):
    SEE = "see", "see the register, exhibitions, rooms and hangs"
    SEE_MONEY = "see_money", "see money values and lenders' addresses"
    EDIT_MONEY = "edit_money", "change money values and lenders"
    EDIT_REGISTER = "edit_register", "add and change objects"
    MEASURE = "measure", "record dimensions and pictures"
    SET_LIMITS = "set_limits", "set light limits and hazards"
    IMPORT = "import", "bring in object lists"
    EDIT_EXHIBITION = "edit_exhibition", "set up exhibitions and sections"
    CHOOSE = "choose", "choose objects: stage, section and order"
    EDIT_SPACES = "edit_spaces", "describe rooms and walls"
    HANG = "hang", "compute and accept hangs"
    MANAGE_PEOPLE = "manage_people", "give people their roles"


_ALL = frozenset(Role)
_MONEY = frozenset({Role.REGISTRAR, Role.HEAD, Role.ADMINISTRATOR})

RIGHTS: dict[Right, frozenset[Role]] = {
    Right.SEE: _ALL,
    Right.SEE_MONEY: _MONEY,
    Right.EDIT_MONEY: frozenset({Role.REGISTRAR, Role.ADMINISTRATOR}),
    Right.EDIT_REGISTER: frozenset({Role.CURATOR, Role.REGISTRAR, Role.ADMINISTRATOR}),
    Right.MEASURE: frozenset(
        {Role.REGISTRAR, Role.CONSERVATOR, Role.DESIGNER, Role.TECHNICIAN, Role.ADMINISTRATOR}
    ),
    Right.SET_LIMITS: frozenset({Role.REGISTRAR, Role.CONSERVATOR, Role.ADMINISTRATOR}),
    Right.IMPORT: frozenset({Role.CURATOR, Role.REGISTRAR, Role.ADMINISTRATOR}),
    Right.EDIT_EXHIBITION: frozenset({Role.CURATOR, Role.HEAD, Role.ADMINISTRATOR}),
    Right.CHOOSE: frozenset({Role.CURATOR, Role.REGISTRAR, Role.HEAD, Role.ADMINISTRATOR}),
    Right.EDIT_SPACES: frozenset({Role.DESIGNER, Role.ADMINISTRATOR}),
    Right.HANG: frozenset({Role.DESIGNER, Role.ADMINISTRATOR}),
    Right.MANAGE_PEOPLE: frozenset({Role.ADMINISTRATOR}),
}
