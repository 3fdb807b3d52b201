"""Naming a heap that is held: by its lot, and by kind, issue and place where the lot has several."""

from ninefine.book.entries import HeapRef
from ninefine.book.holdings import Heap, Holdings
from ninefine.catalog.catalog import Catalog
from ninefine.errors import NotFoundError


def heap_name(heap: Heap | HeapRef) -> str:
    """The heap's whole name, which `read_heap` reads back: `L1/us-dime-90/1921-D@A1`."""
    name = f"{heap.lot}/{heap.kind}"
    if heap.issue:
        name += f"/{heap.issue}"
    return f"{name}@{heap.place}" if heap.place else name


def say_goods(slug: str, issue: str, catalog: Catalog) -> str:
    """A kind and issue in words; the bare slug where the catalog does not hold it."""
    try:
        words = catalog.kind(slug).name
    except NotFoundError:
        words = slug
    return f"{words} {issue}".strip()


def say_heap(heap: Heap | HeapRef, catalog: Catalog) -> str:
    """The heap in words: `90% dimes 1921-D, lot L1, at A1`."""
    words = f"{say_goods(heap.kind, heap.issue, catalog)}, lot {heap.lot}"
    return f"{words}, at {heap.place}" if heap.place else words


def read_heap(held: Holdings, text: str) -> Heap:
    """Find a held heap by its name, or by as much of it as tells it from the lot's others: `L1`, `L1/us-dime-90`.

    Raises:
        NotFoundError: no such lot or heap, or several fit; offers their names.
    """
    said, _, place = text.strip().partition("@")
    lot_name, *rest = said.split("/", 2)
    lot = held.lots.get(lot_name.strip())
    if lot is None or not lot.heaps:
        open_lots = [name for name, one in held.lots.items() if one.heaps]
        raise NotFoundError(f"No lot {lot_name.strip()[:40]!r} is held.", instead=open_lots[-6:])
    fitting = [
        heap
        for heap in lot.heaps
        if (not rest or heap.kind == rest[0])
        and (len(rest) < 2 or heap.issue == rest[1])
        and (not place or heap.place == place)
    ]
    if len(rest) < 2 and len(fitting) > 1:  # what is not told apart goes by the shorter name
        plain = [heap for heap in fitting if not heap.issue]
        fitting = plain if len(plain) == 1 else fitting
    if len(fitting) != 1:
        wrong = "No heap" if not fitting else f"{len(fitting)} heaps"
        raise NotFoundError(
            f"{wrong} of lot {lot.name} fit {text.strip()[:60]!r}.", instead=[heap_name(heap) for heap in lot.heaps[:8]]
        )
    return fitting[0]


def ref_of(name: str) -> HeapRef:
    """A heap's reference from its whole name, whether it is still held or not."""
    said, _, place = name.partition("@")
    lot, kind, *issue = said.split("/", 2)
    return HeapRef(lot=lot, kind=kind, issue="".join(issue), place=place)
