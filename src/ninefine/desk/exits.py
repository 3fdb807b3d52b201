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
from ninefine.worth.stack import piles_of
from ninefine.worth.ways_out import WayOut, stack_ways_out, ways_out


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """The stack by every way out, best first, beside its melt on the trade's ounces and by scale."""

    now: Summary
    melt_trade: Decimal | None
    melt_scale: Decimal | None
    ways: tuple[WayOut, ...]


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


def heap_ways(kit: Kit, heaps: tuple[Heap, ...], *, spot: Decimal | None = None) -> tuple[WayOut, ...]:
    """What each exit would pay for some heaps, best first."""
    piles, _ = piles_of(heaps, kit.catalog().kind)
    return ways_out(piles, exits(kit), summary(kit, spot=spot).spots)
