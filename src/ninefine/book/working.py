"""The fold's working state: lots and heaps that change while entries are counted, frozen into `Holdings` when asked.

Freezing is shared: a lot that no entry touched since the last freeze is not made again.
"""

from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any

import msgspec

from ninefine.book.entries import Amount, HeapRef
from ninefine.book.holdings import Disposal, Heap, Holdings, Lot, PriceMark
from ninefine.book.share import unit_of
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
    """A lot that may still change. `changed` is true once it was sorted, split or sold from."""

    name: str
    serial: int
    acquired: date
    kind: str
    seller: str
    ordered: Amount
    quote: str
    cost: Decimal
    awaited: bool
    heaps: dict[Key, WorkHeap]
    received: date | None = None
    claim: Decimal = Decimal(0)
    changed: bool = False


class Working:
    """All that the fold knows so far.

    Attributes:
        serial: the last serial known.
        currency, unit: the book's currency and its smallest unit.
    """

    __slots__ = ("_lots", "_rows", "_tables", "_touched", "currency", "disposals", "lots", "prices", "serial", "unit")

    def __init__(self, currency: str) -> None:
        self.currency = currency
        self.unit = unit_of(currency)
        self.serial = 0
        self.lots: dict[str, WorkLot] = {}
        self.disposals: list[Disposal] = []
        self.prices: list[PriceMark] = []
        self._rows: dict[str, dict[str, MappingProxyType[str, object]]] = {}
        self._tables: dict[str, MappingProxyType[str, MappingProxyType[str, object]]] = {}
        self._lots: dict[str, Lot] = {}
        self._touched: dict[str, None] = {}

    def lot(self, name: str) -> WorkLot:
        """The lot of a name; it counts as touched from here on.

        Raises:
            BookError: no such lot on that date; offers near names.
        """
        lot = self.lots.get(name)
        if lot is None:
            near = get_close_matches(name, self.lots, n=3, cutoff=0.5) or list(self.lots)[-3:]
            raise BookError(f"There is no lot {name!r} on that date." + (f" Try: {', '.join(near)}." if near else ""))
        self._touched[name] = None
        return lot

    def add_lot(self, lot: WorkLot) -> None:
        """Take in a new lot; its name must be free (`free_name` says one)."""
        self.lots[lot.name] = lot
        self._touched[lot.name] = None

    def heap(self, ref: HeapRef) -> tuple[WorkLot, WorkHeap]:
        """The heap that an entry names, with its lot.

        Raises:
            BookError: no such lot or heap on that date, or its lot is still awaited.
        """
        lot = self.lot(ref.lot)
        if lot.awaited:
            raise BookError(f"Lot {lot.name} is still on its way. Say first that it was received.")
        heap = lot.heaps.get((ref.kind, ref.issue, ref.place))
        if heap is None:
            held = "; ".join(heap_words(each).partition(", ")[2] for each in list(lot.heaps.values())[:5])
            asked = heap_words(ref).partition(", ")[2]
            raise BookError(f"Lot {lot.name} holds no {asked} on that date. It holds {held or 'nothing more'}.")
        return lot, heap

    def free_name(self, name: str) -> str:
        """A lot name like this one that is not taken yet."""
        number = 2
        while (free := f"{name[:35]}-{number}") in self.lots:
            number += 1
        return free

    def row(self, table: str, key: str, body: dict[str, Any] | None) -> None:
        """Set down a row of one of the person's tables, or strike it."""
        rows = self._rows.setdefault(table, {})
        rows.pop(key, None)
        if body is not None:
            rows[key] = MappingProxyType(body)
        self._tables.pop(table, None)

    def freeze(self, on: date | None) -> Holdings:
        """The state as it is now, never to change."""
        for name in self._touched:
            self._lots[name] = _frozen(self.lots[name])
        self._touched.clear()
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


def put(lot: WorkLot, key: Key, amount: Amount, basis: Decimal) -> None:
    """Lay pieces down as a heap of a lot, or onto the heap that is already there.

    Raises:
        BookError: the two share no measure, so that together they could not be measured.
    """
    kind, issue, place = key
    there = lot.heaps.get(key)
    if there is None:
        lot.heaps[key] = WorkHeap(lot.name, kind, issue, place, amount, basis)
        return
    if not any(
        getattr(amount, name) is not None and getattr(there.amount, name) is not None
        for name in ("count", "face", "gross_g")
    ):
        raise BookError(
            f"{heap_words(there)} is already there, kept by another measure: say pieces, face or grams for both, "
            "or put them in two places."
        )
    there.amount = _together(there.amount, amount)
    there.basis += basis


def draw(lot: WorkLot, heap: WorkHeap, left: Amount | None, basis: Decimal) -> None:
    """Leave in a heap what stays, or take it out of the lot when nothing does."""
    if left is None:
        del lot.heaps[heap.kind, heap.issue, heap.place]
    else:
        heap.amount = left
        heap.basis -= basis


def _together(one: Amount, other: Amount) -> Amount:
    return Amount(
        count=None if one.count is None or other.count is None else one.count + other.count,
        face=None if one.face is None or other.face is None else one.face + other.face,
        gross_g=None if one.gross_g is None or other.gross_g is None else one.gross_g + other.gross_g,
    )


def _frozen(lot: WorkLot) -> Lot:
    heaps = []
    for heap in lot.heaps.values():
        amount = heap.amount
        heaps.append(
            Heap(
                lot=heap.lot,
                kind=heap.kind,
                issue=heap.issue,
                place=heap.place,
                count=amount.count,
                face=amount.face,
                gross_g=amount.gross_g,
                basis=heap.basis,
            )
        )
    return Lot(
        name=lot.name,
        serial=lot.serial,
        acquired=lot.acquired,
        kind=lot.kind,
        seller=lot.seller,
        ordered=lot.ordered,
        quote=lot.quote,
        cost=lot.cost,
        awaited=lot.awaited,
        received=lot.received,
        claim=lot.claim,
        heaps=tuple(heaps),
    )
