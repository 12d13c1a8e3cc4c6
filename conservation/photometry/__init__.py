"""Light from luminaires: photometric files, illuminance on surfaces, aiming and dimming.

Direct light in the far field only. No result is a certificate: lamps, wiring and work at height
belong to licensed practice, and a meter on the spot has the last word.
"""

from conservation.photometry.aiming import Aim, Setback, aim, place_before, setback
from conservation.photometry.dimming import Dimmed, DimmedPiece, Dimming, Lit, dim
from conservation.photometry.eulumdat import parse_eulumdat, read_eulumdat
from conservation.photometry.files import PhotometricFileError
from conservation.photometry.flux import Spread, beam_angle, field_angle, flux_lm, spread
from conservation.photometry.formulas import (
    cone_sr,
    dimming_for,
    luminance_cd_m2,
    lux_at,
    mean_cd,
    spot_mm,
)
from conservation.photometry.illuminance import (
    LIMITS,
    Illuminance,
    NearField,
    contributions,
    illuminance,
)
from conservation.photometry.intensity import intensity_cd
from conservation.photometry.lm63 import parse_lm63, read_lm63
from conservation.photometry.luminaire import Luminaire, aimed, pan_and_tilt_deg
from conservation.photometry.model import (
    LampTilt,
    Opening,
    Photometry,
    PhotometryError,
    distribution,
    unfold,
)
from conservation.photometry.practice import Practice, cautions, practice
from conservation.photometry.reading import read_photometry
from conservation.photometry.surfaces import (
    Rectangle,
    Uniformity,
    illuminance_on,
    lying,
    uniformity,
    upright,
)

__all__ = [
    "LIMITS",
    "Aim",
    "Dimmed",
    "DimmedPiece",
    "Dimming",
    "Illuminance",
    "LampTilt",
    "Lit",
    "Luminaire",
    "NearField",
    "Opening",
    "PhotometricFileError",
    "Photometry",
    "PhotometryError",
    "Practice",
    "Rectangle",
    "Setback",
    "Spread",
    "Uniformity",
    "aim",
    "aimed",
    "beam_angle",
    "cautions",
    "cone_sr",
    "contributions",
    "dim",
    "dimming_for",
    "distribution",
    "field_angle",
    "flux_lm",
    "illuminance",
    "illuminance_on",
    "intensity_cd",
    "luminance_cd_m2",
    "lux_at",
    "lying",
    "mean_cd",
    "pan_and_tilt_deg",
    "parse_eulumdat",
    "parse_lm63",
    "place_before",
    "practice",
    "read_eulumdat",
    "read_lm63",
    "read_photometry",
    "setback",
    "spot_mm",
    "spread",
    "unfold",
    "uniformity",
    "upright",
]
