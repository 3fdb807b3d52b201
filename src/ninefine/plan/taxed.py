"""What gains cost at rates that the person typed: short and long, losses set against gains. Arithmetic, not advice.

Losses of a term go first against gains of the same term, what is left of them against the other (the order of U.S.
Schedule D; another place may have another). A loss that is left over counts against other income up to a yearly limit
that the person typed, at the short-term rate; what passes it is carried on and counts for nothing here.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT

ZERO = Decimal(0)
_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """The person's own rates, in per cent, and where the year stands already.

    Attributes:
        short: on gains held a year or less. long: on gains held longer (in the U.S. the rate for collectibles).
        loss_limit: how much of a year's loss may count against other income; nothing where none was typed.
        before_short, before_long: gains of the same year so far, losses taken off; they may be below zero.
    """

    short: Decimal = ZERO
    long: Decimal = ZERO
    loss_limit: Decimal = ZERO
    before_short: Decimal = ZERO
    before_long: Decimal = ZERO


class Region(StrEnum):
    """Where a year's gains stand; within each, tax is a straight line of them."""

    BOTH_GAIN = "gains on both"
    SHORT_LOSS = "a short-term loss, less than the long-term gain"
    LONG_LOSS = "a long-term loss, less than the short-term gain"
    LOSS = "a loss within the limit"
    DEEP_LOSS = "a loss past the limit"


def region_of(short: Decimal, long: Decimal, limit: Decimal) -> Region:
    """Where a year's gains stand."""
    whole = short + long
    if short >= 0 and long >= 0:
        return Region.BOTH_GAIN
    if whole >= 0:
        return Region.SHORT_LOSS if short < 0 else Region.LONG_LOSS
    return Region.LOSS if -whole <= limit else Region.DEEP_LOSS


def year_tax(short: Decimal, long: Decimal, rates: Rates) -> Decimal:
    """Tax on a whole year's gains, each term to the cent; below zero where a loss counts against other income."""
    region = region_of(short, long, rates.loss_limit)
    if region is Region.BOTH_GAIN:
        return _at(short, rates.short) + _at(long, rates.long)
    if region is Region.SHORT_LOSS:
        return _at(short + long, rates.long)
    if region is Region.LONG_LOSS:
        return _at(short + long, rates.short)
    return _at(max(short + long, -rates.loss_limit), rates.short)


def added_tax(short: Decimal, long: Decimal, rates: Rates) -> Decimal:
    """What gains add to the year's tax, over what the year owes already."""
    before = year_tax(rates.before_short, rates.before_long, rates)
    return year_tax(rates.before_short + short, rates.before_long + long, rates) - before


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """Tax within a region before rounding: `short` and `long` times the year's gains, and a fixed sum."""

    short: Fraction
    long: Fraction
    fixed: Fraction


def slope_of(region: Region, rates: Rates) -> Slope:
    """The straight line of a region."""
    short, long = Fraction(rates.short) / 100, Fraction(rates.long) / 100
    if region is Region.BOTH_GAIN:
        return Slope(short=short, long=long, fixed=Fraction(0))
    if region is Region.SHORT_LOSS:
        return Slope(short=long, long=long, fixed=Fraction(0))
    if region in {Region.LONG_LOSS, Region.LOSS}:
        return Slope(short=short, long=short, fixed=Fraction(0))
    return Slope(short=Fraction(0), long=Fraction(0), fixed=-short * Fraction(rates.loss_limit))


def _at(gain: Decimal, rate: Decimal) -> Decimal:
    return cents(EXACT.divide(EXACT.multiply(gain, rate), _HUNDRED))
