"""The density of water and of air, and weighing in both, in grams per cubic centimetre and grams.

Water: M. Tanaka et al., Metrologia 38 (2001) 301, recommended by the CIPM; coefficients from memory, checked against
IAPWS-95. Air: the simple formula of OIML R 111-1, annex E; from memory, checked against a reference library.
"""

from cmath import exp
from typing import TypeVar

from ninefine.errors import RangeError

Number = TypeVar("Number", float, complex)

#: Mass standards are taken as steel of 8000 kg/m3 (OIML D 28, from memory).
STANDARD_DENSITY = 8.0
COLDEST_C, WARMEST_C = 0.0, 40.0
#: What water pulls on a thread through its surface: 72.8 mN/m at 20 C, around a thread 1 mm thick, in grams.
PULL_G_PER_MM = 0.0728 * 3.141592653589793e-3 / 9.80665 * 1000


def water_density(celsius: Number) -> Number:
    """Density of air-free water at 101.325 kPa, 0 to 40 degrees Celsius."""
    return 0.999974950 * (1 - (celsius - 3.983035) ** 2 * (celsius + 301.797) / (522528.9 * (celsius + 69.34881)))


def air_density(celsius: float = 20.0, hectopascal: float = 1013.25, humidity: float = 50.0) -> float:
    """Density of moist air; `humidity` in per cent."""
    moist = 0.34848 * hectopascal - 0.009 * humidity * exp(0.061 * celsius).real
    return moist / (273.15 + celsius) / 1000


def usable_temperature(celsius: float) -> float:
    """A temperature at which the water formula holds.

    Raises:
        RangeError: below 0 or above 40 degrees Celsius.
    """
    if not COLDEST_C <= celsius <= WARMEST_C:
        raise RangeError(
            f"Water at {celsius:g} degrees Celsius is outside what is reckoned with.",
            expected="Use water between 0 and 40 degrees Celsius; room temperature is best.",
        )
    return celsius


def density(dry: Number, buoyancy: Number, water: Number, air: Number) -> Number:
    """Density of a piece from its weight in air and what it loses in water (the formula of balance makers' manuals)."""
    return dry * (water - air) / buoyancy + air


def shown_in_air(mass: float, of: float, air: float) -> float:
    """What a balance that was set with steel weights shows for a true mass of some density, in air."""
    return mass * (1 - air / of) / (1 - air / STANDARD_DENSITY)


def shown_in_water(mass: float, of: float, water: float, air: float) -> float:
    """The same for a piece that hangs in water."""
    return mass * (1 - water / of) / (1 - air / STANDARD_DENSITY)
