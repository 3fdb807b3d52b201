"""What entries do to lots as such: split, joined, set to the household's own use."""

import msgspec

from ninefine.book.entries import Joined, Split, Used
from ninefine.book.share import ZERO
from ninefine.book.take import basis_of, take
from ninefine.book.working import WorkHeap, Working, WorkLot
from ninefine.errors import BookError


def split(working: Working, serial: int, entry: Split) -> None:
    """What is taken becomes a lot of its own, with its share of cost; the lot's date and past go with it."""
    unit = working.unit
    lot, heap = working.heap(entry.heap)
    taken, left = take(heap, entry.amount)
    basis = basis_of(heap.basis, heap.amount, taken, left, unit)
    lot.draw(heap, left, basis)
    loss = lot.draw_loss(basis, unit)
    lot.cost -= basis
    if lot.loss_cost is not None and loss is not None:
        lot.loss_cost -= loss
    lot.changed = True
    working.add(
        WorkLot(
            name=entry.lot,
            serial=serial,
            origin=lot.origin,
            kind=heap.kind,
            ordered=taken,
            quote=lot.quote,
            cost=basis,
            awaited=False,
            only=WorkHeap(entry.lot, heap.kind, heap.issue, heap.place, taken, basis),
            changed=True,  # it was counted when it was split off
            loss_cost=loss,
            loss_basis=loss,
        )
    )


def joined(working: Working, serial: int, entry: Joined) -> None:  # noqa: ARG001 - effects share one shape
    """What is held of the other lots goes over to the first, with its cost."""
    first, *others = [working.lot(name) for name in entry.lots]
    for lot in (first, *others):
        if lot.awaited or not lot.each():
            wrong = "is still on its way" if lot.awaited else "holds nothing more"
            raise BookError(f"Lot {lot.name} {wrong}, so it cannot be joined with another.")
    for lot in others:
        apart = _apart(first, lot)
        if apart:
            raise BookError(f"Lots {first.name} and {lot.name} cannot be one: {apart}.")
        _pour(lot, first)
    first.changed = True


def _apart(one: WorkLot, other: WorkLot) -> str:
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


def _pour(lot: WorkLot, into: WorkLot) -> None:
    for heap in list(lot.each()):
        lot.draw(heap, None, heap.basis)
        lot.cost -= heap.basis
        into.put((heap.kind, heap.issue, heap.place), heap.amount, heap.basis)
        into.cost += heap.basis
    loss = lot.loss_basis
    if loss is not None and lot.loss_cost is not None:
        lot.loss_basis, lot.loss_cost = ZERO, lot.loss_cost - loss
        into.loss_basis = (into.loss_basis or ZERO) + loss
        into.loss_cost = (into.loss_cost or ZERO) + loss
    into.claim += lot.claim
    lot.claim = ZERO
    lot.changed = True


def used(working: Working, serial: int, entry: Used) -> None:  # noqa: ARG001 - effects share one shape
    """The lots serve the household itself from here on, or no longer."""
    for name in entry.lots:
        lot = working.lot(name)
        if lot.origin.own_use is entry.own:
            raise BookError(
                f"Lot {name} {'serves' if entry.own else 'does not serve'} the household itself already; "
                "nothing would change."
            )
        lot.origin = msgspec.structs.replace(lot.origin, own_use=entry.own)
