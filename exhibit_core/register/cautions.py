"""What to mind with a hazardous object: usual cautions, which local codes and experts overrule."""

from dataclasses import dataclass

from exhibit_core.register.models import Hazard, MuseumObject

DEFER = "Local codes and people trained for this decide."
# Common practice; the groups are those of collection-hazard guides for museums (the hazards page of
# the AIC wiki and the list of Museums & Galleries of NSW, as known at the start of 2026).
_WORDS = {
    Hazard.MERCURY: "Keep and carry it upright, in a second, tight container, with a spill kit "
    "at hand. Never by air without the carrier's approval.",
    Hazard.RADIOACTIVE: "Do not open it. Have the dose measured; air the store, since radon "
    "gathers. What a licence is needed for differs from country to country.",
    Hazard.ARSENIC: "Gloves; nobody touches it on display; wash afterwards. A test by X-ray "
    "fluorescence tells how much there is.",
    Hazard.LEAD: "Gloves; nobody touches it on display; wash hands afterwards.",
    Hazard.ASBESTOS: "Leave it undisturbed and sealed. Only a licensed contractor works on it.",
    Hazard.CELLULOSE_NITRATE: "Keep it cool, aired, apart from metals and other objects, and "
    "away from anything that may ignite it.",
    Hazard.PESTICIDE: "Gloves; nobody touches it on display. Take it to be poisoned until tested.",
    Hazard.MOULD: "Keep it apart from other objects until a conservator has seen it. Gloves and "
    "a mask.",
    Hazard.SHARP: "Plan every step of handling it: edges, weight, who holds where.",
    Hazard.OTHER: "See the note, and ask the conservator before handling it.",
}


@dataclass(frozen=True)
class Caution:
    title: str
    words: str


def cautions_for(obj: MuseumObject) -> list[Caution]:
    """Return a caution for each hazard of an object, and one for restricted materials."""
    found = [Caution(Hazard(code).label, f"{_WORDS[Hazard(code)]} {DEFER}") for code in obj.hazards]
    if obj.restricted_materials:
        found.append(
            Caution(
                f"restricted material: {obj.restricted_materials}",
                "It may need a permit to cross a border or to be shown, and permits take weeks. "
                "Laws change: the registrar asks the authorities of both countries.",
            )
        )
    return found
