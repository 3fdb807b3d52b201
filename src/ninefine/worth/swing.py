"""If spot moves, what moves: metal goes with spot, a piece worth more to a collector stays where it is.

What a heap is worth is the greater of its melt and its collector price, which is the person's own figure. Only silver.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis, Kind
from ninefine.errors import NotFoundError
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import ounces_of

ZERO = Decimal(0)
#: What the pieces of a heap would bring of a collector, all together; none where the person has no figure.
CollectorWorth = Callable[[Heap], Decimal | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """The silver at a spot and at another.

    Attributes:
        spot, other: the two spots.
        melt, melt_after: of everything, at each.
        worth, worth_after: the greater of melt and collector price, heap by heap, at each.
        led_by_melt: what is led by melt at the first spot. led_by_collectors: what is worth more to them.
    """

    spot: Decimal
    other: Decimal
    melt: Decimal
    melt_after: Decimal
    worth: Decimal
    worth_after: Decimal
    led_by_melt: Decimal
    led_by_collectors: Decimal

    @property
    def moves(self) -> Decimal:
        """What the move makes of the worth; below zero where it falls."""
        return self.worth_after - self.worth


def swing(
    heaps: Iterable[Heap],
    kind_of: Callable[[str], Kind],
    collectors: CollectorWorth,
    *,
    spot: Decimal,
    per_cent: Decimal = Decimal(10),
    currency: str = "USD",
) -> Swing:
    """What a move of spot by some per cent moves; heaps of kinds that the catalog does not hold are left out."""
    other = EXACT.multiply(spot, 1 + EXACT.divide(per_cent, Decimal(100)))
    melts = worths = melts_after = worths_after = by_melt = by_collectors = ZERO
    for heap in heaps:
        try:
            kind = kind_of(heap.kind)
        except NotFoundError:
            continue
        if kind.metal != "XAG":
            continue
        ozt = ounces_of(heap, kind).on(Basis.TRADE).ozt
        melt, after = EXACT.multiply(ozt, spot), EXACT.multiply(ozt, other)
        floor = collectors(heap)
        worth = melt if floor is None else max(melt, floor)
        melts, melts_after = melts + melt, melts_after + after
        worths, worths_after = worths + worth, worths_after + (after if floor is None else max(after, floor))
        if floor is not None and floor > melt:
            by_collectors += worth
        else:
            by_melt += worth
    return Swing(
        spot=spot,
        other=other,
        melt=cents(melts, currency),
        melt_after=cents(melts_after, currency),
        worth=cents(worths, currency),
        worth_after=cents(worths_after, currency),
        led_by_melt=cents(by_melt, currency),
        led_by_collectors=cents(by_collectors, currency),
    )
