"""What could be sold: heaps that lie here, with their lot's date and what they cost."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ninefine.book.holdings import Heap, Lot
from ninefine.book.term import Term, no_later_than, term_of
from ninefine.desk.arrivals import lot_named
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import heap_name
from ninefine.desk.kit import Kit
from ninefine.desk.sale import kinds_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Sellable:
    """A heap that lies here: its whole name, when its lot was acquired (if known), and whether it is long term."""

    name: str
    heap: Heap
    acquired: date | None
    long: bool


def sellable(
    kit: Kit, *, lot: str = "", kind: str = "", first: int = 0, most: int = 50, coming: bool = False
) -> tuple[Sellable, ...]:
    """Heaps that lie here, earliest acquired first, `most` of them from the `first`; of one lot or kind if asked.

    With `coming`, what is paid for and on its way is among them: it can be lost, if not sold.

    Raises:
        NotFoundError: no such lot, or words that name no kind or several.
    """
    held = kit.holdings()
    heaps = _here(kit, held.lots, coming=coming)
    if lot:
        wanted = lot_named(held.lots, lot).name
        heaps = tuple(heap for heap in heaps if heap.lot == wanted)
    if kind:
        kinds = kinds_of(kit.catalog(), read_named(kit.catalog(), kind))
        heaps = tuple(heap for heap in heaps if heap.kind in kinds)
    return tuple(_sellable(kit, heap, held.lots[heap.lot]) for heap in heaps[first : first + most])


def named_heaps(kit: Kit, names: tuple[str, ...], *, coming: bool = False) -> tuple[Sellable, ...]:
    """The heaps of some whole names, in that order; what is no longer held is left out."""
    lots = kit.holdings().lots
    by_name = {heap_name(heap): heap for heap in _here(kit, lots, coming=coming)}
    return tuple(_sellable(kit, by_name[name], lots[by_name[name].lot]) for name in names if name in by_name)


def _here(kit: Kit, lots: Mapping[str, Lot], *, coming: bool) -> tuple[Heap, ...]:
    def find() -> tuple[Heap, ...]:
        here = sorted(
            (lot for lot in lots.values() if coming or not lot.awaited),
            key=lambda lot: (no_later_than(lot), lot.serial),
        )
        return tuple(heap for lot in here for heap in lot.heaps)

    return kit.keep(("sellable", coming), find)


def _sellable(kit: Kit, heap: Heap, lot: Lot) -> Sellable:
    long = term_of(lot, kit.today()) is Term.LONG
    return Sellable(name=heap_name(heap), heap=heap, acquired=lot.acquired, long=long)
