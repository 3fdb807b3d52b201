"""What entries do to lots as such: split, joined, set to the household's own use."""

from decimal import Decimal

from msgspec.structs import replace

from ninefine.book.entries import Joined, Split, Used
from ninefine.book.heaps import drawn, laid, loss_drawn
from ninefine.book.holdings import Heap, Lot
from ninefine.book.share import ZERO
from ninefine.book.take import basis_of, take
from ninefine.book.working import Working
from ninefine.errors import BookError


def split(working: Working, serial: int, entry: Split) -> None:
    """What is taken becomes a lot of its own, with its share of cost; the lot's date and past go with it."""
    unit = working.unit
    lot, heap = working.heap(entry.heap)
    taken, left = take(heap, entry.amount)
    basis = basis_of(heap.basis, heap.amount, taken, left, unit)
    heaps = drawn(lot.heaps, heap, left, basis)
    loss = loss_drawn(lot, heaps, basis, unit)
    working.set(
        replace(
            lot,
            heaps=heaps,
            cost=lot.cost - basis,
            whole=False,
            loss_cost=_less(lot.loss_cost, loss),
            loss_basis=_less(lot.loss_basis, loss),
        )
    )
    working.add(
        Lot(
            name=entry.lot,
            serial=serial,
            origin=lot.origin,
            kind=heap.kind,
            ordered=taken,
            quote=lot.quote,
            cost=basis,
            awaited=False,
            received=None,
            claim=ZERO,
            heaps=(Heap(entry.lot, heap.kind, heap.issue, heap.place, taken, basis, heap.cost_known),),
            loss_cost=loss,
            loss_basis=loss,
            whole=False,  # it was counted when it was split off
        )
    )


def _less(amount: Decimal | None, part: Decimal | None) -> Decimal | None:
    return None if amount is None else amount - (part or ZERO)


def joined(working: Working, serial: int, entry: Joined) -> None:  # noqa: ARG001 - effects share one shape
    """What is held of the other lots goes over to the first, with its cost."""
    first, *others = [working.lot(name) for name in entry.lots]
    for lot in (first, *others):
        if lot.awaited or not lot.heaps:
            wrong = "is still on its way" if lot.awaited else "holds nothing more"
            raise BookError(f"Lot {lot.name} {wrong}, so it cannot be joined with another.")
    for lot in others:
        apart = _apart(first, lot)
        if apart:
            raise BookError(f"Lots {first.name} and {lot.name} cannot be one: {apart}.")
        poured, first = _poured(lot, first)
        working.set(poured)
    working.set(first)


def _apart(one: Lot, other: Lot) -> str:
    """Why two lots must stay apart, in words; empty where they need not."""
    here, there = one.origin, other.origin
    if (here.acquired, here.came) != (there.acquired, there.came):
        return "they came on different days"
    if here.how is not there.how:
        return f"one was {here.how.value}, the other {there.how.value}"
    if here.cost_known is not there.cost_known:
        return "nobody knows what one of them cost"
    if (one.loss_cost is None) is not (other.loss_cost is None):
        return "one has a basis of its own for losses"
    if here.own_use is not there.own_use:
        return "one serves the household itself"
    return ""


def _poured(lot: Lot, into: Lot) -> tuple[Lot, Lot]:
    """Both lots when all that is held of the one went over to the other."""
    went = sum((heap.basis for heap in lot.heaps), ZERO)
    pieces = [((heap.kind, heap.issue, heap.place), heap.amount, heap.basis) for heap in lot.heaps]
    full = replace(
        into,
        heaps=laid(into, into.heaps, pieces),
        cost=into.cost + went,
        claim=into.claim + lot.claim,
        whole=False,
    )
    empty = replace(lot, heaps=(), cost=lot.cost - went, claim=ZERO, whole=False)
    loss = lot.loss_basis
    if loss is not None:
        empty = replace(empty, loss_basis=ZERO, loss_cost=_less(lot.loss_cost, loss))
        full = replace(full, loss_basis=(into.loss_basis or ZERO) + loss, loss_cost=(into.loss_cost or ZERO) + loss)
    return empty, full


def used(working: Working, serial: int, entry: Used) -> None:  # noqa: ARG001 - effects share one shape
    """The lots serve the household itself from here on, or no longer."""
    for name in entry.lots:
        lot = working.lot(name)
        if lot.origin.own_use is entry.own:
            raise BookError(
                f"Lot {name} {'serves' if entry.own else 'does not serve'} the household itself already; "
                "nothing would change."
            )
        working.set(replace(lot, origin=replace(lot.origin, own_use=entry.own)))
