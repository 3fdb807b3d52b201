"""Which yearly loss a bag itself speaks for: the assumption of survival under which its dates look least odd by age.

A loss by age moves years, not mints within a year. So a bag that is short of S mints stays short of them under every
loss, while a bag that is only short of old dates may be explained by one. The fit is the likeliest loss, by the mean
age of the dated pieces: shares go as mintage times exp(-rate x age), and the likeliest rate is the one at which the
mean age expected equals the mean age found.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from ninefine.measure.numbers import to_places
from ninefine.sorting.expected import Expected, shares_of
from ninefine.sorting.found import Beside

#: Rates of loss a year, as natural logarithms, between which the fit is sought: far beyond any that coin could show.
_LOWEST, _HIGHEST = -1.0, 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedLoss:
    """The yearly loss that a bag speaks for.

    Attributes:
        yearly_loss: to four places. Below zero where old dates are commoner than their mintage.
        error: its standard error.
        mean_year: of the pieces found.
        flat_year: the mean year that flat survival would give.
    """

    yearly_loss: Decimal
    error: Decimal
    mean_year: float
    flat_year: float


def fitted_loss(beside: Beside) -> FittedLoss | None:
    """Fit the yearly loss; none where the pieces or the mix are all of one age, or stand at the edge of the range.

    The melts and the reference year of the assumed survival are kept; only its yearly loss is set aside.
    """
    survival = beside.expected.survival
    flat = replace(survival, yearly_loss=Decimal(0))
    shares = [float(row.share) for row in shares_of((row.struck for row in beside.expected.shares), flat)]
    years = [row.struck.year for row in beside.expected.shares]
    ages = [float(max(0, survival.until - year)) for year in years]
    if not beside.pieces or len(set(ages)) < 2:
        return None
    pieces = beside.pieces
    found = sum(count * age for count, age in zip(beside.found, ages, strict=True)) / pieces
    rate = _rate(shares, ages, found)
    if rate is None:
        return None
    _, spread = _moments(shares, ages, rate)
    return FittedLoss(
        yearly_loss=to_places(Decimal(-math.expm1(-rate)), 4),
        error=to_places(Decimal(math.exp(-rate) / math.sqrt(pieces * spread)), 4),
        mean_year=sum(count * year for count, year in zip(beside.found, years, strict=True)) / pieces,
        flat_year=sum(share * year for share, year in zip(shares, years, strict=True)),
    )


def with_loss(expected: Expected, yearly_loss: Decimal) -> Expected:
    """The same mix under another yearly loss.

    Raises:
        RangeError: a loss below 0, or of 1 or more.
    """
    survival = replace(expected.survival, yearly_loss=yearly_loss)
    return replace(expected, survival=survival, shares=shares_of((row.struck for row in expected.shares), survival))


def _rate(shares: Sequence[float], ages: Sequence[float], mean_age: float) -> float | None:
    """The rate at which the mean age expected is the one given; the mean falls as the rate grows."""
    low, high = _LOWEST, _HIGHEST
    if not _moments(shares, ages, high)[0] < mean_age < _moments(shares, ages, low)[0]:
        return None
    while high - low > 1e-12:
        middle = (low + high) / 2
        if _moments(shares, ages, middle)[0] > mean_age:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _moments(shares: Sequence[float], ages: Sequence[float], rate: float) -> tuple[float, float]:
    """Mean and variance of the age under a rate of loss."""
    most = max(-rate * age for age in ages)
    left = [share * math.exp(-rate * age - most) for share, age in zip(shares, ages, strict=True)]
    whole = math.fsum(left)
    mean = math.fsum(part * age for part, age in zip(left, ages, strict=True)) / whole
    return mean, math.fsum(part * (age - mean) ** 2 for part, age in zip(left, ages, strict=True)) / whole
