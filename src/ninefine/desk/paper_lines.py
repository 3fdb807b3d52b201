"""What papers are made of: lines of what is held with their values, what is kept of each lot, the day's facts."""

from collections.abc import Callable
from datetime import date

from ninefine.book.came import Given, Inherited, Opened
from ninefine.book.entries import Bought, Noted
from ninefine.book.holdings import Heap
from ninefine.book.standing import standing
from ninefine.catalog.kinds import Issue
from ninefine.desk.heaps import heap_name
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.paper_tables import asks, kept_apart
from ninefine.desk.tables import exit_named, exits
from ninefine.errors import NotFoundError
from ninefine.market.exits import Exit
from ninefine.papers.apart import why_issue_apart, why_kind_apart
from ninefine.papers.inventory import About, LotPapers
from ninefine.papers.valued import Mark, Prices, Valued, valued

#: A remark that holds this word is quoted on the inventory.
SERIAL = "serial"


def about(kit: Kit, on: date | None = None) -> About:
    """Whose book, which day, and the prices of the metals held then."""
    stamps = summary(kit, on=on).stamps
    return About(
        book=kit.journal.name,
        on=on or kit.today(),
        currency=kit.journal.currency,
        stamps=tuple(stamps[metal] for metal in sorted(stamps, key=lambda code: code != "XAG")),
    )


def held_valued(kit: Kit, *, on: date | None = None, exit_name: str = "") -> Valued:
    """Every line of what lies here on a day, with its three values.

    Raises:
        NotFoundError: no such exit.
    """
    held = kit.holdings(on)
    prices = Prices(
        spots=summary(kit, on=on).spots,
        asks=asks(kit),
        exits=_exits_from(kit, on, exit_name),
        currency=kit.journal.currency,
    )
    heaps = (heap for lot in held.lots.values() if not lot.awaited for heap in lot.heaps)
    return valued(heaps, kind_of=kit.catalog().kind, mark_of=mark_of(kit), prices=prices)


def _exits_from(kit: Kit, on: date | None, exit_name: str) -> tuple[Exit, ...]:
    """The ways out, the one that was asked for first."""
    known = exits(kit, on)
    if not exit_name:
        return known
    first = exit_named(kit, exit_name)
    return (first, *(way for way in known if way.name != first.name))


def awaited(kit: Kit, on: date | None = None) -> int:
    """How many lots are paid for and on their way."""
    return sum(1 for lot in kit.holdings(on).lots.values() if lot.awaited)


def mark_of(kit: Kit) -> Callable[[Heap], Mark]:
    """How heaps are told apart on paper: by the person's own word, by a rare date, by their kind."""
    said, catalog = kept_apart(kit), kit.catalog()
    issues: dict[tuple[str, str], Issue | None] = {}

    def issue_of(heap: Heap) -> Issue | None:
        key = heap.kind, heap.issue
        if key not in issues:
            try:
                issues[key] = catalog.issue(*key) if heap.issue else None
            except NotFoundError:  # the book keeps any issue; the catalog may not know it
                issues[key] = None
        return issues[key]

    def mark(heap: Heap) -> Mark:
        for name in (heap_name(heap), heap_name(heap).partition("@")[0], heap.lot):
            if name in said:
                return Mark(issue=heap.issue, why=said[name].why)
        why = why_issue_apart(issue_of(heap))
        if why:
            return Mark(issue=heap.issue, why=why)
        if heap.kind in said:
            return Mark(why=said[heap.kind].why)
        kind = kit.kind_or_none(heap.kind)
        return Mark(why="" if kind is None else why_kind_apart(kind))

    return mark


def lot_papers(kit: Kit) -> dict[str, LotPapers]:
    """Photos, receipts and remarks that speak of serials, by lot."""
    return kit.keep("lot papers", lambda: _lot_papers(kit))


def _lot_papers(kit: Kit) -> dict[str, LotPapers]:
    lots_of: dict[int, tuple[str, ...]] = {}
    receipts: dict[str, tuple[str, ...]] = {}
    notes: list[Noted] = []
    for _, serial, fact in standing(kit.journal.records()):
        if isinstance(fact, Bought | Given | Inherited | Opened):
            lots_of[serial] = tuple(line.lot for line in fact.lines)
            if fact.paper:
                receipts |= {line.lot: (fact.paper,) for line in fact.lines}
        elif isinstance(fact, Noted):
            notes.append(fact)
    photos: dict[str, int] = {}
    serials: dict[str, tuple[str, ...]] = {}
    for note in notes:
        lots = dict.fromkeys((*note.lots, *lots_of.get(note.about or 0, ())))
        pictures = sum(1 for file in note.attachments if file.media.startswith("image/"))
        for lot in lots:
            photos[lot] = photos.get(lot, 0) + pictures
            if SERIAL in note.text.lower():
                serials[lot] = (*serials.get(lot, ()), note.text)
    known = dict.fromkeys((*receipts, *photos))
    return {
        lot: LotPapers(photos=photos.get(lot, 0), receipts=receipts.get(lot, ()), serials=serials.get(lot, ()))
        for lot in known
    }
