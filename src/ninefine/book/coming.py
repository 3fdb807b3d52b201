"""What entries do when silver comes in: bought, received, credited, given, inherited, held before the book."""

from decimal import ROUND_HALF_UP, Decimal

from ninefine.book.entries import (
    Bought,
    Credited,
    Given,
    GivenLine,
    Inherited,
    InheritedLine,
    Opened,
    OpenedLine,
    Received,
    SwappedIn,
)
from ninefine.book.holdings import Origin
from ninefine.book.how import How
from ninefine.book.share import ZERO, rounded, share
from ninefine.book.working import WorkHeap, Working, WorkLot
from ninefine.errors import BookError
from ninefine.measure.numbers import EXACT, plain


def bought(working: Working, serial: int, entry: Bought) -> None:
    """Each line becomes a lot of one heap, at its price and its share of the other costs."""
    unit, place, lots = working.unit, entry.place, working.lots
    origin = Origin(entry.on, entry.on, entry.seller)
    others = None
    if entry.other_costs:
        others = costs_by_line(entry.other_costs, [line.price for line in entry.lines], unit)
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
            origin,
            kind,
            amount,
            line.quote,
            cost,
            not entry.arrived,
            heap,
        )
        working.touched[name] = None


def costs_by_line(costs: dict[str, Decimal], prices: list[Decimal], unit: Decimal) -> list[Decimal]:
    """Costs by name, shared over the lines by price."""
    total = rounded(sum(costs.values(), ZERO), unit)
    if len(prices) == 1:
        return [total]
    return share(total, [rounded(price, unit) for price in prices], unit)


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
    for lot in lots:
        if not lot.origin.cost_known:
            raise BookError(f"Nobody knows what lot {lot.name} cost, so no credit can lower it. Mend its cost first.")
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


def given(working: Working, serial: int, entry: Given) -> None:
    """Each line becomes a lot at the giver's basis; a lower value on the day stands for losses."""
    for line in entry.lines:
        known = line.basis is not None
        origin = Origin(line.acquired, entry.on, entry.giver, How.GIVEN, known, line.own_use)
        lot = new_lot(working, serial, line, origin, line.basis, place=entry.place)
        value = None if line.value is None else rounded(line.value, working.unit)
        if known and value is not None and value < lot.cost:
            lot.loss_cost = lot.loss_basis = value


def inherited(working: Working, serial: int, entry: Inherited) -> None:
    """Each line becomes a lot at its value at death, owned from that day."""
    for line in entry.lines:
        origin = Origin(entry.died, entry.on, entry.whose, How.INHERITED, line.value is not None, line.own_use)
        new_lot(working, serial, line, origin, line.value, place=entry.place)


def opened(working: Working, serial: int, entry: Opened) -> None:
    """Each line becomes a lot, with as much of its past as is known."""
    for line in entry.lines:
        how = How(line.how) if line.how else How.HELD
        origin = Origin(line.acquired, entry.on, line.seller, how, line.cost is not None, line.own_use)
        new_lot(working, serial, line, origin, line.cost, place=line.place)


def new_lot(
    working: Working,
    serial: int,
    line: GivenLine | InheritedLine | OpenedLine | SwappedIn,
    origin: Origin,
    cost: Decimal | None,
    *,
    place: str,
) -> WorkLot:
    """A new lot of one heap, at its cost to the smallest unit; at nothing where the origin says that it is not known.

    Raises:
        BookError: its name was used before.
    """
    booked = ZERO if cost is None else rounded(cost, working.unit)
    heap = WorkHeap(line.lot, line.kind, line.issue, place, line.amount, booked)
    lot = WorkLot(line.lot, serial, origin, line.kind, line.amount, "", booked, awaited=False, only=heap)
    working.add(lot)
    return lot
