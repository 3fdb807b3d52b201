"""Mass, held in exact grams, with a door named for each unit.

Units: NIST Special Publication 811 (2008), appendix B, and NIST Handbook 44, appendix C. The grain is the same in
troy, avoirdupois and apothecaries' weight, and exact since the international yard and pound agreement of 1959.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import total_ordering
from typing import Self

from ninefine.errors import RangeError, UnreadableError
from ninefine.measure.numbers import EXACT, plain, read_decimal

GRAIN_G = Decimal("0.06479891")  # exact: 64.79891 mg (NIST SP 811)
PENNYWEIGHT_G = GRAIN_G * 24  # 1.55517384 g
TROY_OUNCE_G = GRAIN_G * 480  # 31.1034768 g
TROY_POUND_G = GRAIN_G * 5760  # 373.2417216 g
OUNCE_G = GRAIN_G * Decimal("437.5")  # avoirdupois: 28.349523125 g
POUND_G = GRAIN_G * 7000  # avoirdupois: 453.59237 g


@total_ordering
@dataclass(frozen=True, slots=True)
class Mass:
    """A mass in exact grams. Make one through the door of its unit: `Mass.of_grams("2.5")`."""

    grams: Decimal

    @classmethod
    def of_grams(cls, value: Decimal | int | str) -> Self:
        """From grams."""
        return cls(Decimal(value))

    @classmethod
    def of_kilograms(cls, value: Decimal | int | str) -> Self:
        """From kilograms."""
        return cls(Decimal(value) * 1000)

    @classmethod
    def of_grains(cls, value: Decimal | int | str) -> Self:
        """From grains."""
        return cls(Decimal(value) * GRAIN_G)

    @classmethod
    def of_pennyweights(cls, value: Decimal | int | str) -> Self:
        """From pennyweights (24 grains)."""
        return cls(Decimal(value) * PENNYWEIGHT_G)

    @classmethod
    def of_troy_ounces(cls, value: Decimal | int | str) -> Self:
        """From troy ounces (480 grains)."""
        return cls(Decimal(value) * TROY_OUNCE_G)

    @classmethod
    def of_ounces(cls, value: Decimal | int | str) -> Self:
        """From avoirdupois ounces (437.5 grains), the kitchen's."""
        return cls(Decimal(value) * OUNCE_G)

    @classmethod
    def of_pounds(cls, value: Decimal | int | str) -> Self:
        """From avoirdupois pounds (7000 grains)."""
        return cls(Decimal(value) * POUND_G)

    @property
    def kilograms(self) -> Decimal:
        """In kilograms, exact."""
        return self.grams / 1000

    @property
    def grains(self) -> Decimal:
        """In grains, to 40 digits."""
        return EXACT.divide(self.grams, GRAIN_G)

    @property
    def pennyweights(self) -> Decimal:
        """In pennyweights, to 40 digits."""
        return EXACT.divide(self.grams, PENNYWEIGHT_G)

    @property
    def troy_ounces(self) -> Decimal:
        """In troy ounces, to 40 digits."""
        return EXACT.divide(self.grams, TROY_OUNCE_G)

    @property
    def ounces(self) -> Decimal:
        """In avoirdupois ounces, to 40 digits."""
        return EXACT.divide(self.grams, OUNCE_G)

    @property
    def pounds(self) -> Decimal:
        """In avoirdupois pounds, to 40 digits."""
        return EXACT.divide(self.grams, POUND_G)

    def __add__(self, other: "Mass") -> "Mass":
        return Mass(self.grams + other.grams)

    def __sub__(self, other: "Mass") -> "Mass":
        return Mass(self.grams - other.grams)

    def __mul__(self, factor: Decimal | int) -> "Mass":
        return Mass(self.grams * factor)

    __rmul__ = __mul__

    def __lt__(self, other: "Mass") -> bool:
        return self.grams < other.grams

    def __str__(self) -> str:
        return f"{plain(self.grams)} g"


_DOORS: dict[str, Callable[[Decimal], Mass]] = {
    "g": Mass.of_grams,
    "gr": Mass.of_grains,
    "kg": Mass.of_kilograms,
    "mg": lambda value: Mass(value / 1000),
    "dwt": Mass.of_pennyweights,
    "ozt": Mass.of_troy_ounces,
    "oz": Mass.of_ounces,
    "lb": Mass.of_pounds,
    "lbt": lambda value: Mass(value * TROY_POUND_G),
}
_NAMES = {
    "g": ("gram", "grams", "gm", "gms"),
    "gr": ("grain", "grains"),
    "kg": ("kilogram", "kilograms", "kilo", "kilos"),
    "dwt": ("pennyweight", "pennyweights"),
    "ozt": ("troy ounce", "troy ounces", "troy oz", "oz troy", "ozt troy", "toz", "t oz"),
    "oz": ("ounce", "ounces", "oz av", "avoirdupois ounces"),
    "lb": ("pound", "pounds", "lbs"),
    "lbt": ("troy pound", "troy pounds", "troy lb"),
}
_ALIASES = {name: unit for unit, names in _NAMES.items() for name in names}
_PART = re.compile(r"\s*([\d.,_']+)\s*([a-z]+(?: [a-z]+)?)\.?\s*", re.ASCII)


def read_mass(text: str) -> Mass:
    """Read a weight as typed: `1461 g`, `47.0 ozt`, `3 lb 3.5 oz`, `412.5 grains`.

    A bare `oz` is the kitchen's avoirdupois ounce, as scales show it; the troy ounce is `ozt`.

    Raises:
        UnreadableError: no number, or no unit that is known.
        RangeError: zero.
    """
    rest = text.strip().lower()
    total = Mass(Decimal(0))
    if not rest:
        raise _unreadable(text)
    while rest:
        part = _PART.match(rest)
        if part is None:
            raise _unreadable(text)
        unit = _ALIASES.get(part[2], part[2])
        if unit not in _DOORS:
            raise _unreadable(text)
        total += _DOORS[unit](read_decimal(part[1], what="weight"))
        rest = rest[part.end() :]
    if total.grams == 0:
        raise RangeError(f"The weight {text.strip()!r} is zero.", expected="A weight must be more than zero.")
    return total


def _unreadable(text: str) -> UnreadableError:
    return UnreadableError(
        f"{text.strip()[:40]!r} is not a weight.",
        expected="A weight is a number and its unit: g, kg, gr (grains), dwt, ozt (troy), oz or lb (avoirdupois).",
        instead=("1461 g", "47.0 ozt", "3 lb 3.5 oz"),
    )
