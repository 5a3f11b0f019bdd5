"""How much the air lifts a body.

One surprising decision: below the point where the sun's upper limb sets there is no refraction at all, as in
the solar position algorithm this follows: nobody sees what is lifted there.
"""

from dataclasses import dataclass
from math import radians, tan

# Reda and Andreas, NREL/TP-560-34302: 0.26667 deg semidiameter + 0.5667 deg refraction at the horizon.
LOWEST_REFRACTED_DEG = -0.8333667


@dataclass(frozen=True, slots=True)
class Air:
    """Pressure (hPa) and temperature (degrees Celsius) at the observer."""

    pressure_hpa: float = 1013.25  # ICAO standard atmosphere, sea level
    temperature_c: float = 12.0  # annual mean used by the solar position algorithm's check values


def refraction_deg(true_altitude_deg: float, air: Air) -> float:
    """Degrees added to a true altitude by refraction (Reda and Andreas, NREL/TP-560-34302, equation 42)."""
    if true_altitude_deg < LOWEST_REFRACTED_DEG:
        return 0.0
    density = (air.pressure_hpa / 1010.0) * (283.0 / (273.0 + air.temperature_c))
    argument_deg = true_altitude_deg + 10.3 / (true_altitude_deg + 5.11)
    return density * 1.02 / (60.0 * tan(radians(argument_deg)))
