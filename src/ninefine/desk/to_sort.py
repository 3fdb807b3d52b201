"""What waits to be told apart, the tallies under way, and what was sorted lately."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from ninefine.book.entries import Sorted
from ninefine.book.holdings import Heap
from ninefine.book.term import no_later_than
from ninefine.catalog.catalog import HEAPS
from ninefine.desk.amounts import say_amount
from ninefine.desk.heaps import heap_name, say_goods
from ninefine.desk.journal import JournalLine, entry_line
from ninefine.desk.kit import Kit
from ninefine.desk.sorting import board
from ninefine.desk.waiting import UNSORTED

#: How far back the journal is read for sortings.
_LOOK_BACK = 5000


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapToSort:
    """A held heap that may be told apart: `mixed` by denomination, else by date alone."""

    heap: Heap
    name: str
    goods: str
    amount: str
    acquired: date | None
    mixed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenTally:
    """A tally under way."""

    number: int
    heap: str
    title: str
    started_at: datetime
    pieces: int
    face_told: Decimal
    face_left: Decimal | None
    pieces_left: int | None


def heaps_to_sort(kit: Kit, *, first: int = 0, most: int = 50) -> tuple[HeapToSort, ...]:
    """Heaps that are held and not told apart by date: mixed ones first, then the latest bought."""
    return tuple(_worded(kit, heap) for heap in _unsorted(kit)[first : first + most])


def count_to_sort(kit: Kit) -> tuple[int, Decimal, int]:
    """How many heaps are mixed, the face of those whose face is known, and how many are told apart but for the date."""
    heaps = _unsorted(kit)
    mixed = [heap for heap in heaps if heap.kind in UNSORTED]
    return len(mixed), sum((heap.face or Decimal(0) for heap in mixed), Decimal(0)), len(heaps) - len(mixed)


def tallies_under_way(kit: Kit) -> tuple[OpenTally, ...]:
    """The tallies that were begun and neither booked nor put aside, the latest first."""
    found = []
    for about in reversed(kit.tallies.open_tallies()):
        now = board(kit, about.number, latest=0)
        found.append(
            OpenTally(
                number=now.number,
                heap=about.heap,
                title=now.title,
                started_at=now.started_at,
                pieces=now.tally.pieces,
                face_told=now.face_told,
                face_left=now.face_left,
                pieces_left=now.pieces_left,
            )
        )
    return tuple(found)


def sorted_lately(kit: Kit, *, most: int = 8) -> tuple[JournalLine, ...]:
    """The last sortings in the journal, newest first; those withdrawn or mended say so."""
    return kit.keep(("sorted lately", most), lambda: _sorted_lately(kit, most))


def _sorted_lately(kit: Kit, most: int) -> tuple[JournalLine, ...]:
    found: list[JournalLine] = []
    records = kit.journal.records()
    for stored in reversed(records[-_LOOK_BACK:]):
        if isinstance(stored.entry, Sorted):
            found.append(entry_line(kit, stored.serial))
        if len(found) == most:
            break
    return tuple(found)


def _unsorted(kit: Kit) -> tuple[Heap, ...]:
    return kit.keep("heaps to sort", lambda: _find_unsorted(kit))


def _find_unsorted(kit: Kit) -> tuple[Heap, ...]:
    held, catalog = kit.holdings(), kit.catalog()
    heaps = [
        heap
        for heap in held.heaps
        if not heap.issue and (heap.kind in HEAPS or heap.kind in catalog.issues_of) and not held.lots[heap.lot].awaited
    ]
    return tuple(
        sorted(
            heaps,
            key=lambda heap: (
                heap.kind not in UNSORTED,
                -no_later_than(held.lots[heap.lot]).toordinal(),
                heap_name(heap),
            ),
        )
    )


def _worded(kit: Kit, heap: Heap) -> HeapToSort:
    return HeapToSort(
        heap=heap,
        name=heap_name(heap),
        goods=say_goods(heap.kind, "", kit.catalog()),
        amount=say_amount(heap.amount),
        acquired=kit.holdings().lots[heap.lot].acquired,
        mixed=heap.kind in UNSORTED,
    )
