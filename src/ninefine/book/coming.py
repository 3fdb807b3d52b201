"""What entries do when silver comes in: bought, received, credited."""

from decimal import ROUND_HALF_UP, Decimal

from ninefine.book.entries import Bought, Credited, Received
from ninefine.book.share import ZERO, rounded, share
from ninefine.book.working import WorkHeap, Working, WorkLot
from ninefine.errors import BookError
from ninefine.measure.numbers import EXACT, plain


def bought(working: Working, serial: int, entry: Bought) -> None:
    """Each line becomes a lot of one heap, at its price and its share of the other costs."""
    unit, place, lots = working.unit, entry.place, working.lots
    others = _other_costs(entry, unit) if entry.other_costs else None
    for index, line in enumerate(entry.lines):
        name, kind, amount = line.lot, line.kind, line.amount
        if name in lots:
            raise BookError(f"There is already a lot {name!r}. Try: {working.free_name(name)}.")
        cost = line.price.quantize(unit, ROUND_HALF_UP, EXACT)
        if others is not None:
            cost += others[index]
            if cost < 0:
                raise BookError(f"Lot {name} would cost {plain(cost)}. Other costs may not take a line below zero.")
        heap = WorkHeap(name, kind, line.issue, place, amount, cost)
        lots[name] = WorkLot(
            name,
            serial,
            entry.on,
            kind,
            entry.seller,
            amount,
            line.quote,
            cost,
            not entry.arrived,
            heap,
        )
        working.touched[name] = None


def _other_costs(entry: Bought, unit: Decimal) -> list[Decimal]:
    total = rounded(sum(entry.other_costs.values(), ZERO), unit)
    if len(entry.lines) == 1:
        return [total]
    return share(total, [rounded(line.price, unit) for line in entry.lines], unit)


def received(working: Working, serial: int, entry: Received) -> None:  # noqa: ARG001 - effects share one shape
    """The counted amount replaces the ordered one; what the lot cost stays."""
    lots: dict[str, WorkLot] = {}
    for line in entry.lines:
        lot = working.lot(line.lot)
        if lot.changed:
            raise BookError(
                f"Lot {lot.name} was already sorted, split or sold from, so a counting of the whole cannot replace "
                "it any more. Mend the earlier entry instead."
            )
        if lot.name in lots:
            raise BookError(f"Lot {lot.name} is counted twice in one entry. Say one amount for it.")
        heap = lot.only
        assert heap is not None  # a lot that never changed is one heap
        if entry.place:
            heap.place = entry.place
        heap.amount = line.amount
        lot.awaited = False
        lot.received = entry.on
        lots[lot.name] = lot
    claim = rounded(entry.claim, working.unit)
    shares = share(claim, [lot.cost for lot in lots.values()], working.unit) if claim else [ZERO] * len(lots)
    for lot, part in zip(lots.values(), shares, strict=True):
        lot.claim = part


def credited(working: Working, serial: int, entry: Credited) -> None:  # noqa: ARG001 - effects share one shape
    """Cost and held basis of the lots fall by the amount, spread by the basis held; so does what is still claimed."""
    amount = rounded(entry.amount, working.unit)
    if len(set(entry.lots)) != len(entry.lots):
        raise BookError("A lot is named twice in one credit. Name each once.")
    lots = [working.lot(name) for name in entry.lots]
    heaps = [(lot, heap) for lot in lots for heap in lot.each()]
    held = sum((heap.basis for _, heap in heaps), ZERO)
    if amount > held:
        raise BookError(
            f"A credit of {plain(amount)} is more than the basis still held of {', '.join(entry.lots)}: {plain(held)}. "
            "The part that belongs to pieces already sold is not basis: note it instead."
        )
    parts = share(amount, [heap.basis for _, heap in heaps], working.unit)
    for (lot, heap), part in zip(heaps, parts, strict=True):
        heap.basis -= part
        lot.cost -= part
        lot.claim = max(ZERO, lot.claim - part)
