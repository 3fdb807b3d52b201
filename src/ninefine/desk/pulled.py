"""Where sortings put pieces, and where those lie since: read off the journal, so that no second record can disagree."""

from ninefine.book.entries import HeapRef, Moved, Sorted
from ninefine.book.standing import standing
from ninefine.desk.kit import Kit

#: Lot, kind, issue and place.
At = tuple[str, str, str, str]


def pulls(kit: Kit) -> dict[At, tuple[int, str]]:
    """What sortings put at a place of its own -> the entry that did, and the place where it lies since."""
    return kit.keep("where sortings put things", lambda: _pulls(kit))


def at_of(ref: HeapRef) -> At:
    """A heap's reference as a key."""
    return ref.lot, ref.kind, ref.issue, ref.place


def _pulls(kit: Kit) -> dict[At, tuple[int, str]]:
    put: dict[At, tuple[int, str]] = {}
    now: dict[At, At] = {}
    for _, serial, fact in standing(kit.journal.records()):
        if isinstance(fact, Sorted):
            for line in fact.lines:
                if line.place is not None:
                    at = (fact.heap.lot, line.kind, line.issue, line.place)
                    put[at] = (serial, line.place)
                    now[at] = at
        elif isinstance(fact, Moved) and fact.amount is None and at_of(fact.heap) in now:
            first = now.pop(at_of(fact.heap))
            put[first] = (put[first][0], fact.to)
            now[(*first[:3], fact.to)] = first
    return put
