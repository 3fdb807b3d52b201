"""How much of an offer a sum of money buys: whole face dollars or pieces, never more than there is money for."""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor

from ninefine.errors import RangeError
from ninefine.market.content import content
from ninefine.market.goods import Resolve
from ninefine.market.landed import CostKind, Landed, landed
from ninefine.market.offers import Offer, with_units
from ninefine.market.quote import QuoteForm, per_unit
from ninefine.measure.numbers import plain


@dataclass(frozen=True, slots=True, kw_only=True)
class Affordable:
    """What a budget buys of an offer.

    Attributes:
        units: whole face dollars, pieces or grams of the first line; zero where the money does not reach.
        landed: what they cost in all; none where nothing is bought.
        change: what is left of the budget, never below zero.
        reach: the units that the money would buy if they could be cut; shows what rounding down left out.
        whole: the offer is taken whole or left (several lines, or a flat price).
    """

    units: int
    landed: Landed | None
    change: Decimal
    reach: Fraction
    whole: bool = False


def is_whole(offer: Offer) -> bool:
    """Whether an offer is taken whole or left: several lines of goods, or a flat price."""
    line = offer.lines[0]
    flat = QuoteForm.FLAT in {line.quote.form, *(tier.quote.form for tier in line.tiers)}
    return flat or len(offer.lines) != 1


def with_amount(offer: Offer, units: int, resolve: Resolve = content) -> Offer:
    """The same offer for another amount, in what its goods are counted by.

    Raises:
        RangeError: an offer that is taken whole or left, or no units.
    """
    if is_whole(offer):
        raise RangeError(f"{offer.name} cannot be parted.", expected="It is taken whole or left.")
    if units < 1:
        raise RangeError(f"{units} is no amount.", expected="At least one whole unit is bought.")
    return replace(offer, lines=(with_units(offer.lines[0], Decimal(units), resolve),))


def affordable(
    offer: Offer, budget: Decimal, spot: Decimal, *, way: str = "", metal: str = "XAG", resolve: Resolve = content
) -> Affordable:
    """The most of an offer that a budget buys, up to what is offered, with everything that is added to it.

    Amounts round down to whole units: with 30.9956 face dollars within reach, 30 are bought. Tiers, the tax line and
    free carriage make the cost jump, so amounts are tried from the top down until one fits.

    Raises:
        RangeError: a quote that goods cannot be priced by, or a budget below zero.
    """
    if budget < 0:
        raise RangeError(f"The budget is {plain(budget)}.", expected="It must be zero or more.")
    offered = offer.lines[0].goods(resolve).units
    nothing = Affordable(units=0, landed=None, change=budget, reach=Fraction(0), whole=is_whole(offer))
    if nothing.whole:
        found = landed(offer, spot, way=way, metal=metal, resolve=resolve)
        if found.total > budget:
            return nothing
        return replace(nothing, units=floor(offered), landed=found, change=budget - found.total, reach=offered)
    most = min(floor(offered), floor(_for_goods(offer, budget) / _least_price(offer, spot, resolve)))
    for units in range(most, 0, -1):
        found = landed(with_amount(offer, units, resolve), spot, way=way, metal=metal, resolve=resolve)
        if found.total <= budget:
            reach = min(offered, units + Fraction(budget - found.total) / _each(found, units))
            return Affordable(units=units, landed=found, change=budget - found.total, reach=reach)
    return nothing


def _least_price(offer: Offer, spot: Decimal, resolve: Resolve) -> Fraction:
    """What one unit costs at the cheapest tier."""
    line = offer.lines[0]
    terms = line.goods(resolve).terms(spot)
    least = min(per_unit(quote, terms) for quote in (line.quote, *(tier.quote for tier in line.tiers)))
    if least <= 0:
        raise RangeError(f"{offer.name} comes to nothing a unit at this spot.", expected="A price is more than zero.")
    return least


def _for_goods(offer: Offer, budget: Decimal) -> Fraction:
    """No more than this can go into goods: the budget, with what a discount gives back."""
    share = 1 - Fraction(offer.discount_pct) / 100
    if share <= 0:
        raise RangeError(f"{offer.name} is discounted to nothing.", expected="A price is more than zero.")
    return (Fraction(budget) + Fraction(offer.discount)) / share


def _each(found: Landed, units: int) -> Fraction:
    """What one more unit adds: its price, with its share of what follows the price."""
    follows = found.sum_of(CostKind.GOODS, CostKind.SURCHARGE, CostKind.TAX)
    return Fraction(follows) / units
