"""A problem in whole numbers: unknowns, and linear rows that hold exactly. Nothing here needs a solver.

Coefficients may be whole, decimals or fractions; a row is kept in whole numbers, so checking one is exact.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

Number = int | Decimal | Fraction
#: What an unknown is multiplied by, for each unknown that a row or an aim speaks of.
Terms = Mapping[int, Number]
#: One whole number for each unknown, in the order in which they were made.
Values = Sequence[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """A whole number to be found, from `low` to `high`.

    `follows`: once the others are whole it is whole by itself, so a solver need not try for it.
    """

    name: str
    low: int
    high: int
    follows: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A sum of unknowns that must lie from `least` to `most`; an open side is none. `because`: why, in words."""

    terms: Mapping[int, int]
    least: int | None
    most: int | None
    because: str = ""

    def holds(self, values: Values) -> bool:
        """Whether some values keep this row, exactly."""
        total = sum(factor * values[at] for at, factor in self.terms.items())
        return (self.least is None or total >= self.least) and (self.most is None or total <= self.most)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What is to be as much as it can be (`up`) or as little."""

    terms: Terms
    up: bool = True

    def of(self, values: Values) -> Fraction:
        """What some values come to, exactly."""
        return sum((Fraction(factor) * values[at] for at, factor in self.terms.items()), Fraction(0))


class Model:
    """Unknowns and rows. It grows; nothing is ever taken out of it, so an answer ruled out once stays ruled out."""

    def __init__(self) -> None:
        self.unknowns: list[Unknown] = []
        self.rows: list[Row] = []

    @property
    def size(self) -> tuple[int, int]:
        """How many unknowns and rows there are; it grows with every change."""
        return len(self.unknowns), len(self.rows)

    def unknown(self, high: int, *, low: int = 0, name: str = "", follows: bool = False) -> int:
        """Make an unknown; returns its place."""
        self.unknowns.append(Unknown(name=name, low=low, high=high, follows=follows))
        return len(self.unknowns) - 1

    def choice(self, name: str = "") -> int:
        """Make an unknown that is one (yes) or zero (no)."""
        return self.unknown(1, name=name)

    def row(self, terms: Terms, *, least: Number | None = None, most: Number | None = None, because: str = "") -> None:
        """Ask that a sum be at least, or at most, an amount. Scaled to the smallest whole numbers that say the same."""
        kept = {at: Fraction(factor) for at, factor in terms.items() if factor}
        scale = Fraction(lcm(*(factor.denominator for factor in kept.values())))
        common = gcd(*(int(factor * scale) for factor in kept.values()))
        scale /= common or 1
        self.rows.append(
            Row(
                terms={at: int(factor * scale) for at, factor in kept.items()},
                # a sum of whole numbers that is at least 2.5 is at least 3
                least=None if least is None else -(-(Fraction(least) * scale) // 1),
                most=None if most is None else (Fraction(most) * scale) // 1,
                because=because,
            )
        )

    def broken(self, values: Values) -> list[str]:
        """What some values break: the reasons of rows, the names of unknowns out of range. Empty where all holds."""
        wrong = [
            one.name or f"unknown {at}" for at, one in enumerate(self.unknowns) if not one.low <= values[at] <= one.high
        ]
        return wrong + [row.because or "a row" for row in self.rows if not row.holds(values)]

    def forbid(self, values: Values, of: Iterable[int]) -> None:
        """Rule out these values of some unknowns all together; any one of them may differ."""
        terms: dict[int, int] = {}
        same = 0  # how many choices stand as they were, counted so that one change lifts the sum above it
        for at in of:
            held, one = values[at], self.unknowns[at]
            if (one.low, one.high) == (0, 1):
                terms[at] = -1 if held else 1
                same += held
                continue
            if held > one.low:
                less = self.choice(f"{one.name} less")
                self.row({at: 1, less: one.high - held + 1}, most=one.high, because="a basket ruled out")
                terms[less] = 1
            if held < one.high:
                more = self.choice(f"{one.name} more")
                self.row({at: 1, more: -(held + 1 - one.low)}, least=one.low, because="a basket ruled out")
                terms[more] = 1
        self.row(terms, least=1 - same, because="a basket ruled out")
