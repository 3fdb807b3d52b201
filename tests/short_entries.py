"""Entries in short, for tests that read as sentences: `bought("L1", face="10", price="224")`."""

from datetime import date
from decimal import Decimal
from typing import Any

from ninefine.book.chain import Stored
from ninefine.book.entries import (
    Amount,
    Bought,
    BoughtLine,
    Credited,
    Entry,
    HeapRef,
    Moved,
    Received,
    ReceivedLine,
    Sold,
    SoldLine,
    Sorted,
    SortedLine,
    Weighed,
    WeighedLine,
)
from ninefine.book.fold import fold
from ninefine.book.holdings import Heap, Holdings, Lot
from strategies_book import record_all

DIME = "us-dime-90"
DAY = date(2026, 3, 2)


def dec(text: str | int | Decimal | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def amount(count: int | None = None, face: str | None = None, gross_g: str | None = None) -> Amount:
    return Amount(count=count, face=dec(face), gross_g=dec(gross_g))


def bought_line(lot: str, price: str, kind: str = DIME, issue: str = "", **measures: Any) -> BoughtLine:
    return BoughtLine(lot=lot, kind=kind, issue=issue, amount=amount(**measures), price=Decimal(price))


def bought(lot: str, price: str = "100", *, on: date = DAY, place: str = "", **more: Any) -> Bought:
    """A purchase of one lot."""
    costs = {name: Decimal(value) for name, value in more.pop("other_costs", {}).items()}
    arrived = more.pop("arrived", True)
    if not more.keys() & {"count", "face", "gross_g"}:
        more["count"] = 10
    return Bought(on=on, lines=(bought_line(lot, price, **more),), other_costs=costs, arrived=arrived, place=place)


def received(lot: str, *, on: date = DAY, place: str = "", claim: str = "0", **measures: Any) -> Received:
    line = ReceivedLine(lot=lot, amount=amount(**measures))
    return Received(on=on, lines=(line,), place=place, claim=Decimal(claim))


def credited(value: str, *lots: str, on: date = DAY) -> Credited:
    return Credited(on=on, lots=lots, amount=Decimal(value))


def ref(lot: str, kind: str = DIME, issue: str = "", place: str = "") -> HeapRef:
    return HeapRef(lot=lot, kind=kind, issue=issue, place=place)


def weighed(heap: HeapRef, grams: str, *, on: date = DAY) -> Weighed:
    return Weighed(on=on, lines=(WeighedLine(heap=heap, gross_g=Decimal(grams)),))


def row(issue: str, weight: str = "1", place: str | None = None, kind: str = DIME, **measures: Any) -> SortedLine:
    """A line of a sorting."""
    return SortedLine(kind=kind, issue=issue, amount=amount(**measures), weight=Decimal(weight), place=place)


def sorted_out(heap: HeapRef, *lines: SortedLine, taken: Amount | None = None, on: date = DAY) -> Sorted:
    return Sorted(on=on, heap=heap, taken=taken, lines=lines)


def moved(heap: HeapRef, to: str, *, on: date = DAY, **measures: Any) -> Moved:
    return Moved(on=on, heap=heap, amount=amount(**measures) if measures else None, to=to)


def sold(heap: HeapRef, proceeds: str = "0", *, on: date = DAY, fees: str = "0", **measures: Any) -> Sold:
    line = SoldLine(heap=heap, amount=amount(**measures) if measures else None, proceeds=Decimal(proceeds))
    return Sold(on=on, lines=(line,), fees=Decimal(fees))


def book(*entries: Entry) -> list[Stored]:
    return record_all(entries)


def held(*entries: Entry, currency: str = "USD") -> Holdings:
    """What the entries come to."""
    return fold(book(*entries), currency=currency)


def lot_of(holdings: Holdings, name: str = "L1") -> Lot:
    return holdings.lots[name]


def only_heap(holdings: Holdings, name: str = "L1") -> Heap:
    (heap,) = holdings.lots[name].heaps
    return heap
