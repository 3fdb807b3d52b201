"""Changing one form of metal for another: what it costs in premium and tax, and the ratio at which it would have paid.

A change is a sale of the one and a purchase of the other, in whole pieces, with the change kept in cash. It has paid
once going back, by the same bids and asks, buys the goods that were given again. Between metals that is a matter of the
ratio of their prices; between forms of one metal, of what the new form's way out pays.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError
from ninefine.market.content import OUNCE_G, Content
from ninefine.market.quote import Quote, per_unit
from ninefine.market.series import Point
from ninefine.market.terms import Terms
from ninefine.measure.money import cents
from ninefine.measure.numbers import to_places

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What is given, as a sale of it comes to.

    Attributes:
        content, units: what it is, and how many units (face dollars, pieces, grams) of it.
        ozt: fine ounces (trade). net: what the sale brings, less what its way out takes off.
        tax: what it adds to the year's tax at the typed rates. again: what is asked for a unit of it on going back.
    """

    content: Content
    units: Fraction
    ozt: Fraction
    net: Decimal
    tax: Decimal
    again: Quote


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What is taken for it: one piece of it, what is asked for that, and what would be paid for it on going back."""

    content: Content
    ask: Quote
    bid: Quote


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change of one form for another.

    Attributes:
        units: whole units taken. price: what one costs. paid: for all of them. cash: what is left over of the money.
        ozt: fine ounces (trade) taken.
        given_melt, taken_melt: both by their metals' spot.
        premium: what the two premiums cost: melt given, less melt taken and cash, before tax.
        tax: added to the year's. back: what going back at once would bring, with the cash, before further tax.
        again: what the goods given would cost to have again.
        ratio: spot of what is taken over spot of what is given, today; one for forms of one metal.
        pays_at: the ratio at which going back buys all of it again; none between forms of one metal, or if none would.
        bid_at: what the new form's way out must pay for it to have paid at today's spot, in per cent of its melt.
    """

    units: int
    price: Decimal
    paid: Decimal
    cash: Decimal
    ozt: Fraction
    given_melt: Fraction
    taken_melt: Fraction
    tax: Decimal
    back: Decimal
    again: Decimal
    ratio: Fraction
    pays_at: Fraction | None
    bid_at: Fraction

    @property
    def premium(self) -> Fraction:
        """What the premiums on both sides cost, before tax; below zero where they bring something."""
        return self.given_melt - self.taken_melt - Fraction(self.cash) - Fraction(self.tax)


def change_of(given: Given, taken: Taken, spots: tuple[Decimal, Decimal], rate: Decimal = ZERO) -> Change:
    """Work a change out.

    Args:
        given: what goes.
        taken: what comes for it.
        spots: of the metal given, and of the metal taken, per fine troy ounce.
        rate: the typed rate on a gain made on going back, in per cent.

    Raises:
        RangeError: a price that comes to nothing, or money for less than one piece.
    """
    mine, theirs = spots
    price = cents(to_places(_unit(taken.ask, taken.content, Fraction(theirs)), 10))
    if price <= 0:
        raise RangeError(f"At spot {theirs} that ask comes to {price}.", expected="An ask is above zero.")
    money = given.net - given.tax
    units = int(money // price)
    if units < 1:
        raise RangeError(
            f"After tax there are {money}, and one piece of {taken.content.name} costs {price}.",
            expected="Give more, or take smaller pieces.",
        )
    paid = price * units
    again = cents(to_places(_unit(given.again, given.content, Fraction(mine)) * given.units, 10))
    wanted = Fraction(again) - Fraction(money - paid)
    needed = _gross_for(wanted, Fraction(paid), rate)
    each = taken.content.ozt(Basis.TRADE)
    return Change(
        units=units,
        price=price,
        paid=paid,
        cash=money - paid,
        ozt=each * units,
        given_melt=given.ozt * Fraction(mine),
        taken_melt=each * units * Fraction(theirs),
        tax=given.tax,
        back=cents(to_places(_unit(taken.bid, taken.content, Fraction(theirs)) * units, 10)) + money - paid,
        again=again,
        ratio=Fraction(theirs) / Fraction(mine),
        pays_at=None if taken.content.metal == given.content.metal else _ratio(taken, units, needed, spots),
        bid_at=needed / (each * units * Fraction(theirs)) * 100,
    )


def _ratio(taken: Taken, units: int, needed: Fraction, spots: tuple[Decimal, Decimal]) -> Fraction | None:
    """The ratio at which the bid for what was taken comes to what is needed, the spot of what was given unchanged."""
    low = Fraction(spots[1])
    at_low, at_high = (_unit(taken.bid, taken.content, spot) * units for spot in (low, 2 * low))
    if at_high <= at_low:
        return None
    spot = low + (needed - at_low) * low / (at_high - at_low)
    return spot / Fraction(spots[0]) if spot > 0 else None


def _gross_for(wanted: Fraction, paid: Fraction, rate: Decimal) -> Fraction:
    """What must be paid so that so much is left after tax on the gain over its cost; a loss saves nothing."""
    if wanted <= paid:
        return wanted
    share = Fraction(rate) / 100
    return (wanted - share * paid) / (1 - share)


def _unit(quote: Quote, content: Content, spot: Fraction) -> Fraction:
    """What a quote comes to for one unit; bars and rounds weigh what is stamped on them."""
    scale = content.trade_ozt * OUNCE_G / content.fineness if content.stamped else None
    return per_unit(quote, Terms(content=content, spot=spot, units=Fraction(1), scale_g=scale))


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioPast:
    """A ratio of two metals in the past, by months' averages.

    Attributes:
        months: how many. least, most, last: its range, and where it stood last.
        at_or_above: in how many months it stood at a level or above.
    """

    months: int
    first: Point
    least: Decimal
    most: Decimal
    last: Decimal
    at_or_above: int


def ratio_past(over: Sequence[Point], under: Sequence[Point], level: Fraction) -> RatioPast:
    """How often the ratio of two series stood at a level or above."""
    by_month = {point.first: point.per_ozt for point in under}
    ratios = [Fraction(point.per_ozt) / Fraction(by_month[point.first]) for point in over if point.first in by_month]
    return RatioPast(
        months=len(ratios),
        first=over[0],
        least=to_places(min(ratios), 2),
        most=to_places(max(ratios), 2),
        last=to_places(ratios[-1], 2),
        at_or_above=sum(1 for ratio in ratios if ratio >= level),
    )
