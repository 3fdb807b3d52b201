"""Journals of invented households, valid by construction, for the laws of the book."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any, get_args

from hypothesis import strategies as st

from ninefine.book.chain import Stored, store
from ninefine.book.entries import (
    Amount,
    Bought,
    BoughtLine,
    Credited,
    Entry,
    Fact,
    Given,
    GivenLine,
    Inherited,
    InheritedLine,
    Joined,
    Listed,
    Lost,
    LostLine,
    Mended,
    Moved,
    Noted,
    Opened,
    OpenedLine,
    Priced,
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
    Withdrawn,
)
from ninefine.book.holdings import Heap, Holdings, Lot
from ninefine.book.ledger import Ledger
from ninefine.book.tested import OutcomeWord, VerdictWord
from ninefine.errors import BookError

SAID_AT = datetime(2026, 6, 12, 14, 3, 11, tzinfo=UTC)
FIRST_DAY = date(2024, 1, 1)
#: Kinds and the face of one piece; none where a piece has no face.
FACES = {
    "us-nickel-35": Decimal("0.05"),
    "us-dime-90": Decimal("0.10"),
    "us-half-90": Decimal("0.50"),
    "round-1oz": None,
}
PLACES = ("", "A1", "B2")
ISSUES = ("", "1964", "1921-D")

days = st.integers(0, 900).map(lambda number: FIRST_DAY + timedelta(days=number))
money = st.decimals(min_value=0, max_value=5000, places=2)
fine_money = st.decimals(min_value=0, max_value=5000, places=4)
places = st.sampled_from(PLACES)
counts = st.integers(1, 2000)
texts = st.text(st.characters(codec="utf-8"), max_size=12)


def record_all(entries: Sequence[Entry]) -> list[Stored]:
    """Entries as records of one book."""
    records: list[Stored] = []
    for entry in entries:
        records.append(store(entry, said_at=SAID_AT, after=records[-1] if records else None))
    return records


@st.composite
def amounts(draw: st.DrawFn, kind: str, known: str | None = None) -> Amount:
    """Some of a kind, known by count, by face, by both or by weight alone."""
    face = FACES[kind]
    known = known or draw(st.sampled_from(["count", "both", "face", "grams"]))
    count = draw(counts)
    if known == "grams":
        return Amount(gross_g=draw(st.decimals(min_value=1, max_value=9000, places=1)))
    if face is None:
        return Amount(count=count)
    return Amount(count=count if known != "face" else None, face=face * count if known != "count" else None)


@st.composite
def purchases(draw: st.DrawFn, on: date, number: int) -> Bought:
    """A purchase of one to three lots, at times with other costs or still on its way."""
    kinds = draw(st.lists(st.sampled_from(sorted(FACES)), min_size=1, max_size=3))
    lines = tuple(
        BoughtLine(
            lot=f"L{number}.{index}",
            kind=kind,
            issue=draw(st.sampled_from(ISSUES)),
            amount=draw(amounts(kind)),
            price=draw(fine_money),
        )
        for index, kind in enumerate(kinds)
    )
    costs = draw(st.dictionaries(st.sampled_from(["carriage", "tax", "surcharge"]), fine_money, max_size=2))
    return Bought(on=on, lines=lines, other_costs=costs, arrived=draw(st.integers(0, 3)) > 0, place=draw(places))


@st.composite
def parts(draw: st.DrawFn, heap: Heap) -> Amount | None:
    """Part of a heap in its own measure, or all of it."""
    if draw(st.booleans()):
        return None
    if heap.count is not None:
        return Amount(count=draw(st.integers(1, heap.count)))
    if heap.face is not None:
        step = FACES[heap.kind] or Decimal(1)
        return Amount(face=step * draw(st.integers(1, max(1, int(heap.face / step)))))
    assert heap.gross_g is not None
    return Amount(gross_g=draw(st.decimals(min_value="0.1", max_value=heap.gross_g, places=1)))


@st.composite
def sortings(draw: st.DrawFn, on: date, heap: Heap, *, across: bool = False) -> Sorted:
    """A sorting of a whole heap into up to four, of other kinds too if `across`; pieces and face are conserved."""
    kinds = [heap.kind]
    if across:
        kinds = sorted(kind for kind, face in FACES.items() if face is not None or heap.face is None)
    cuts = draw(st.lists(st.integers(1, 9), min_size=1, max_size=4))
    lines = []
    count_left, face_left = heap.count, heap.face
    for index, cut in enumerate(cuts):
        last = index == len(cuts) - 1
        count = face = None
        if heap.count is not None and count_left is not None:
            count = count_left if last else min(count_left, heap.count * cut // 40)
            count_left -= count
            face = None if heap.face is None else heap.face / heap.count * count
        elif heap.face is not None and face_left is not None:
            step = FACES[heap.kind] or Decimal(1)
            face = face_left if last else min(face_left, step * int(heap.face / step * cut / 40))
            face_left -= face
        if count == 0 or (count is None and face == 0):
            continue
        lines.append(
            SortedLine(
                kind=draw(st.sampled_from(kinds)),
                issue=draw(st.sampled_from(ISSUES)),
                amount=Amount(count=count, face=face, gross_g=None if count or face else Decimal(cut)),
                weight=draw(st.decimals(min_value=0, max_value=100, places=3)),
                place=draw(st.sampled_from([None, *PLACES])),
            )
        )
    return Sorted(on=on, heap=heap.ref, lines=tuple(lines))


def _held(holdings: Holdings) -> list[Heap]:
    return [heap for lot in holdings.lots.values() if not lot.awaited for heap in lot.heaps]


@st.composite
def facts(draw: st.DrawFn, holdings: Holdings, on: date, number: int, *, across: bool = False) -> Fact:
    """A fact that the holdings most likely allow. `across`: heaps are sorted into other kinds, nothing is used."""
    heaps = _held(holdings)
    lots = [lot for lot in holdings.lots.values() if lot.heaps]
    makers: list[st.SearchStrategy[Fact]] = [purchases(on, number), arrivals(on, number, used=not across), _asides(on)]
    if lots:
        makers += [_countings(on, lots), _credits(on, lots), _joinings(on, lots), _joinings(on, lots)]
        makers += [] if across else [_uses(on, lots)]
    if heaps:
        makers += [_weighings(on, heaps), _sortings(on, heaps, across=across), _moves(on, heaps), _sales(on, heaps)] * 2
        makers += [_swaps(on, heaps, number), _losses(on, heaps), _meltings(on, heaps), _splits(on, heaps, number)]
        makers += [_tests(on, heaps)]
        makers += [_sortings(on, heaps, across=True), _sales(on, heaps)] * (6 if across else 0)
    return draw(st.one_of(makers))


@st.composite
def arrivals(draw: st.DrawFn, on: date, number: int, *, used: bool = True) -> Fact:
    """A gift, an inheritance or an opening balance of one or two lots; of some of them little is known."""
    before = on - timedelta(days=draw(st.integers(0, 900)))
    known, use, unknown = st.none() | fine_money, st.booleans() if used else st.just(False), st.none() | st.just(before)
    goods: list[dict[str, Any]] = [
        {"lot": f"G{number}.{index}", "kind": kind, "amount": draw(amounts(kind)), "own_use": draw(use)}
        for index, kind in enumerate(draw(st.lists(st.sampled_from(sorted(FACES)), min_size=1, max_size=2)))
    ]
    which = draw(st.sampled_from(["given", "inherited", "opened"]))
    if which == "given":
        lines = [GivenLine(**one, basis=draw(known), value=draw(known), acquired=draw(unknown)) for one in goods]
        return Given(on=on, giver=draw(texts), lines=tuple(lines), place=draw(places))
    if which == "inherited":
        estate = tuple(InheritedLine(**one, value=draw(known)) for one in goods)
        return Inherited(on=on, died=before, lines=estate, place=draw(places))
    how = st.sampled_from(["", "bought", "given", "inherited"])
    stood = tuple(
        OpenedLine(**one, cost=draw(known), acquired=draw(unknown), how=draw(how), place=draw(places)) for one in goods
    )
    return Opened(on=on, lines=stood)


@st.composite
def _countings(draw: st.DrawFn, on: date, lots: list[Lot]) -> Received:
    counted = draw(st.lists(st.sampled_from(lots), min_size=1, max_size=2, unique_by=lambda lot: lot.name))
    lines = tuple(ReceivedLine(lot=lot.name, amount=draw(amounts(lot.kind))) for lot in counted)
    return Received(on=on, lines=lines, place=draw(places), claim=draw(money))


@st.composite
def _credits(draw: st.DrawFn, on: date, lots: list[Lot]) -> Credited:
    named = draw(st.lists(st.sampled_from(lots), min_size=1, max_size=2, unique_by=lambda lot: lot.name))
    basis = max(sum((heap.basis for lot in named for heap in lot.heaps), Decimal(0)), Decimal("0.01"))
    amount = draw(st.decimals(min_value="0.01", max_value=basis, places=2))
    return Credited(on=on, lots=tuple(lot.name for lot in named), amount=amount)


@st.composite
def _weighings(draw: st.DrawFn, on: date, heaps: list[Heap]) -> Weighed:
    grams = draw(st.decimals(min_value="0.1", max_value=9000, places=1))
    return Weighed(on=on, lines=(WeighedLine(heap=draw(st.sampled_from(heaps)).ref, gross_g=grams),))


@st.composite
def _sortings(draw: st.DrawFn, on: date, heaps: list[Heap], *, across: bool) -> Sorted:
    return draw(sortings(on, draw(st.sampled_from(heaps)), across=across))


@st.composite
def _moves(draw: st.DrawFn, on: date, heaps: list[Heap]) -> Moved:
    heap = draw(st.sampled_from(heaps))
    return Moved(on=on, heap=heap.ref, amount=draw(parts(heap)), to=draw(places))


@st.composite
def _sales(draw: st.DrawFn, on: date, heaps: list[Heap]) -> Sold:
    sold = draw(st.lists(st.sampled_from(heaps), min_size=1, max_size=3, unique_by=lambda one: one.ref))
    return Sold(
        on=on,
        lines=tuple(SoldLine(heap=one.ref, amount=draw(parts(one)), proceeds=draw(fine_money)) for one in sold),
        fees=draw(fine_money),
    )


def _some(heaps: list[Heap]) -> st.SearchStrategy[list[Heap]]:
    return st.lists(st.sampled_from(heaps), min_size=1, max_size=2, unique_by=lambda one: one.ref)


@st.composite
def _swaps(draw: st.DrawFn, on: date, heaps: list[Heap], number: int) -> Swapped:
    out = tuple(SwappedOut(heap=one.ref, amount=draw(parts(one)), value=draw(fine_money)) for one in draw(_some(heaps)))
    kind = draw(st.sampled_from(sorted(FACES)))
    value = draw(fine_money)
    line = SwappedIn(lot=f"S{number}", kind=kind, amount=draw(amounts(kind)), value=value)
    cash = sum((one.value for one in out), Decimal(0)) - value
    costs = draw(st.dictionaries(st.just("carriage"), fine_money, max_size=1))
    return Swapped(on=on, out=out, into=(line,), cash=cash, other_costs=costs, place=draw(places))


@st.composite
def _losses(draw: st.DrawFn, on: date, heaps: list[Heap]) -> Lost:
    why = draw(st.sampled_from(["lost", "stolen", "destroyed", "given away"]))
    paid = st.just(Decimal(0)) if why == "given away" else fine_money
    lines = tuple(
        LostLine(heap=one.ref, amount=draw(parts(one)), value=draw(st.none() | fine_money), paid=draw(paid))
        for one in draw(_some(heaps))
    )
    return Lost(on=on, why=why, lines=lines)


@st.composite
def _meltings(draw: st.DrawFn, on: date, heaps: list[Heap]) -> Refined:
    weights = st.decimals(min_value="0.001", max_value=100, places=3)
    lines = tuple(
        RefinedLine(heap=one.ref, amount=draw(parts(one)), weight=draw(weights)) for one in draw(_some(heaps))
    )
    fees = draw(st.dictionaries(st.sampled_from(["treatment", "assay", "freight"]), fine_money, max_size=2))
    return Refined(on=on, lines=lines, proceeds=draw(fine_money), fees=fees)


@st.composite
def _splits(draw: st.DrawFn, on: date, heaps: list[Heap], number: int) -> Split:
    heap = draw(st.sampled_from(heaps))
    return Split(on=on, heap=heap.ref, amount=draw(parts(heap)), lot=f"P{number}")


@st.composite
def _joinings(draw: st.DrawFn, on: date, lots: list[Lot]) -> Fact:
    """Lots that may be one, if there are any: those that were split, or came alike on one day."""
    alike: dict[object, list[str]] = {}
    for lot in lots:
        if not lot.awaited:
            alike.setdefault((lot.origin, lot.loss_cost is None), []).append(lot.name)
    groups = [names for names in alike.values() if len(names) > 1]
    if not groups:
        return Noted(on=on, text="nothing to join")
    return Joined(on=on, lots=tuple(draw(st.permutations(draw(st.sampled_from(groups))))[:3]))


@st.composite
def _uses(draw: st.DrawFn, on: date, lots: list[Lot]) -> Used:
    lot = draw(st.sampled_from(lots))
    return Used(on=on, lots=(lot.name,), own=not lot.own_use)


@st.composite
def _tests(draw: st.DrawFn, on: date, heaps: list[Heap]) -> Tested:
    heap = draw(st.sampled_from(heaps))
    outcome: OutcomeWord = draw(st.sampled_from(get_args(OutcomeWord)))
    read = st.builds(TestedFigure, name=st.just("weight"), value=fine_money, uncertainty=st.none() | fine_money)
    line = TestedLine(test="weight", ground="weight", outcome=outcome, says=draw(texts), figures=(draw(read),))
    verdict: VerdictWord = "set aside" if outcome == "failed" else "unsettled"
    return Tested(on=on, heap=heap.ref, piece=draw(texts), lines=(line,), verdict=verdict)


@st.composite
def _asides(draw: st.DrawFn, on: date) -> Fact:
    """A price, a row of a table or a note."""
    return draw(
        st.one_of(
            st.builds(Priced, on=st.just(on), per_ozt=st.decimals("0.01", "99", places=3), whose=texts),
            st.builds(
                Listed,
                on=st.just(on),
                table=st.sampled_from(["exit", "offer"]),
                key=st.sampled_from(["a", "b"]),
                body=st.none() | st.dictionaries(texts, st.integers(0, 9) | texts | st.booleans(), max_size=3),
            ),
            st.builds(Noted, on=st.just(on), text=texts),
        )
    )


@st.composite
def journals(draw: st.DrawFn, *, longest: int = 14, corrections: bool = True, across: bool = False) -> list[Stored]:
    """A book that ninefine has accepted entry by entry: out of order at times, with mends and withdrawals.

    If `across`, heaps are sorted into other kinds too, and nothing serves the household itself.
    """
    ledger = Ledger()
    on = FIRST_DAY
    for number in range(draw(st.integers(1, longest))):
        on = draw(days) if draw(st.integers(0, 5)) == 0 else on + timedelta(days=draw(st.integers(0, 40)))
        fact = draw(facts(ledger.holdings(), on, number, across=across))
        entry: Entry = fact
        if corrections and ledger.serial and draw(st.integers(0, 4)) == 0:
            serial = draw(st.integers(1, ledger.serial))
            mend = Mended(on=on, serial=serial, instead=fact)
            entry = mend if draw(st.booleans()) else Withdrawn(on=on, serial=serial)
        try:
            ledger.add(store(entry, said_at=SAID_AT, after=ledger.last))
        except BookError:
            continue
    return list(ledger.records)
