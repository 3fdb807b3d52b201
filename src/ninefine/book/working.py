"""The fold's working state: lots and heaps that change while entries are counted, frozen into `Holdings` when asked.

Freezing is shared: a lot that no entry touched since the last freeze is not made again.
"""

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any

import msgspec

from ninefine.book.holdings import Disposal, Heap, Holdings, Lot, Origin, PriceMark
from ninefine.book.said import Amount, HeapRef
from ninefine.book.share import ZERO, part_of, unit_of
from ninefine.book.take import heap_words
from ninefine.errors import BookError

#: What tells the heaps of one lot apart: kind, issue, place.
Key = tuple[str, str, str]


class WorkHeap(msgspec.Struct, gc=False):
    """A heap that may still change."""

    lot: str
    kind: str
    issue: str
    place: str
    amount: Amount
    basis: Decimal


class WorkLot(msgspec.Struct, gc=False):
    """A lot that may still change. `changed` is true once it was sorted, split or sold from.

    Most lots are one heap for long: it stands in `only`, and `heaps` is made when the lot is first told apart.
    """

    name: str
    serial: int
    origin: Origin
    kind: str
    ordered: Amount
    quote: str
    cost: Decimal
    awaited: bool
    only: WorkHeap | None
    heaps: dict[Key, WorkHeap] | None = None
    received: date | None = None
    claim: Decimal = Decimal(0)
    changed: bool = False
    loss_cost: Decimal | None = None
    loss_basis: Decimal | None = None

    def find(self, kind: str, issue: str, place: str) -> WorkHeap | None:
        """The heap of that kind, issue and place, if the lot has it."""
        if self.heaps is not None:
            return self.heaps.get((kind, issue, place))
        only = self.only
        if only is not None and only.kind == kind and only.issue == issue and only.place == place:
            return only
        return None

    def each(self) -> Collection[WorkHeap]:
        """Every heap of the lot."""
        if self.heaps is not None:
            return self.heaps.values()
        return () if self.only is None else (self.only,)

    def put(self, key: Key, amount: Amount, basis: Decimal) -> None:
        """Lay pieces down as a heap, or onto the heap that is already there.

        Raises:
            BookError: the two share no measure, so that together they could not be measured.
        """
        kind, issue, place = key
        there = self.find(kind, issue, place)
        if there is not None:
            there.amount = _together(there, amount)
            there.basis += basis
            return
        heap = WorkHeap(self.name, kind, issue, place, amount, basis)
        if self.heaps is None:
            if self.only is None:
                self.only = heap
                return
            self.heaps = {(self.only.kind, self.only.issue, self.only.place): self.only}
            self.only = None
        self.heaps[key] = heap

    def draw(self, heap: WorkHeap, left: Amount | None, basis: Decimal) -> None:
        """Leave in a heap what stays, or take the heap out of the lot when nothing does."""
        if left is not None:
            heap.amount = left
            heap.basis -= basis
        elif self.heaps is None:
            self.only = None
        else:
            del self.heaps[heap.kind, heap.issue, heap.place]

    def draw_loss(self, basis: Decimal, unit: Decimal) -> Decimal | None:
        """Take the share of the basis for losses that goes with a basis just drawn; all of it with the last piece."""
        held = self.loss_basis
        if held is None:
            return None
        heaps = self.each()
        whole = sum((heap.basis for heap in heaps), basis)
        share = held
        if heaps:
            share = part_of(held, basis, whole, unit) if whole else ZERO
        self.loss_basis = held - share
        return share


class Working:
    """All that the fold knows so far.

    Attributes:
        serial: the last serial known.
        unit: the smallest unit of the book's currency.
        lots: every lot that came, by name; a name once used is never free again.
        touched: the lots that changed since the last freeze.
    """

    __slots__ = ("_lots", "_rows", "_tables", "disposals", "lots", "prices", "serial", "touched", "unit")

    def __init__(self, currency: str) -> None:
        self.unit = unit_of(currency)
        self.serial = 0
        self.lots: dict[str, WorkLot] = {}
        self.disposals: list[Disposal] = []
        self.prices: list[PriceMark] = []
        self._rows: dict[str, dict[str, MappingProxyType[str, object]]] = {}
        self._tables: dict[str, MappingProxyType[str, MappingProxyType[str, object]]] = {}
        self._lots: dict[str, Lot] = {}
        self.touched: dict[str, None] = {}

    def lot(self, name: str) -> WorkLot:
        """The lot of a name; it counts as touched from here on.

        Raises:
            BookError: no such lot on that date; offers near names.
        """
        lot = self.lots.get(name)
        if lot is None:
            near = get_close_matches(name, self.lots, n=3, cutoff=0.5) or list(self.lots)[-3:]
            raise BookError(f"There is no lot {name!r} on that date." + (f" Try: {', '.join(near)}." if near else ""))
        self.touched[name] = None
        return lot

    def heap(self, ref: HeapRef, *, on_its_way: bool = False) -> tuple[WorkLot, WorkHeap]:
        """The heap that an entry names, with its lot.

        Raises:
            BookError: no such lot or heap on that date, or its lot is still awaited (unless `on_its_way` may be named).
        """
        lot = self.lot(ref.lot)
        if lot.awaited and not on_its_way:
            raise BookError(f"Lot {lot.name} is still on its way. Say first that it was received.")
        heap = lot.find(ref.kind, ref.issue, ref.place)
        if heap is None:
            held = "; ".join(heap_words(each).partition(", ")[2] for each in list(lot.each())[:5])
            asked = heap_words(ref).partition(", ")[2]
            raise BookError(f"Lot {lot.name} holds no {asked} on that date. It holds {held or 'nothing more'}.")
        return lot, heap

    def add(self, lot: WorkLot) -> None:
        """Take in a new lot.

        Raises:
            BookError: its name was used before; offers a free one.
        """
        if lot.name in self.lots:
            raise BookError(f"There is already a lot {lot.name!r}. Try: {self.free_name(lot.name)}.")
        self.lots[lot.name] = lot
        self.touched[lot.name] = None

    def free_name(self, name: str) -> str:
        """A lot name like this one that is not taken yet."""
        number = 2
        while (free := f"{name[:35]}-{number}") in self.lots:
            number += 1
        return free

    def row(self, table: str, key: str, body: dict[str, Any] | None) -> None:
        """Set down a row of one of the person's tables, or strike it."""
        rows = self._rows.setdefault(table, {})
        if body is None:
            rows.pop(key, None)
        else:
            rows[key] = MappingProxyType(
                body
            )  # a row that is set down again keeps its place: the first exit stays first
        self._tables.pop(table, None)

    def changed(self) -> dict[str, Lot]:
        """The lots that changed since this was last asked (or since the last freeze), never to change again."""
        lots = self.lots
        found = {name: _frozen(lots[name]) for name in self.touched}
        self.touched.clear()
        return found

    def freeze(self, on: date | None) -> Holdings:
        """The state as it is now, never to change."""
        self._lots |= self.changed()
        for table, rows in self._rows.items():
            if table not in self._tables:
                self._tables[table] = MappingProxyType(dict(rows))
        return Holdings(
            on=on,
            serial=self.serial,
            lots=MappingProxyType(self._lots.copy()),
            disposals=tuple(self.disposals),
            prices=tuple(self.prices),
            tables=MappingProxyType({table: rows for table, rows in sorted(self._tables.items()) if rows}),
        )


def _together(there: WorkHeap, more: Amount) -> Amount:
    held = there.amount
    count = None if held.count is None or more.count is None else held.count + more.count
    face = None if held.face is None or more.face is None else held.face + more.face
    gross_g = None if held.gross_g is None or more.gross_g is None else held.gross_g + more.gross_g
    if count is None and face is None and gross_g is None:
        raise BookError(
            f"{heap_words(there)} is already there, kept by another measure. Say pieces, face or grams for both, "
            "or put them in two places."
        )
    return Amount(count=count, face=face, gross_g=gross_g)


def _frozen(lot: WorkLot) -> Lot:
    only, known = lot.only, lot.origin.cost_known
    if only is not None:
        heaps: tuple[Heap, ...] = (_frozen_heap(only, known),)
    else:
        heaps = tuple([_frozen_heap(heap, known) for heap in lot.each()])
    frozen = Lot(
        name=lot.name,
        serial=lot.serial,
        origin=lot.origin,
        kind=lot.kind,
        ordered=lot.ordered,
        quote=lot.quote,
        cost=lot.cost,
        awaited=lot.awaited,
        received=lot.received,
        claim=lot.claim,
        heaps=heaps,
    )
    if lot.loss_cost is None:  # nearly all lots: only gifts have a basis of their own for losses
        return frozen
    return msgspec.structs.replace(frozen, loss_cost=lot.loss_cost, loss_basis=lot.loss_basis)


def _frozen_heap(heap: WorkHeap, cost_known: bool) -> Heap:  # noqa: FBT001 - called once for every heap
    amount = heap.amount
    return Heap(
        lot=heap.lot,
        kind=heap.kind,
        issue=heap.issue,
        place=heap.place,
        count=amount.count,
        face=amount.face,
        gross_g=amount.gross_g,
        basis=heap.basis,
        cost_known=cost_known,
    )
