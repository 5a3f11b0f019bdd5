"""What a polariser can do: darken clear sky, and take glare off water.

One surprising decision: the degree of polarisation is given with a real sky's ceiling, not the ideal 1, and
advice comes as words with stated thresholds, because the sky on the day is always less tidy than the formula.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import atan, cos, degrees, radians, sin

from logbook.craft.bearings import separation_deg, wrap_bearing_deg
from logbook.craft.errors import CraftValueError
from logbook.craft.view import View

# Clear sky reaches 0.75 to 0.85 at 90 deg from the sun (Coulson 1988, Polarization and Intensity of Light
# in the Atmosphere).
CLEAR_SKY_CEILING = 0.80
STRONG_FROM = 0.5  # degree of polarisation; own convention
MODERATE_FROM = 0.2  # degree of polarisation; own convention
EVEN_UP_TO = 0.15  # range of the degree over the frame's sky; own convention
GRADED_UP_TO = 0.35  # range of the degree over the frame's sky; own convention
WATER_INDEX = 1.333  # refractive index of water at 550 nm, 25 C (Hale and Querry 1973, Table I)
LOWEST_SUN_DEG = -6.0  # the single-scattering picture of the sky ends with civil twilight; own convention
_GRID = (17, 9)  # points across and up the frame


class PolariserEffect(StrEnum):
    """How much a polariser can change."""

    WEAK = "weak"
    MODERATE = "moderate"
    STRONG = "strong"


class Evenness(StrEnum):
    """How evenly a polariser darkens the sky over the frame; `uneven` shows as a dark band."""

    EVEN = "even"
    GRADED = "graded"
    UNEVEN = "uneven"


@dataclass(frozen=True, slots=True)
class SkyPolarisation:
    """Degree of polarisation (0 to 1) of the clear sky in a frame, and what that means for a polariser.

    `band_azimuths_deg` are the two bearings where the strongest band meets the horizon; it is highest
    opposite the sun, at `band_top_altitude_deg` over `band_top_azimuth_deg`. `all_round`: under a high sun
    the sky is strongly polarised along the whole horizon, whichever way one looks.
    """

    least: float
    greatest: float
    effect: PolariserEffect
    evenness: Evenness
    band_azimuths_deg: tuple[float, float]
    band_top_azimuth_deg: float
    band_top_altitude_deg: float
    all_round: bool

    @property
    def spread(self) -> float:
        """Greatest less least degree of polarisation over the frame's sky."""
        return self.greatest - self.least


def rayleigh_degree(from_sun_deg: float, ceiling: float = CLEAR_SKY_CEILING) -> float:
    """Degree of polarisation of clear sky at an angle from the sun, single Rayleigh scattering.

    sin^2 / (1 + cos^2) of the angle (Lord Rayleigh 1871), times the greatest value a real sky reaches.
    CraftValueError for a ceiling outside 0 to 1.
    """
    if not 0.0 <= ceiling <= 1.0:
        raise CraftValueError(
            f"A degree of polarisation of {ceiling:g} is not possible; give one between 0 and 1."
        )
    angle = radians(from_sun_deg)
    return ceiling * sin(angle) ** 2 / (1.0 + cos(angle) ** 2)


def sky_polarisation(
    view: View, sun_azimuth_deg: float, sun_altitude_deg: float, ceiling: float = CLEAR_SKY_CEILING
) -> SkyPolarisation | None:
    """Polarisation over the clear sky in the frame; None if it holds no sky or the sun is far down."""
    if sun_altitude_deg < LOWEST_SUN_DEG:
        return None
    sky = [(azimuth, altitude) for azimuth, altitude in view.directions(*_GRID) if altitude >= 0.0]
    if not sky:
        return None
    angles_deg = [separation_deg(*point, sun_azimuth_deg, sun_altitude_deg) for point in sky]
    polarised = [rayleigh_degree(angle, ceiling) for angle in angles_deg]
    least, greatest = min(polarised), max(polarised)
    opposite_deg = 180.0 if sun_altitude_deg >= 0.0 else 0.0
    return SkyPolarisation(
        least=least,
        greatest=greatest,
        effect=_effect(greatest),
        evenness=_evenness(greatest - least),
        band_azimuths_deg=(
            wrap_bearing_deg(sun_azimuth_deg - 90.0),
            wrap_bearing_deg(sun_azimuth_deg + 90.0),
        ),
        band_top_azimuth_deg=wrap_bearing_deg(sun_azimuth_deg + opposite_deg),
        band_top_altitude_deg=90.0 - abs(sun_altitude_deg),
        all_round=rayleigh_degree(sun_altitude_deg, ceiling) >= STRONG_FROM,
    )


def brewster_angle_deg(index: float = WATER_INDEX) -> float:
    """Angle of incidence at which reflected light is wholly polarised: atan n (Hecht, sec. 8.6).

    CraftValueError for an index that does not exceed the air's.
    """
    if index <= 1.0:
        raise CraftValueError(f"A refractive index of {index:g} is not possible; water has {WATER_INDEX}.")
    return degrees(atan(index))


def _effect(degree: float) -> PolariserEffect:
    if degree >= STRONG_FROM:
        return PolariserEffect.STRONG
    return PolariserEffect.MODERATE if degree >= MODERATE_FROM else PolariserEffect.WEAK


def _evenness(spread: float) -> Evenness:
    if spread <= EVEN_UP_TO:
        return Evenness.EVEN
    return Evenness.GRADED if spread <= GRADED_UP_TO else Evenness.UNEVEN
