"""What the book holds on a date: lots, their heaps, goods on their way, disposals. Frozen results of a fold."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import msgspec

from ninefine.book.entries import Amount, HeapRef


class Heap(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """Part of a lot: pieces of one kind at one place, told apart into an issue or not.

    `count`, `face` and `gross_g` hold what is known; `gross_g` is always a scale's (or a stamp's) word, never a
    specification. `basis` is the heap's share of the lot's cost, exact to the cent.
    """

    lot: str
    kind: str
    issue: str
    place: str
    count: int | None
    face: Decimal | None
    gross_g: Decimal | None
    basis: Decimal

    @property
    def ref(self) -> HeapRef:
        """The name by which entries speak of this heap."""
        return HeapRef(lot=self.lot, kind=self.kind, issue=self.issue, place=self.place)

    @property
    def amount(self) -> Amount:
        """How much the heap holds."""
        return Amount(count=self.count, face=self.face, gross_g=self.gross_g)


class Lot(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """Pieces that came together: one date, one cost. It keeps its identity when sorted, moved and sold in parts.

    Attributes:
        name: the lot's name in the book.
        serial: the entry that made it.
        acquired: the date from which it is owned (bought on).
        ordered: what was ordered, as bought.
        cost: what it cost in all, less credits; the basis of what was sold and what is held sum to it.
        awaited: bought and not yet received.
        received: the date it was received, if it was awaited or counted.
        claim: asked of the seller and not yet credited.
        heaps: what is still held of it.
    """

    name: str
    serial: int
    acquired: date
    kind: str
    seller: str
    ordered: Amount
    quote: str
    cost: Decimal
    awaited: bool
    received: date | None
    claim: Decimal
    heaps: tuple[Heap, ...]


class Disposal(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """Pieces of one heap that left the book, with what they cost and brought.

    `proceeds` is before fees; `fees` is the line's share of them.
    """

    serial: int
    on: date
    lot: str
    kind: str
    issue: str
    acquired: date
    amount: Amount
    proceeds: Decimal
    fees: Decimal
    basis: Decimal
    rule: str
    exit: str
    buyer: str

    @property
    def gain(self) -> Decimal:
        """Proceeds less fees less basis; may be negative."""
        return self.proceeds - self.fees - self.basis


class PriceMark(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """A price that the person set down, as of the fold's date."""

    serial: int
    on: date
    at: str
    metal: str
    per_ozt: Decimal
    side: str
    whose: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Holdings:
    """The book on a date: nothing here can change.

    `tables` holds the rows of the person's own tables (`{"exit": {"the shop": {...}}}`) as last set down.
    """

    on: date | None
    serial: int
    lots: Mapping[str, Lot]
    disposals: tuple[Disposal, ...]
    prices: tuple[PriceMark, ...]
    tables: Mapping[str, Mapping[str, Mapping[str, object]]]

    @property
    def heaps(self) -> tuple[Heap, ...]:
        """Every heap held, lot by lot in the order in which lots came."""
        return tuple(heap for lot in self.lots.values() for heap in lot.heaps)
