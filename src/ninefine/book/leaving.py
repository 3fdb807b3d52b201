"""What entries do when silver leaves: sold."""

from decimal import ROUND_HALF_UP, Decimal

from ninefine.book.entries import Sold
from ninefine.book.holdings import Disposal
from ninefine.book.share import ZERO, rounded, share
from ninefine.book.take import basis_of, take
from ninefine.book.working import Working
from ninefine.measure.numbers import EXACT


def sold(working: Working, serial: int, entry: Sold) -> None:
    """Each line leaves its heap with its share of basis; fees are spread over the lines by proceeds."""
    unit = working.unit
    fees = _fees(entry, unit) if entry.fees else None
    for index, line in enumerate(entry.lines):
        lot, heap = working.heap(line.heap)
        taken, left = take(heap, line.amount)
        basis = basis_of(heap.basis, heap.amount, taken, left, unit)
        lot.draw(heap, left, basis)
        lot.changed = True
        working.disposals.append(
            Disposal(
                serial=serial,
                on=entry.on,
                lot=lot.name,
                kind=heap.kind,
                issue=heap.issue,
                acquired=lot.acquired,
                amount=taken,
                proceeds=line.proceeds.quantize(unit, ROUND_HALF_UP, EXACT),
                fees=ZERO if fees is None else fees[index],
                basis=basis,
                rule=entry.rule,
                exit=entry.exit,
                buyer=entry.buyer,
            )
        )


def _fees(entry: Sold, unit: Decimal) -> list[Decimal]:
    total = rounded(entry.fees, unit)
    if len(entry.lines) == 1:
        return [total]
    return share(total, [rounded(line.proceeds, unit) for line in entry.lines], unit)
