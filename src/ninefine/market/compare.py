"""Offers side by side: landed cost per ounce, what an exit would pay back, and the spot at which each is even."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import NotFoundError
from ninefine.market.content import content
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods, Resolve
from ninefine.market.landed import Landed, landed
from ninefine.market.offers import Offer
from ninefine.market.paid import Paid, break_even, pays
from ninefine.market.quote import exact_decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """An offer paid one way, and how it stands against spot and against an exit.

    Attributes:
        rank: its place by cost per ounce, from 1; on scale ounces where it was weighed, else on trade ounces.
        landed: what it costs in all.
        paid: what the exit pays for it today; none without an exit, or where that buys no such goods.
        break_even: the spot at which the exit pays the cost back, its bid rule unchanged; unrounded.
    """

    rank: int
    landed: Landed
    paid: Paid | None
    break_even: Decimal | None

    @property
    def name(self) -> str:
        """The offer, and how it is paid where there is a choice."""
        way = self.landed.way.name
        return (
            f"{self.landed.offer.name} by {way}" if way and len(self.landed.offer.ways) > 1 else self.landed.offer.name
        )

    @property
    def basis(self) -> Basis:
        """The ounces by which it is ranked."""
        return self.landed.basis

    @property
    def cost_per_ozt(self) -> Decimal:
        """Dollars per fine troy ounce on `basis`, unrounded."""
        return self.landed.cost_per_ozt()

    @property
    def premium_usd(self) -> Decimal:
        """Dollars per ounce over spot; below zero under it."""
        return self.landed.premium_usd()

    @property
    def premium_pct(self) -> Decimal:
        """Per cent over spot; below zero under it."""
        return self.landed.premium_pct()

    @property
    def loss(self) -> Decimal | None:
        """What buying and selling back today would lose; below zero, a gain."""
        return None if self.paid is None else self.landed.total - self.paid.net

    @property
    def loss_pct(self) -> Decimal | None:
        """The same in per cent of the landed cost, unrounded."""
        if self.loss is None or not self.landed.total:
            return None
        return exact_decimal(Fraction(self.loss) / Fraction(self.landed.total) * 100)

    @property
    def rise_pct(self) -> Decimal | None:
        """By how much spot must rise to be even, in per cent, unrounded; below zero, it may fall."""
        if self.break_even is None:
            return None
        return exact_decimal((Fraction(self.break_even) / Fraction(self.landed.spot) - 1) * 100)

    @property
    def most(self) -> Decimal | None:
        """The most that may be paid in all for these goods without a loss at that exit today."""
        return None if self.paid is None else self.paid.net


def compare(
    offers: Iterable[Offer],
    spot: Decimal,
    way_out: Exit | None = None,
    *,
    every_way: bool = True,
    metal: str = "XAG",
    resolve: Resolve = content,
) -> list[Ranked]:
    """Rank offers by cost per fine ounce, cheapest first; equal ones in the order given.

    Args:
        offers: the offers; each is priced by each of its ways to pay.
        spot: dollars per fine troy ounce.
        way_out: an exit to sell back to.
        every_way: no: each offer by its cheapest way alone.
        metal: what spot is of; offers of another metal are refused.
        resolve: finds what named goods hold.

    Raises:
        NotFoundError: goods of a name that is not known.
        RangeError: a quote that goods cannot be priced by.
    """
    found: list[Landed] = []
    for offer in offers:
        ways = [landed(offer, spot, way=way.name, metal=metal, resolve=resolve) for way in offer.ways] or [
            landed(offer, spot, metal=metal, resolve=resolve)
        ]
        found += ways if every_way else [min(ways, key=lambda way: way.total)]
    found.sort(key=Landed.cost_per_ozt)
    return [_ranked(rank, item, way_out, metal) for rank, item in enumerate(found, start=1)]


def _ranked(rank: int, item: Landed, way_out: Exit | None, metal: str) -> Ranked:
    paid = even = None
    if way_out is not None:
        try:
            paid = pays(way_out, item.goods, item.spot, metal=metal)
            even = break_even(way_out, item.goods, item.total, item.spot, metal=metal)
        except NotFoundError:
            paid = even = None  # this exit buys no such goods, and the row says so by having no figure
    return Ranked(rank=rank, landed=item, paid=paid, break_even=even)


def most_to_pay(way_out: Exit, goods: Sequence[Goods], spot: Decimal, *, metal: str = "XAG") -> Decimal:
    """The most to pay in all for some goods, to sell them to an exit today at no loss.

    Raises:
        NotFoundError: it buys none of these goods.
    """
    return pays(way_out, goods, spot, metal=metal).net
