"""What one test says: passed, failed, not sure or not done, with what was read and what would settle the rest.

Every test of the bench, by scale or by water, by calipers, by ear or by picture, answers with this record. No test says
that a piece is genuine: it says what was held against what, and how that came out.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from math import floor, isfinite, log10

from ninefine.measure.numbers import plain, to_places


class Outcome(StrEnum):
    """How a test came out."""

    PASSED = "passed"
    """What was read fits what it was held against."""
    FAILED = "failed"
    """What was read does not fit, by more than its uncertainty and what wear explains."""
    UNSURE = "unsure"
    """What was read cannot tell."""
    NOT_DONE = "not done"
    """The test was not made, or what was read cannot be used."""


class Ground(StrEnum):
    """What a test rests on. Two failures are independent where they rest on different grounds."""

    WEIGHT = "weight"
    SIZE = "size"
    DENSITY = "density"
    MAGNET = "magnet"
    SOUND = "sound"
    LOOK = "look"


#: Digits of an uncertainty that are kept; the value is rounded to the same place (JCGM 100:2008, 7.2.6).
_DIGITS = 2
#: Digits of a value that has no uncertainty beside it.
_BARE_DIGITS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure that a test read, as it is kept and shown.

    Attributes:
        name: what was measured, in a word or two: `weight`, `diameter`, `first partial`.
        value: rounded to the place of its uncertainty.
        uncertainty: one standard uncertainty in the same unit; none where nothing is known of it.
        unit: `g`, `mm`, `g/cm³`, `Hz`; empty for a bare number.
        typed: the person's own words, where the value was typed.
    """

    name: str
    value: Decimal
    uncertainty: Decimal | None = None
    unit: str = ""
    typed: str = ""

    def __str__(self) -> str:
        spread = "" if self.uncertainty is None else f" ± {plain(self.uncertainty)}"
        return f"{self.name} {plain(self.value)}{spread}{f' {self.unit}' if self.unit else ''}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What one test says of one piece or heap.

    Attributes:
        test: the test, as a short name of lower-case words joined by hyphens: `weight`, `gravity`, `ring`.
        ground: what it rests on.
        outcome: how it came out.
        against: what it was held against: a kind's slug, or plain words.
        says: one or two plain sentences with the figures; never that a piece is genuine.
        figures: what was read.
        would_settle: what would settle what this test leaves open; empty where nothing is left open.
        beyond_wear: a failure by weight that no wear explains. It sets a piece aside by itself.
        cautions: what can hurt the person or the piece in this test.
    """

    test: str
    ground: Ground
    outcome: Outcome
    against: str = ""
    says: str
    figures: tuple[Figure, ...] = ()
    would_settle: str = ""
    beyond_wear: bool = False
    cautions: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        if self.beyond_wear and (self.outcome is not Outcome.FAILED or self.ground is not Ground.WEIGHT):
            raise AssertionError("only a failure by weight can be beyond wear")


def figure(name: str, value: float, uncertainty: float | None = None, unit: str = "", *, typed: str = "") -> Figure:
    """A measured float as it is kept: two digits of its uncertainty, the value to the same place.

    A value without an uncertainty keeps six digits.
    """
    if not isfinite(value) or (uncertainty is not None and not (isfinite(uncertainty) and uncertainty >= 0)):
        raise AssertionError(f"{name} is no number")
    leading = uncertainty or value
    digits = _DIGITS if uncertainty else _BARE_DIGITS
    places = digits - 1 - (floor(log10(abs(leading))) if leading else 0)
    rounded = to_places(Decimal(repr(value)), places)
    spread = None if uncertainty is None else to_places(Decimal(repr(uncertainty)), places)
    return Figure(name=name, value=_fixed(rounded), uncertainty=spread and _fixed(spread), unit=unit, typed=typed)


def _fixed(value: Decimal) -> Decimal:
    """Without an exponent, keeping the zeros that say how fine the figure is."""
    return Decimal(format(value, "f"))


def failed(evidence: Iterable[Evidence]) -> tuple[Evidence, ...]:
    """The tests that failed."""
    return tuple(one for one in evidence if one.outcome is Outcome.FAILED)
