"""A steady sum each month, as it would have bought in the past: whole pieces, change carried on, against a lump sum.

The price of a month is its average, which nobody could buy at; it stands for the days of that month. What has been is
shown as it was, window after window; nothing is said of what will be.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError
from ninefine.market.content import Content
from ninefine.market.quote import Quote, per_unit
from ninefine.market.series import Point
from ninefine.market.terms import Terms
from ninefine.measure.money import CURRENCIES, cents, cents_down
from ninefine.measure.numbers import EXACT, to_places

ZERO = Decimal(0)
#: Per cents of windows at which their outcomes are cut.
CUTS = (5, 25, 50, 75, 95)


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """What is bought: goods, what is asked for one unit of them, and the sum for each month."""

    content: Content
    ask: Quote
    monthly: Decimal
    currency: str = "USD"

    def price(self, spot: Decimal) -> Decimal:
        """What one unit costs at a spot, to the cent.

        Raises:
            RangeError: an ask that comes to nothing.
        """
        exact = per_unit(self.ask, Terms(content=self.content, spot=Fraction(spot), units=Fraction(1)))
        price = cents(to_places(exact, 10), self.currency)
        if price <= 0:
            raise RangeError(f"At spot {spot} that ask comes to {price}.", expected="An ask is above zero.")
        return price

    @property
    def ozt(self) -> Decimal:
        """Fine ounces (trade) of one unit."""
        return to_places(self.content.ozt(Basis.TRADE), 15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """One month's purchase: spot, the price of a unit, units bought, what they cost, the change carried on."""

    on: date
    spot: Decimal
    price: Decimal
    units: int
    spent: Decimal
    carried: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A way of buying over a window.

    Attributes:
        months: each month's purchase. units, ozt: bought in all, ounces by trade.
        spent: paid for them. change: what was left unspent at the end.
        worth: the ounces at the spot of the window's last month: melt, not a bid.
    """

    months: tuple[Month, ...]
    units: int
    ozt: Decimal
    spent: Decimal
    change: Decimal
    worth: Decimal

    @property
    def per_ozt(self) -> Decimal | None:
        """What an ounce cost on average, to 40 digits; none where nothing could be bought."""
        return EXACT.divide(self.spent, self.ozt) if self.ozt else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A steady sum and a lump sum over the same window, with the same money in all."""

    steady: Run
    lump: Run

    @property
    def ahead(self) -> Decimal | None:
        """Ounces of the steady sum for each ounce of the lump sum, to 40 digits; none where that bought nothing."""
        return EXACT.divide(self.steady.ozt, self.lump.ozt) if self.lump.ozt else None


#: A month of the past and what a unit cost in it.
Priced = tuple[Point, Decimal]


def over(habit: Habit, window: Sequence[Point]) -> Beside:
    """A steady sum over a window of months, beside all of the money spent in the first of them.

    Raises:
        RangeError: no months, or an ask that comes to nothing.
    """
    if not window:
        raise RangeError("There are no months in that window.")
    return _beside(habit, [(point, habit.price(point.per_ozt)) for point in window])


def _beside(habit: Habit, window: Sequence[Priced]) -> Beside:
    last = window[-1][0].per_ozt
    steady = _run(habit, window, habit.monthly, last)
    return Beside(steady=steady, lump=_run(habit, window[:1], habit.monthly * len(window), last))


def _run(habit: Habit, window: Sequence[Priced], budget: Decimal, last: Decimal) -> Run:
    """Buy whole units each month with its budget and the change of the months before."""
    carried, months = ZERO, []
    for point, price in window:
        purse = carried + budget
        units = int(purse // price)
        spent = price * units
        carried = purse - spent
        months.append(Month(on=point.first, spot=point.per_ozt, price=price, units=units, spent=spent, carried=carried))
    units = sum(month.units for month in months)
    ozt = EXACT.multiply(habit.ozt, units)
    return Run(
        months=tuple(months),
        units=units,
        ozt=ozt,
        spent=sum((month.spent for month in months), ZERO),
        change=carried,
        worth=cents_down(EXACT.multiply(ozt, last), habit.currency),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Windows:
    """Every window of a length in the history.

    Attributes:
        count: how many there are. steady_ahead: in how many the steady sum bought more ounces than the lump sum.
        ahead: steady over lump ounces at the cuts, from the least.
        least, most: the windows, by their first month, in which the steady sum did worst and best beside the lump.
    """

    count: int
    steady_ahead: int
    ahead: tuple[Decimal, ...]
    least: date
    most: date


def all_windows(habit: Habit, points: Sequence[Point], months: int) -> Windows:
    """A steady sum beside a lump sum over every window of so many months.

    Raises:
        RangeError: the history is shorter than that, or the sum never buys a piece.
    """
    if not 1 <= months <= len(points):
        raise RangeError(f"There is no window of {months} months.", expected=f"Say 1 to {len(points)}.")
    found = []
    units = CURRENCIES[habit.currency][1]
    prices = [int(habit.price(point.per_ozt).scaleb(units)) for point in points]
    budget = int(habit.monthly.scaleb(units))
    for start in range(len(points) - months + 1):
        lump = budget * months // prices[start]
        if lump:
            found.append((Fraction(_units(prices[start : start + months], budget), lump), points[start].first))
    if not found:
        raise RangeError("That sum never buys one piece.", expected="Say a larger sum, or smaller pieces.")
    ranked = sorted(found)
    places = [max(0, -(-len(ranked) * cut // 100) - 1) for cut in CUTS]
    return Windows(
        count=len(ranked),
        steady_ahead=sum(1 for ahead, _ in ranked if ahead > 1),
        ahead=tuple(to_places(ranked[place][0], 4) for place in places),
        least=ranked[0][1],
        most=ranked[-1][1],
    )


def _units(prices: Sequence[int], budget: int) -> int:
    """Units that a steady sum buys, in whole cents: as `over` counts them, without its ledger."""
    carried = units = 0
    for price in prices:
        bought, carried = divmod(carried + budget, price)
        units += bought
    return units
