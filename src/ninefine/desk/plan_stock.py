"""What a plan may sell from, and what it leaves alone: marks set down, dates kept out of the heap, what one names."""

from collections.abc import Callable
from datetime import date

from ninefine.book.holdings import Heap, Lot
from ninefine.book.term import Term, term_of
from ninefine.catalog.kinds import Kind
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import heap_name
from ninefine.desk.kit import Kit
from ninefine.desk.paper_tables import kept_apart
from ninefine.desk.sale import kinds_of
from ninefine.errors import NotFoundError
from ninefine.papers.apart import why_issue_apart
from ninefine.plan.selling import HeldBack, Stock
from ninefine.plan.selling_stock import stock_of

#: Says why a heap is held back; empty where it is not.
Why = Callable[[Lot, Heap], str]
SET_APART = "what is set apart"
KEPT = "what you keep"
YOUNG = "long term only"
IN_USE = "silver in use"


def held_stock(kit: Kit, fields: Fields) -> tuple[tuple[Stock, ...], tuple[HeldBack, ...]]:
    """What lies here and may be sold, and what is held back by which limit."""
    held = kit.holdings()
    wanted = _wanted_kinds(kit, fields)
    limits = _limits(kit, fields, kit.today())
    stocks: list[Stock] = []
    held_back: list[HeldBack] = []
    for lot in held.lots.values():
        for heap in () if lot.awaited else lot.heaps:
            kind = kit.kind_or_none(heap.kind)
            stock = None if kind is None else stock_of(heap_name(heap), heap, lot, kind)
            if kind is None or stock is None or (wanted is not None and heap.kind not in wanted):
                continue
            reasons = [(limit, why(lot, heap)) for limit, why in limits.items()]
            reasons += [(SET_APART, words) for words in [_key_date(kit, fields, kind, heap)] if words]
            first = next(((limit, words) for limit, words in reasons if words), None)
            if first is None:
                stocks.append(stock)
            else:
                held_back.append(HeldBack(stock=stock, limit=first[0], why=first[1]))
    return tuple(stocks), tuple(held_back)


def _wanted_kinds(kit: Kit, fields: Fields) -> frozenset[str] | None:
    if not fields.raw("kind"):
        return None
    named = fields.read("kind", lambda text: read_named(kit.catalog(), text), None)
    return None if named is None else kinds_of(kit.catalog(), named)


def _limits(kit: Kit, fields: Fields, today: date) -> dict[str, Why]:
    limits: dict[str, Why] = {IN_USE: lambda lot, _: "it serves the household itself" if lot.own_use else ""}
    if fields.raw("marks") != "no":
        marks = {name: apart.why or "set apart" for name, apart in kept_apart(kit).items()}
        limits[SET_APART] = lambda lot, heap: next((marks[name] for name in _names(lot, heap) if name in marks), "")
    keep = {name.strip() for name in fields.raw("keep").split(",") if name.strip()}
    if keep:
        known = {name for lot in kit.holdings().lots.values() for heap in lot.heaps for name in _names(lot, heap)}
        slugs = keep | {_slug(kit, name) for name in keep - known}
        for name in sorted(keep - known):
            if _slug(kit, name) not in known:
                fields.fault("keep", f"Nothing held is called {name[:40]!r}: name a lot, a heap or a kind.")
        limits[KEPT] = lambda lot, heap: "you said to keep it" if slugs & set(_names(lot, heap)) else ""
    if fields.raw("long_only") == "yes":
        limits[YOUNG] = lambda lot, _: "" if term_of(lot, today) is Term.LONG else "held a year or less"
    return limits


def _names(lot: Lot, heap: Heap) -> tuple[str, ...]:
    return lot.name, heap_name(heap), heap.kind


def _slug(kit: Kit, name: str) -> str:
    try:
        return read_named(kit.catalog(), name).kind.slug
    except NotFoundError:
        return ""


def _key_date(kit: Kit, fields: Fields, kind: Kind, heap: Heap) -> str:
    """Why pieces told apart are kept out of the common heap; empty for common dates, or where marks are lifted."""
    if not heap.issue or fields.raw("marks") == "no":
        return ""
    try:
        return why_issue_apart(kit.catalog().issue(kind.slug, heap.issue))
    except NotFoundError:
        return ""
