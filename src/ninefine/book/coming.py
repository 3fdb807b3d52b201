"""What entries do when silver comes in: bought, received, credited, given, inherited, held before the book."""

from decimal import Decimal

from msgspec.structs import replace

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
from ninefine.book.holdings import Heap, Lot, Origin
from ninefine.book.how import How
from ninefine.book.share import ZERO, rounded, share
from ninefine.book.working import Working
from ninefine.errors import BookError
from ninefine.measure.numbers import plain


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
        cost = rounded(line.price, unit)
        if others is not None:
            cost += others[index]
            if cost < 0:
                raise BookError(f"Lot {name} would cost {plain(cost)}. Other costs may not take a line below zero.")
        working.set(
            Lot(
                name=name,
                serial=serial,
                origin=origin,
                kind=kind,
                ordered=amount,
                quote=line.quote,
                cost=cost,
                awaited=not entry.arrived,
                received=None,
                claim=ZERO,
                heaps=(Heap(name, kind, line.issue, place, amount, cost),),
            )
        )


def costs_by_line(costs: dict[str, Decimal], prices: list[Decimal], unit: Decimal) -> list[Decimal]:
    """Costs by name, shared over the lines by price."""
    total = rounded(sum(costs.values(), ZERO), unit)
    if len(prices) == 1:
        return [total]
    return share(total, [rounded(price, unit) for price in prices], unit)


def received(working: Working, serial: int, entry: Received) -> None:  # noqa: ARG001 - effects share one shape
    """The counted amount replaces the ordered one; what the lot cost stays."""
    lots: dict[str, Lot] = {}
    for line in entry.lines:
        lot = working.lot(line.lot)
        if not lot.whole:
            raise BookError(
                f"Lot {lot.name} was already sorted, split or sold from, so a counting of the whole cannot replace "
                "it any more. Mend the earlier entry instead."
            )
        if lot.name in lots:
            raise BookError(f"Lot {lot.name} is counted twice in one entry. Say one amount for it.")
        (heap,) = lot.heaps  # a lot that is whole is one heap
        counted = Heap(
            heap.lot, heap.kind, heap.issue, entry.place or heap.place, line.amount, heap.basis, heap.cost_known
        )
        lots[lot.name] = replace(lot, awaited=False, received=entry.on, claim=ZERO, heaps=(counted,))
    claim = rounded(entry.claim, working.unit)
    if claim:
        for lot, part in zip(
            lots.values(), share(claim, [lot.cost for lot in lots.values()], working.unit), strict=True
        ):
            working.set(replace(lot, claim=part))
    else:
        for lot in lots.values():
            working.set(lot)


def credited(working: Working, serial: int, entry: Credited) -> None:  # noqa: ARG001 - effects share one shape
    """Cost and held basis of the lots fall by the amount, spread by the basis held; so does what is still claimed."""
    amount = rounded(entry.amount, working.unit)
    if len(set(entry.lots)) != len(entry.lots):
        raise BookError("A lot is named twice in one credit. Name each once.")
    lots = [working.lot(name) for name in entry.lots]
    for lot in lots:
        if not lot.origin.cost_known:
            raise BookError(f"Nobody knows what lot {lot.name} cost, so no credit can lower it. Mend its cost first.")
    held = sum((heap.basis for lot in lots for heap in lot.heaps), ZERO)
    if amount > held:
        raise BookError(
            f"A credit of {plain(amount)} is more than the basis still held of {', '.join(entry.lots)}: {plain(held)}. "
            "The part that belongs to pieces already sold is not basis: note it instead."
        )
    parts = iter(share(amount, [heap.basis for lot in lots for heap in lot.heaps], working.unit))
    for lot in lots:
        lowered = [(heap, next(parts)) for heap in lot.heaps]
        less = sum((part for _, part in lowered), ZERO)
        heaps = tuple([replace(heap, basis=heap.basis - part) for heap, part in lowered])
        working.set(replace(lot, heaps=heaps, cost=lot.cost - less, claim=max(ZERO, lot.claim - less)))


def given(working: Working, serial: int, entry: Given) -> None:
    """Each line becomes a lot at the giver's basis; a lower value on the day stands for losses."""
    for line in entry.lines:
        known = line.basis is not None
        origin = Origin(line.acquired, entry.on, entry.giver, How.GIVEN, known, line.own_use)
        lot = new_lot(serial, line, origin, line.basis, place=entry.place, unit=working.unit)
        value = None if line.value is None else rounded(line.value, working.unit)
        if known and value is not None and value < lot.cost:
            lot = replace(lot, loss_cost=value, loss_basis=value)
        working.add(lot)


def inherited(working: Working, serial: int, entry: Inherited) -> None:
    """Each line becomes a lot at its value at death, owned from that day."""
    for line in entry.lines:
        origin = Origin(entry.died, entry.on, entry.whose, How.INHERITED, line.value is not None, line.own_use)
        working.add(new_lot(serial, line, origin, line.value, place=entry.place, unit=working.unit))


def opened(working: Working, serial: int, entry: Opened) -> None:
    """Each line becomes a lot, with as much of its past as is known."""
    for line in entry.lines:
        how = How(line.how) if line.how else How.HELD
        origin = Origin(line.acquired, entry.on, line.seller, how, line.cost is not None, line.own_use)
        working.add(new_lot(serial, line, origin, line.cost, place=line.place, unit=working.unit))


def new_lot(
    serial: int,
    line: GivenLine | InheritedLine | OpenedLine | SwappedIn,
    origin: Origin,
    cost: Decimal | None,
    *,
    place: str,
    unit: Decimal,
) -> Lot:
    """A new lot of one heap, at its cost to the smallest unit; at nothing where nobody knows what it cost."""
    booked = ZERO if cost is None else rounded(cost, unit)
    heap = Heap(line.lot, line.kind, line.issue, place, line.amount, booked, origin.cost_known)
    return Lot(
        name=line.lot,
        serial=serial,
        origin=origin,
        kind=line.kind,
        ordered=line.amount,
        quote="",
        cost=booked,
        awaited=False,
        received=None,
        claim=ZERO,
        heaps=(heap,),
    )
