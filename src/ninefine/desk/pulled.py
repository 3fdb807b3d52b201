"""Where sortings put pieces, and where those lie since: read off the journal, so that no second record can disagree."""

from collections.abc import Collection

from ninefine.book.entries import Fact, HeapRef, Joined, Moved, Sorted, Split
from ninefine.book.standing import standing
from ninefine.desk.kit import Kit

#: Lot, kind, issue and place.
At = tuple[str, str, str, str]


def pulls(kit: Kit) -> dict[At, tuple[int, At]]:
    """What sortings put at a place of its own -> the entry that did, and where it lies since."""
    return kit.keep("where sortings put things", lambda: _pulls(kit))


def at_of(ref: HeapRef) -> At:
    """A heap's reference as a key."""
    return ref.lot, ref.kind, ref.issue, ref.place


def _pulls(kit: Kit) -> dict[At, tuple[int, At]]:
    put: dict[At, tuple[int, At]] = {}
    now: dict[At, At] = {}
    for _, serial, fact in standing(kit.journal.records()):
        if isinstance(fact, Sorted):
            for line in fact.lines:
                if line.place is not None:
                    at = (fact.heap.lot, line.kind, line.issue, line.place)
                    put[at] = (serial, at)
                    now[at] = at
        else:
            for before, after in _went(fact, now):
                first = now.pop(before)
                put[first] = (put[first][0], after)
                now[after] = first
    return put


def _went(fact: Fact, now: Collection[At]) -> list[tuple[At, At]]:
    """Which of the heaps that are followed went elsewhere whole, and where to."""
    if isinstance(fact, Joined):
        others = fact.lots[1:]
        return [(at, (fact.lots[0], *at[1:])) for at in now if at[0] in others]
    if not isinstance(fact, Moved | Split) or fact.amount is not None:
        return []
    lot, kind, issue, place = at = at_of(fact.heap)
    after = (lot, kind, issue, fact.to) if isinstance(fact, Moved) else (fact.lot, kind, issue, place)
    return [(at, after)] if at in now else []
