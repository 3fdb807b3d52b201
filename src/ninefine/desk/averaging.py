"""Average cost over the whole book: what is about to be sold, and what ever left."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from ninefine.book.basis import SoldPart
from ninefine.book.holdings import Holdings
from ninefine.desk.kit import Kit
from ninefine.worth.ounces import ounces_of
from ninefine.worth.pool import Averages, after, averages, pool_of


def all_averages(kit: Kit, until: date | None = None) -> Averages:
    """The basis of all that left by average cost, and the pools as they stand, up to a day or now."""
    kind_of, currency = kit.catalog().kind, kit.journal.currency
    return kit.keep(
        ("averages", until), lambda: averages(kit.journal.records(), kind_of, until=until, currency=currency)
    )


def by_average(kit: Kit, held: Holdings, on: date, parts: Sequence[SoldPart]) -> dict[int, Decimal]:
    """The basis of parts by average cost, by their place; those that are in no pool are missing.

    Silver whose cost nobody knows, and what serves the household itself, keeps what the book says of it.
    """
    catalog, pools = kit.catalog(), all_averages(kit, on).pools
    asked: dict[int, tuple[str, Decimal]] = {}
    for place, part in enumerate(parts):
        lot, kind = held.lots[part.heap.lot], catalog.kind(part.heap.kind)
        name = pool_of(kind)
        if name in pools and lot.cost_known and not lot.own_use:
            asked[place] = name, ounces_of(part.amount, kind).trade
    return dict(zip(asked, after(pools, list(asked.values()), currency=kit.journal.currency), strict=True))
