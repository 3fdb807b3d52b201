"""Ways out: what each would pay for the stack or for one lot, today or at a spot of the person's choice."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis
from ninefine.desk.holdings import Summary, summary
from ninefine.desk.kit import Kit
from ninefine.desk.tables import exits
from ninefine.errors import NotFoundError
from ninefine.market.paid import break_even
from ninefine.worth.stack import piles_of
from ninefine.worth.ways_out import WayOut, stack_ways_out, ways_out


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """The stack by every way out, best first, beside its melt on the trade's ounces and by scale."""

    now: Summary
    melt_trade: Decimal | None
    melt_scale: Decimal | None
    ways: tuple[WayOut, ...]


def exit_names(kit: Kit) -> tuple[str, ...]:
    """The names of the ways out, the usual one first."""
    return tuple(kit.holdings().tables.get("exit", {}))


def worth(kit: Kit, *, on: date | None = None, spot: Decimal | None = None) -> Worth:
    """What each exit, as set down by then, would pay for what was held."""
    now = summary(kit, on=on, basis=Basis.TRADE, spot=spot)
    weighed = summary(kit, on=on, basis=Basis.SCALE, spot=spot)
    return Worth(
        now=now,
        melt_trade=now.here.melt(),
        melt_scale=weighed.here.melt(),
        ways=stack_ways_out(now.here, exits(kit, on), now.spots),
    )


def lot_ways(kit: Kit, name: str, *, spot: Decimal | None = None) -> tuple[WayOut, ...]:
    """What each exit would pay for what is left of one lot, best first.

    Raises:
        NotFoundError: no such lot.
    """
    lots = kit.holdings().lots
    if name not in lots:
        raise NotFoundError(f"There is no lot {name[:40]!r}.", instead=list(lots)[-6:])
    return heap_ways(kit, lots[name].heaps, spot=spot)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotWay:
    """What an exit would pay for what is left of a lot, and the spot at which it would pay back what that cost.

    `even` is none where it buys not all of the lot, or several metals are in it, or no spot would do; both are none
    where nobody knows what the lot cost.
    """

    way: WayOut
    gain: Decimal | None
    even: Decimal | None


def lot_evens(kit: Kit, name: str, *, spot: Decimal | None = None) -> tuple[LotWay, ...]:
    """Each exit for one lot, best first, with its break-even.

    Raises:
        NotFoundError: no such lot.
    """
    ways = lot_ways(kit, name, spot=spot)
    lot = kit.holdings().lots[name]
    if not lot.cost_known:
        return tuple(LotWay(way=way, gain=None, even=None) for way in ways)
    cost = sum((heap.basis for heap in lot.heaps), Decimal(0))
    return tuple(LotWay(way=way, gain=way.net - cost, even=_even(way, cost)) for way in ways)


def _even(way: WayOut, cost: Decimal) -> Decimal | None:
    if way.unsold or len(way.paid) != 1:
        return None
    (paid,) = way.paid
    metal = paid.sold[0].content.metal
    return break_even(way.exit, paid.sold, cost, paid.spot, metal=metal)


def heap_ways(kit: Kit, heaps: tuple[Heap, ...], *, spot: Decimal | None = None) -> tuple[WayOut, ...]:
    """What each exit would pay for some heaps, best first."""
    piles, _ = piles_of(heaps, kit.catalog().kind)
    return ways_out(piles, exits(kit), summary(kit, spot=spot).spots)
