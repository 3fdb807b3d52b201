"""The same money otherwise: kept as cash, or put into one-ounce rounds on the same days.

Comparisons, not advice: what was done cannot be done again, and the past of a price says nothing of its future.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache

from ninefine.errors import RangeError
from ninefine.market.content import content
from ninefine.market.quote import Quote, exact_decimal, per_unit
from ninefine.market.series import PriceIndex
from ninefine.market.terms import terms
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT
from ninefine.worth.flows import MoneyFlow

ZERO = Decimal(0)
#: The price of silver on a day; none where none is known.
SpotOn = Callable[[date], Decimal | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """The same money in one-ounce rounds.

    Attributes:
        ounces: rounds that would be held today, parts of one too.
        worth: what they would bring at the bid.
        bought: the ounces bought in all. sold: those sold in all, for the money that was taken out.
        lowest: the fewest held on any day; below zero where more was taken out than rounds would have yielded.
        unpriced: days on which no price is known; their money is left out.
    """

    ounces: Decimal
    worth: Decimal
    bought: Decimal
    sold: Decimal
    lowest: Decimal
    unpriced: tuple[date, ...]


def rounds_instead(
    flows: Iterable[MoneyFlow], *, ask: Quote, bid: Quote, spot_on: SpotOn, today: date, currency: str = "USD"
) -> Rounds:
    """Put every flow into rounds: money in buys at the ask of that day, money out is raised by selling at the bid.

    Args:
        flows: in order of days, without what is held now.
        ask: the rule at which one-ounce pieces are bought, as `spot+2.50` or `4% over`; the person's own.
        bid: the rule at which they are sold.
        spot_on: the price of silver on a day.
        today: the day on which what is left is valued.
        currency: the book's.

    Raises:
        RangeError: a rule that cannot be struck on an ounce, or that comes to nothing or less.
    """
    asked, bidden = _at_spot(ask), _at_spot(bid)
    held = bought = sold = lowest = ZERO
    unpriced: list[date] = []
    for flow in flows:
        spot = spot_on(flow.on)
        if spot is None:
            unpriced.append(flow.on)
        elif flow.amount < 0:
            more = EXACT.divide(-flow.amount, asked(spot))
            held, bought = held + more, bought + more
        else:
            less = EXACT.divide(flow.amount, bidden(spot))
            held, sold = held - less, sold + less
            lowest = min(lowest, held)
    now = spot_on(today)
    if now is None:
        raise RangeError("No price of silver is known today.", expected="Set one down, or give a spot.")
    return Rounds(
        ounces=held,
        worth=cents(EXACT.multiply(held, bidden(now)), currency),
        bought=bought,
        sold=sold,
        lowest=lowest,
        unpriced=tuple(dict.fromkeys(unpriced)),
    )


def _at_spot(quote: Quote) -> Callable[[Decimal], Decimal]:
    """What one round costs by spot; each spot is struck once, since a month's average stands for many days."""
    return cache(lambda spot: _struck(quote, spot))


def _struck(quote: Quote, spot: Decimal) -> Decimal:
    """What one round costs at a rule, to 40 digits."""
    price = exact_decimal(per_unit(quote, terms(content("ozt"), spot=spot)))
    if price <= 0:
        raise RangeError(f"{quote} comes to {price} an ounce at a spot of {spot}.", expected="A price is above zero.")
    return price


@dataclass(frozen=True, slots=True, kw_only=True)
class Constant:
    """An amount in dollars of one year, and the years for which a neighbour's index had to stand in."""

    amount: Decimal
    year: int
    stood_in: tuple[int, ...]


def in_constant(
    amounts: Iterable[tuple[date, Decimal]], index: PriceIndex, *, year: int | None = None, currency: str = "USD"
) -> Constant:
    """Dated amounts in constant dollars of a year (the index's last where none is said), each to the cent.

    A day outside the index takes its first or last year, which is said.

    Raises:
        NotFoundError: the year asked for is outside the index.
    """
    first, last = min(index.means), max(index.means)
    wanted = last if year is None else year
    whole = ZERO
    stood_in: set[int] = set()
    for day, amount in amounts:
        known = min(max(day.year, first), last)
        if known != day.year:
            stood_in.add(day.year)
        whole += cents(index.in_dollars_of(wanted, amount, known), currency)
    return Constant(amount=whole, year=wanted, stood_in=tuple(sorted(stood_in)))


def deflated(flows: Iterable[tuple[date, Decimal]], index: PriceIndex, year: int) -> list[tuple[date, Decimal]]:
    """Dated amounts, each in dollars of one year, unrounded; a day outside the index takes its first or last year."""
    first, last = min(index.means), max(index.means)
    return [(day, index.in_dollars_of(year, amount, min(max(day.year, first), last))) for day, amount in flows]
