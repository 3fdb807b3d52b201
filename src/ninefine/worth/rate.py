"""The money-weighted return of dated flows: the yearly rate at which they all come to nothing.

Years of 365 days always, counted from the first flow; flows may stand in any order (the convention of ECMA-376 and
OpenFormula for XIRR). The rate is a reading, not money, so it is worked out in floats and answered to twelve places.

How the rate is found. With r the rate and T the years from the first flow to the last, y = T ln(1 + r) is the growth
over the whole time on a log scale. The value of all flows at the last of them, as a function of y, is looked at on a
grid from e^-40 to e^40 over the whole time; every change of sign encloses a rate, which is closed in on by halving,
with steps of the secant where they stay inside. Nothing is guessed and nothing can run away. Several rates are all
found, unless two lie within one step of the grid.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.measure.numbers import to_places

#: Days in a year, whatever the calendar says.
YEAR = 365
#: How far the grid reaches on either side, and how finely it stands.
_REACH, _STEPS = 40.0, 400
#: Halving a step of the grid so often leaves less than a float can tell apart.
_HALVINGS = 80
_PLACES = 12
#: A yearly rate beyond this (a few days' trade, carried on for a year) says nothing, and no float holds all of them.
_LARGEST = 1e12

Flow = tuple[date, Decimal]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """A yearly rate of return; 0.08 is eight per cent a year.

    Attributes:
        yearly: the rate; where several fit, the one that is nearest to none.
        days: from the first flow to the last.
        others: the other rates that fit, mostly none: money went in and out so often that no one rate says it all.
    """

    yearly: Decimal
    days: int
    others: tuple[Decimal, ...] = ()


def money_weighted(flows: Iterable[Flow]) -> Rate | None:
    """The yearly rate of dated flows: below zero what was put in, above zero what was taken out or is worth now.

    None where there is no such rate: all on one day, or no flow on one of the two sides, or growth out of all bounds.
    """
    by_day: dict[date, Decimal] = {}
    for day, amount in flows:
        by_day[day] = by_day.get(day, Decimal(0)) + amount
    dated = sorted((day, amount) for day, amount in by_day.items() if amount)
    if len(dated) < 2:
        return None
    first, last = dated[0][0], dated[-1][0]
    days = (last - first).days
    # each flow's share of the whole time that it had still to run, and its size beside the largest
    largest = float(max(abs(amount) for _, amount in dated))
    terms = [((last - day).days / days, float(amount) / largest) for day, amount in dated]
    found = [rate for growth in _roots(terms) if (rate := _yearly(growth, days)) is not None]
    if not found:
        return None
    nearest, *others = sorted(found, key=abs)
    return Rate(yearly=nearest, days=days, others=tuple(others))


def net_present(flows: Iterable[Flow], yearly: float) -> float:
    """What dated flows are worth on the day of the first of them, at a yearly rate above -1."""
    dated = list(flows)
    first = min(day for day, _ in dated)
    return math.fsum(float(amount) / (1 + yearly) ** ((day - first).days / YEAR) for day, amount in dated)


def _value(terms: Sequence[tuple[float, float]], growth: float) -> float:
    """All flows carried to the last of them."""
    return math.fsum(amount * math.exp(growth * left) for left, amount in terms)


def _roots(terms: Sequence[tuple[float, float]]) -> list[float]:
    """Every growth at which the flows come to nothing, between the ends of the grid."""
    step = 2 * _REACH / _STEPS
    carried = [amount * math.exp(-_REACH * left) for left, amount in terms]
    factors = [math.exp(step * left) for left, _ in terms]
    signs = []
    for _ in range(_STEPS + 1):
        signs.append(sum(carried) > 0)
        carried = [amount * factor for amount, factor in zip(carried, factors, strict=True)]
    points = [at * step - _REACH for at in range(_STEPS + 1)]
    return [_enclosed(terms, points[at], points[at + 1]) for at in range(_STEPS) if signs[at] is not signs[at + 1]]


def _enclosed(terms: Sequence[tuple[float, float]], left: float, right: float) -> float:
    """The root between two points of different sign; an end that is itself one is answered as it is."""
    low, high = (left, _value(terms, left)), (right, _value(terms, right))
    if not low[1] or not high[1] or (low[1] < 0) is (high[1] < 0):
        return low[0] if abs(low[1]) < abs(high[1]) else high[0]
    for turn in range(_HALVINGS):
        middle = (low[0] + high[0]) / 2
        if turn % 2:  # a secant step every other time, taken only where it stays inside
            across = high[0] - high[1] * (high[0] - low[0]) / (high[1] - low[1])
            middle = across if low[0] < across < high[0] else middle
        if middle in (low[0], high[0]):
            break
        value = _value(terms, middle)
        if value == 0.0:
            return middle
        if (value < 0) is (low[1] < 0):
            low = (middle, value)
        else:
            high = (middle, value)
    return low[0] if abs(low[1]) < abs(high[1]) else high[0]


def _yearly(growth: float, days: int) -> Decimal | None:
    exponent = growth * YEAR / days
    if exponent > math.log(_LARGEST):
        return None
    return to_places(Decimal(math.expm1(exponent)), _PLACES)
