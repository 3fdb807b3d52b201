"""What entries do when silver leaves: sold, swapped, lost, refined."""

from decimal import Decimal

from msgspec.structs import replace

from ninefine.book.coming import costs_by_line, new_lot
from ninefine.book.entries import Lost, LostLine, Refined, RefinedLine, Sold, SoldLine, Swapped, SwappedOut
from ninefine.book.heaps import drawn, loss_drawn
from ninefine.book.holdings import Disposal, Leaving, Origin
from ninefine.book.how import How, Left
from ninefine.book.share import ZERO, rounded, share
from ninefine.book.take import basis_of, take
from ninefine.book.working import Working

#: Looked up once: members of an enumeration are slow to reach, and sales are many.
_SOLD = Left.SOLD
#: What may happen to a parcel before it comes.
_ON_ITS_WAY = frozenset({Left.LOST, Left.STOLEN, Left.DESTROYED})


def sold(working: Working, serial: int, entry: Sold) -> None:
    """Each line leaves its heap with its share of basis; fees are spread over the lines by proceeds."""
    unit, lines = working.unit, entry.lines
    leaving = Leaving(serial, entry.on, _SOLD, entry.rule, entry.buyer, entry.exit)
    fees = _spread(entry.fees, [line.proceeds for line in lines], unit) if entry.fees else None
    for index, line in enumerate(lines):
        _leave(working, leaving, line, line.proceeds, ZERO if fees is None else fees[index])


def swapped(working: Working, serial: int, entry: Swapped) -> None:
    """What went leaves for what it counted for; what came is new lots that cost what they counted for."""
    leaving = Leaving(serial, entry.on, Left.SWAPPED, entry.rule, entry.whom)
    for line in entry.out:
        _leave(working, leaving, line, line.value, ZERO)
    values = [line.value for line in entry.into]
    others = costs_by_line(entry.other_costs, values, working.unit) if entry.other_costs else None
    origin = Origin(entry.on, entry.on, entry.whom, How.SWAPPED)
    for index, came in enumerate(entry.into):
        cost = rounded(came.value, working.unit)
        if others is not None:
            cost += others[index]
        working.add(new_lot(serial, came, origin, cost, place=entry.place, unit=working.unit))


def lost(working: Working, serial: int, entry: Lost) -> None:
    """Each line leaves with its basis, for what was paid all the same; a parcel may be lost on its way."""
    leaving = Leaving(serial, entry.on, Left(entry.why), entry.rule, entry.whom)
    for line in entry.lines:
        _leave(working, leaving, line, line.paid, ZERO, line.value)


def refined(working: Working, serial: int, entry: Refined) -> None:
    """Each line leaves for its share of the refiner's proceeds, by weight; his fees are spread by proceeds."""
    unit = working.unit
    leaving = Leaving(serial, entry.on, Left.REFINED, entry.rule, entry.refiner)
    proceeds = share(rounded(entry.proceeds, unit), [line.weight for line in entry.lines], unit)
    fees = _spread(sum(entry.fees.values(), ZERO), proceeds, unit)
    for line, brought, fee in zip(entry.lines, proceeds, fees, strict=True):
        _leave(working, leaving, line, brought, fee)


def _leave(
    working: Working,
    leaving: Leaving,
    line: SoldLine | SwappedOut | LostLine | RefinedLine,
    proceeds: Decimal,
    fees: Decimal,
    value: Decimal | None = None,
) -> None:
    """Draw what a line says from its heap, and set down that it left."""
    unit = working.unit
    way = leaving.left
    if way is _SOLD:
        lot, heap = working.heap(line.heap)
    else:
        lot, heap = working.heap(line.heap, on_its_way=way in _ON_ITS_WAY)
    taken, left = take(heap, line.amount)
    basis = basis_of(heap.basis, heap.amount, taken, left, unit)
    heaps = drawn(lot.heaps, heap, left, basis)
    loss = None
    if lot.loss_basis is None:
        working.set(replace(lot, heaps=heaps, whole=False, awaited=lot.awaited and bool(heaps)))
    else:
        loss = loss_drawn(lot, heaps, basis, unit) or ZERO
        working.set(
            replace(
                lot, heaps=heaps, whole=False, awaited=lot.awaited and bool(heaps), loss_basis=lot.loss_basis - loss
            )
        )
    working.disposals.append(
        Disposal(
            leaving=leaving,
            origin=lot.origin,
            lot=lot.name,
            kind=heap.kind,
            issue=heap.issue,
            amount=taken,
            proceeds=rounded(proceeds, unit),
            fees=fees,
            basis=basis,
            loss_basis=loss,
            value=value,
        )
    )


def _spread(fees: Decimal, proceeds: list[Decimal], unit: Decimal) -> list[Decimal]:
    """Fees over the lines by what each brought."""
    total = rounded(fees, unit)
    if len(proceeds) == 1:
        return [total]
    return share(total, [rounded(amount, unit) for amount in proceeds], unit)
