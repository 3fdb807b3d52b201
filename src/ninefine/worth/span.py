"""A worth that is not one figure: low, middle and high, and totals that carry all three honestly."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Self

from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT

ZERO = Decimal(0)


class Grading(StrEnum):
    """How the grading of several pieces errs: the person's choice, for nobody can know it."""

    TOGETHER = "together"
    """One eye grades them all too high or too low: every piece stands at its low end, or every piece at its high."""
    APART = "apart"
    """Each piece errs by itself, and some of it evens out."""


class End(StrEnum):
    """Which figure of a worth is meant."""

    LOW = "low"
    MID = "mid"
    HIGH = "high"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """An amount of money at the low end, in the middle and at the high end, each to the cent."""

    low: Decimal
    mid: Decimal
    high: Decimal

    @classmethod
    def of(cls, low: Decimal, high: Decimal, currency: str = "USD") -> Self:
        """From two ends, each rounded half up to the cent; the middle lies halfway between the rounded ends."""
        ends = cents(low, currency), cents(high, currency)
        return cls(low=ends[0], mid=cents(sum(ends, ZERO) / 2, currency), high=ends[1])

    def __add__(self, other: "Span") -> "Span":
        return Span(low=self.low + other.low, mid=self.mid + other.mid, high=self.high + other.high)

    def at(self, end: End) -> Decimal:
        """One of the three figures."""
        return {End.LOW: self.low, End.MID: self.mid, End.HIGH: self.high}[end]

    def less(self, amount: Decimal) -> "Span":
        """The same with an amount taken off each figure."""
        return Span(low=self.low - amount, mid=self.mid - amount, high=self.high - amount)

    def share(self, part: Decimal, currency: str = "USD") -> "Span":
        """A part of each figure, rounded half up to the cent."""
        low, mid, high = (cents(EXACT.multiply(end, part), currency) for end in (self.low, self.mid, self.high))
        return Span(low=low, mid=mid, high=high)


NOTHING = Span(low=ZERO, mid=ZERO, high=ZERO)


def total(spans: Iterable[Span], grading: Grading = Grading.TOGETHER, currency: str = "USD") -> Span:
    """The sum of several worths, with a range that goes by how their grading errs.

    The middles always add up to the total's middle. Together, so do the low ends and the high ends. Apart, the low end
    lies below the middle by the square root of the sum of squares of what each piece's low end lies below its own
    (and the high end likewise): pieces that err each by itself. One piece keeps its range either way.
    """
    parts = tuple(spans)
    whole = sum(parts, NOTHING)
    if grading is Grading.TOGETHER:
        return whole
    below = _root_of_squares(part.mid - part.low for part in parts)
    above = _root_of_squares(part.high - part.mid for part in parts)
    return Span(low=cents(whole.mid - below, currency), mid=whole.mid, high=cents(whole.mid + above, currency))


def _root_of_squares(widths: Iterable[Decimal]) -> Decimal:
    return EXACT.sqrt(sum((EXACT.multiply(width, width) for width in widths), ZERO))
