"""Lots as sales would leave them, line after line, without booking anything: what each line carries away."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from msgspec.structs import replace

from ninefine.book.entries import Amount
from ninefine.book.heaps import drawn, found, loss_drawn
from ninefine.book.holdings import Heap, Lot
from ninefine.book.share import ZERO
from ninefine.book.take import basis_of, take


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a line carries away; `loss_basis` is none where its lot is no gift with a value of its own."""

    amount: Amount
    basis: Decimal
    loss_basis: Decimal | None


class Drawing:
    """Some lots, drawn from as a booked sale draws from them.

    Args:
        lots: as they are before.
        unit: the smallest unit of money.
    """

    def __init__(self, lots: Iterable[Lot], unit: Decimal) -> None:
        self._lots = {lot.name: lot for lot in lots}
        self._unit = unit

    def draw(self, heap: Heap, asked: Amount | None) -> Drawn:
        """Draw an amount from a heap, as it was before or is now; all that is left of it where none is asked.

        Raises:
            NotEnoughError: the heap holds less by now.
            BookError: asked in a measure that does not decide.
        """
        lot = self._lots[heap.lot]
        now = found(lot.heaps, heap.kind, heap.issue, heap.place) or heap
        amount, left = take(now, asked)
        basis = basis_of(now.basis, now.amount, amount, left, self._unit)
        heaps = drawn(lot.heaps, now, left, basis)
        loss = loss_drawn(lot, heaps, basis, self._unit)
        rest = None if lot.loss_basis is None else lot.loss_basis - (loss or ZERO)
        self._lots[lot.name] = replace(lot, heaps=heaps, loss_basis=rest)
        return Drawn(amount=amount, basis=basis, loss_basis=loss)
