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
    Given,
    GivenLine,
    HeapRef,
    Inherited,
    InheritedLine,
    Joined,
    Lost,
    LostLine,
    Moved,
    Opened,
    OpenedLine,
    Received,
    ReceivedLine,
    Refined,
    RefinedLine,
    Sold,
    SoldLine,
    Sorted,
    SortedLine,
    Split,
    Swapped,
    SwappedIn,
    SwappedOut,
    Tested,
    TestedFigure,
    TestedLine,
    Used,
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


def given(
    lot: str, basis: str | None, value: str | None = None, *, acquired: date | None = None, on: date = DAY, **more: Any
) -> Given:
    """A gift of one lot."""
    own_use = more.pop("own_use", False)
    line = GivenLine(
        lot=lot,
        kind=more.pop("kind", DIME),
        amount=amount(**(more or {"count": 10})),
        basis=dec(basis),
        value=dec(value),
        acquired=acquired,
        own_use=own_use,
    )
    return Given(on=on, lines=(line,), giver="Aunt Ida")


def inherited(lot: str, value: str | None, *, died: date, on: date = DAY, **more: Any) -> Inherited:
    """An inheritance of one lot."""
    own_use = more.pop("own_use", False)
    line = InheritedLine(
        lot=lot,
        kind=more.pop("kind", DIME),
        amount=amount(**(more or {"count": 10})),
        value=dec(value),
        own_use=own_use,
    )
    return Inherited(on=on, whose="Grandfather", died=died, lines=(line,))


def opened(lot: str, cost: str | None, *, acquired: date | None = None, on: date = DAY, **more: Any) -> Opened:
    """An opening balance of one lot."""
    how, own_use = more.pop("how", ""), more.pop("own_use", False)
    kind = more.pop("kind", DIME)
    held = amount(**(more or {"count": 10}))
    line = OpenedLine(lot=lot, kind=kind, amount=held, cost=dec(cost), acquired=acquired, how=how, own_use=own_use)
    return Opened(on=on, lines=(line,))


def swapped(
    out: HeapRef, value: str, lot: str, *, cash: str = "0", on: date = DAY, costs: str = "0", **measures: Any
) -> Swapped:
    """A swap of one heap, whole, for one lot."""
    came = Decimal(value) - Decimal(cash)
    kind = measures.pop("kind", "round-1oz")
    line = SwappedIn(lot=lot, kind=kind, amount=amount(**(measures or {"count": 5})), value=came)
    others = {"carriage": Decimal(costs)} if Decimal(costs) else {}
    out_line = SwappedOut(heap=out, value=Decimal(value))
    return Swapped(on=on, out=(out_line,), into=(line,), cash=Decimal(cash), other_costs=others, whom="the club")


def lost(heap: HeapRef, why: str = "lost", *, paid: str = "0", on: date = DAY, **measures: Any) -> Lost:
    line = LostLine(heap=heap, amount=amount(**measures) if measures else None, paid=Decimal(paid))
    return Lost(on=on, why=why, lines=(line,))


def refined(*heaps: tuple[HeapRef, str], proceeds: str, fees: str = "0", on: date = DAY) -> Refined:
    """A melt of whole heaps, each with its weight in the proceeds."""
    lines = tuple(RefinedLine(heap=heap, weight=Decimal(weight)) for heap, weight in heaps)
    taken = {"treatment": Decimal(fees)} if Decimal(fees) else {}
    return Refined(on=on, refiner="Brook Refining", lines=lines, proceeds=Decimal(proceeds), fees=taken)


def split(heap: HeapRef, lot: str, *, on: date = DAY, **measures: Any) -> Split:
    return Split(on=on, heap=heap, amount=amount(**measures) if measures else None, lot=lot)


def joined(*lots: str, on: date = DAY) -> Joined:
    return Joined(on=on, lots=lots)


def used(*lots: str, own: bool = True, on: date = DAY) -> Used:
    return Used(on=on, lots=lots, own=own)


def was_tested(
    lot: str, outcome: Any = "passed", verdict: Any = "nothing against", *, on: date = DAY, **more: Any
) -> Tested:
    """A weighing of a piece of one heap, held against its kind."""
    weight = TestedFigure(name="weight", value=Decimal("2.47"), uncertainty=Decimal("0.01"), unit="g", typed="2.47 g")
    line = TestedLine(test="weight", ground="weight", outcome=outcome, says="It weighs 2.47 g.", figures=(weight,))
    return Tested(on=on, heap=more.pop("heap", None) or ref(lot), lines=(line,), verdict=verdict, **more)


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
