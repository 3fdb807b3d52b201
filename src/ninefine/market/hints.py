"""What a little more would do: the next tier, the tax line, the free-carriage line; card or wire; how far to drive."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import ceil

from ninefine.errors import RangeError
from ninefine.market.budget import is_whole, with_amount
from ninefine.market.content import content
from ninefine.market.goods import Limit, Resolve, measured
from ninefine.market.landed import CostKind, Landed, landed
from ninefine.market.offers import Charged, Offer, Taxed, Way
from ninefine.market.quote import exact_decimal


class HintKind(StrEnum):
    """Which line would be crossed."""

    TIER = "next tier"
    TAX = "tax line"
    CARRIAGE = "free carriage"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """What buying up to a line would do.

    Attributes:
        kind: which line.
        units_more: whole face dollars, pieces or grams more.
        extra: what more would leave the pocket, all counted; below zero, buying more costs less.
        saved: what crossing the line saves against the same goods at today's conditions.
        landed_then: the offer at that amount.
        within_stock: whether the seller has as much.
    """

    kind: HintKind
    units_more: int
    extra: Decimal
    saved: Decimal
    landed_then: Landed
    within_stock: bool

    @property
    def cost_per_ozt_then(self) -> Decimal:
        """Dollars per fine ounce at that amount, unrounded."""
        return self.landed_then.cost_per_ozt()

    def marginal_per_ozt(self, now: Landed) -> Decimal:
        """What each ounce more would cost, unrounded: the figure to hold against your cap."""
        more = Fraction(self.landed_then.ozt[now.basis]) - Fraction(now.ozt[now.basis])
        return exact_decimal(Fraction(self.extra) / more)


def hints(now: Landed, *, resolve: Resolve = content) -> list[Hint]:
    """What each line ahead of an offer would do, nearest first; none for offers that are taken whole.

    Raises:
        RangeError: a quote that goods cannot be priced by at a larger amount.
    """
    offer = now.offer
    if is_whole(offer):
        return []
    held = now.goods[0].units
    found = [_hint(kind, units, now, resolve) for kind, units in _lines_ahead(offer, now, resolve) if units > held]
    return sorted(found, key=lambda hint: hint.units_more)


def _lines_ahead(offer: Offer, now: Landed, resolve: Resolve) -> list[tuple[HintKind, int]]:
    """The whole units at which each line is reached."""
    held = now.goods[0].units
    ahead = [(HintKind.TIER, ceil(tier.start)) for tier in offer.lines[0].tiers if Fraction(tier.start) > held][:1]
    rule, carriage = offer.tax, offer.carriage
    if rule is not None and rule.taxed is Taxed.UNDER and rule.threshold is not None:
        base = now.sum_of(CostKind.GOODS, CostKind.DISCOUNT)
        if rule.counts is not Charged.GOODS:
            base += now.sum_of(CostKind.CARRIAGE)
        ahead += _reaching(HintKind.TAX, rule.threshold, base, now, resolve)
    if carriage is not None and carriage.free_from is not None:
        base = now.sum_of(CostKind.GOODS, CostKind.DISCOUNT)
        ahead += _reaching(HintKind.CARRIAGE, carriage.free_from, base, now, resolve)
    return ahead


def _reaching(
    kind: HintKind, line: Decimal, base: Decimal, now: Landed, resolve: Resolve
) -> list[tuple[HintKind, int]]:
    """The fewest whole units whose counted amount reaches a line of money."""
    if base >= line:
        return []
    held, price = now.goods[0].units, now.sum_of(CostKind.GOODS)
    each = Fraction(price) / held
    units = ceil(held + Fraction(line - base) / each)
    # a cheaper tier may be entered on the way, and then a few units more are needed
    for more in range(units, 2 * units + 2):
        reached = _at(more, now, resolve).sum_of(CostKind.GOODS, CostKind.DISCOUNT)
        if reached + (base - now.sum_of(CostKind.GOODS, CostKind.DISCOUNT)) >= line:
            return [(kind, more)]
    return []


def _at(units: int, now: Landed, resolve: Resolve) -> Landed:
    """The same offer, paid the same way at the same spot, for another amount."""
    metal = now.goods[0].content.metal
    return landed(with_amount(now.offer, units, resolve), now.spot, way=now.way.name, metal=metal, resolve=resolve)


def _hint(kind: HintKind, units: int, now: Landed, resolve: Resolve) -> Hint:
    held = now.goods[0].units
    then = _at(units, now, resolve)
    extra = then.total - now.total
    at_todays = exact_decimal(Fraction(now.sum_of(CostKind.GOODS)) / held * (units - held))
    return Hint(
        kind=kind,
        units_more=ceil(units - held),
        extra=extra,
        saved=at_todays - extra,
        landed_then=then,
        within_stock=_within(now.offer.stock, then),
    )


def _within(stock: Limit | None, then: Landed) -> bool:
    return stock is None or measured(then.goods, then.sum_of(CostKind.GOODS), stock.unit) <= Fraction(stock.amount)


def crossover(one: Way, other: Way) -> Decimal | None:
    """The amount of goods at which two ways to pay cost the same; below it the one with the smaller fee is cheaper.

    A wire of 30 against a card of 4%: 750. None where neither overtakes the other.
    """
    fees, rates = Fraction(one.fee - other.fee), Fraction(other.surcharge_pct - one.surcharge_pct) / 100
    if not rates or fees / rates <= 0:
        return None
    return exact_decimal(fees / rates)


def worth_driving(saving: Decimal, per_mile: Decimal) -> Decimal:
    """Miles each way at which a saving is driven away, there and back.

    Raises:
        RangeError: a mile that costs nothing.
    """
    if per_mile <= 0:
        raise RangeError("A mile costs nothing.", expected="Say what a mile costs, more than zero.", instead=("0.70",))
    return exact_decimal(Fraction(saving) / (2 * Fraction(per_mile)))
