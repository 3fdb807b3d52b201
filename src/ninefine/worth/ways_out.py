"""What each way out would pay for a lot or for the whole stack, with all that it takes off."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.kinds import Basis, Kind
from ninefine.errors import NotFoundError
from ninefine.market.content import content_of
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods
from ninefine.market.paid import Paid, pays
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import Measured
from ninefine.worth.stack import Pile, Stack

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """What one exit would pay for some goods.

    Attributes:
        exit: the way out.
        paid: its settlement, metal by metal; empty where it buys none of the goods.
        net: what would reach the pocket.
        of_melt: net as a share of the melt of what it buys (trade ounces); none where nothing is priced.
        unsold: kinds that it has no bid for.
        unsold_melt: what those would melt at, so that two exits can be compared fairly.
    """

    exit: Exit
    paid: tuple[Paid, ...]
    net: Decimal
    of_melt: Decimal | None
    unsold: tuple[str, ...]
    unsold_melt: Decimal

    @property
    def gross(self) -> Decimal:
        """What it would pay before anything is taken off."""
        return sum((paid.gross for paid in self.paid), ZERO)

    @property
    def taken_off(self) -> Decimal:
        """All that it takes off, as an amount above zero."""
        return self.gross - self.net


def goods_of(kind: Kind, held: Measured) -> Goods:
    """An amount of a kind as the market reckons with it.

    Raises:
        RangeError: the kind holds no metal.
    """
    return Goods(kind=kind.slug, content=content_of(kind), count=held.count, face=held.face, gross_g=held.gross_g)


def ways_out(piles: Iterable[Pile], exits: Sequence[Exit], spots: Mapping[str, Decimal]) -> tuple[WayOut, ...]:
    """What each exit would pay for some piles, best first.

    Piles of a metal without a price, and those without metal, are in no figure.
    """
    by_metal: dict[str, list[tuple[Pile, Goods]]] = {}
    for pile in piles:
        if pile.kind.fineness and pile.kind.metal in spots:
            by_metal.setdefault(pile.kind.metal, []).append((pile, goods_of(pile.kind, pile)))
    found = [_way_out(way, by_metal, spots) for way in exits]
    return tuple(sorted(found, key=lambda way: (not way.paid, -way.net)))


def stack_ways_out(stack: Stack, exits: Sequence[Exit], spots: Mapping[str, Decimal]) -> tuple[WayOut, ...]:
    """What each exit would pay for the whole stack, best first."""
    return ways_out((line.pile for line in stack.lines), exits, spots)


def _way_out(way: Exit, by_metal: Mapping[str, list[tuple[Pile, Goods]]], spots: Mapping[str, Decimal]) -> WayOut:
    paid: list[Paid] = []
    unsold: list[str] = []
    melt = unsold_melt = ZERO
    for metal, pairs in by_metal.items():
        goods = [item for _, item in pairs]
        try:
            settled = pays(way, goods, spots[metal], metal=metal)
        except NotFoundError:
            left = goods
        else:
            paid.append(settled)
            melt += sum((_melt(item, spots[metal]) for item in settled.sold), ZERO)
            left = list(settled.unsold)
        unsold += [item.content.name for item in left]
        unsold_melt += sum((_melt(item, spots[metal]) for item in left), ZERO)
    net = sum((one.net for one in paid), ZERO)
    return WayOut(
        exit=way,
        paid=tuple(paid),
        net=net,
        of_melt=EXACT.divide(net, melt) if melt else None,
        unsold=tuple(dict.fromkeys(unsold)),
        unsold_melt=unsold_melt,
    )


def _melt(goods: Goods, spot: Decimal) -> Decimal:
    ozt = goods.ozt(Basis.TRADE)
    return EXACT.divide(EXACT.multiply(Decimal(ozt.numerator), spot), Decimal(ozt.denominator))
