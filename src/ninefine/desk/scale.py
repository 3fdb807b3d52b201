"""What lies ready for the scale, and what it should weigh."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap
from ninefine.desk.arrivals import lot_named, weighable
from ninefine.desk.heaps import heap_name
from ninefine.desk.kit import Kit
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import ounces_of


@dataclass(frozen=True, slots=True, kw_only=True)
class ToWeigh:
    """A heap that can be weighed, with what it should weigh: unworn, and by the trade's count of worn coin.

    The two figures are none where the kind has no set weight.
    """

    name: str
    heap: Heap
    unworn_g: Decimal | None
    trade_g: Decimal | None


def to_weigh(kit: Kit, *, lot: str = "", first: int = 0, most: int = 50) -> tuple[ToWeigh, ...]:
    """Heaps not weighed yet, newest lot first, `most` of them from the `first`; of one lot, every heap that lies here.

    Raises:
        NotFoundError: no such lot.
    """
    if lot:
        found = lot_named(kit.holdings().lots, lot)
        heaps = () if found.awaited else found.heaps
    else:
        ready = kit.keep("weighable", lambda: tuple(heap for _, heap in reversed(weighable(kit))))
        heaps = ready[first : first + most]
    return tuple(_to_weigh(kit, heap) for heap in heaps)


def to_weigh_again(kit: Kit, names: Sequence[str]) -> tuple[ToWeigh, ...]:
    """The heaps of some whole names, in that order; what lies there no longer is left out."""
    here = {heap_name(heap): heap for lot in kit.holdings().lots.values() if not lot.awaited for heap in lot.heaps}
    return tuple(_to_weigh(kit, here[name]) for name in names if name in here)


def _to_weigh(kit: Kit, heap: Heap) -> ToWeigh:
    kind = kit.kind_or_none(heap.kind)
    unworn = trade = None
    if kind is not None and kind.fineness and (heap.count is not None or heap.face is not None):
        ounces = ounces_of(Amount(count=heap.count, face=heap.face), kind)
        unworn = ounces.gross_g
        trade = EXACT.divide(EXACT.multiply(unworn, ounces.trade), ounces.unworn) if ounces.unworn else unworn
    return ToWeigh(name=heap_name(heap), heap=heap, unworn_g=unworn, trade_g=trade)
