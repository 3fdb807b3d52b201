"""What entries do when silver leaves: sold."""

from ninefine.book.entries import Sold
from ninefine.book.holdings import Disposal
from ninefine.book.share import ZERO, rounded, share
from ninefine.book.take import basis_of, take
from ninefine.book.working import Working, draw


def sold(working: Working, serial: int, entry: Sold) -> None:
    """Each line leaves its heap with its share of basis; fees are spread over the lines by proceeds."""
    unit = working.unit
    lines = entry.lines
    proceeds = [rounded(line.proceeds, unit) for line in lines]
    total = rounded(entry.fees, unit)
    fees = share(total, proceeds, working.unit) if total else [ZERO] * len(lines)
    for index, line in enumerate(lines):
        lot, heap = working.heap(line.heap)
        taken, left = take(heap, line.amount)
        basis = basis_of(heap.basis, heap.amount, taken, left, unit)
        draw(lot, heap, left, basis)
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
                proceeds=proceeds[index],
                fees=fees[index],
                basis=basis,
                rule=entry.rule,
                exit=entry.exit,
                buyer=entry.buyer,
            )
        )
