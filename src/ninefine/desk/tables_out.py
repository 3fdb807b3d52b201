"""The book as plain tables for any spreadsheet: what is held, the lots, purchases, sales, and every gain.

Figures are plain decimals with a point, days as 2024-03-01; what nobody knows is an empty cell. The heads of purchases,
holdings and sales are those that `intake.book_heads` reads back.
"""

import csv
import io
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal

from ninefine.book.coming import costs_by_line
from ninefine.book.entries import Bought, Fact, Sold
from ninefine.book.gains import gain_row
from ninefine.book.holdings import Disposal, Heap
from ninefine.book.how import Left
from ninefine.book.said import Amount
from ninefine.book.share import ZERO, unit_of
from ninefine.book.standing import standing
from ninefine.desk.averaging import all_averages
from ninefine.desk.book_settings import Method, settings
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.measure.numbers import plain, to_places
from ninefine.papers.as_csv import safe
from ninefine.worth.ounces import ounces_of

Cell = str | Decimal | int | date | bool | None
Table = tuple[tuple[str, ...], Iterable[tuple[Cell, ...]]]

_MEASURES = ("pieces", "face", "grams")


def tables(kit: Kit) -> dict[str, str]:
    """Every table by its name: CSV with commas, a line of heads first, lines ending in CR LF (RFC 4180)."""
    return {name: _written(*make(kit)) for name, make in _TABLES.items()}


def _written(heads: tuple[str, ...], rows: Iterable[tuple[Cell, ...]]) -> str:
    held = io.StringIO()
    writer = csv.writer(held)
    writer.writerow(heads)
    writer.writerows([_said(cell) for cell in row] for row in rows)
    return held.getvalue()


def _said(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, Decimal | int):
        return plain(Decimal(cell))
    return safe(cell)


def _measures(amount: Amount | Heap) -> tuple[int | None, Decimal | None, Decimal | None]:
    return amount.count, amount.face, amount.gross_g


def _holdings(kit: Kit) -> Table:
    heads = (
        "lot", "kind", "in words", "issue", "place", *_MEASURES, "cost", "acquired", "how", "of whom", "own use",
        "on its way", "fine ozt unworn", "fine ozt trade", "fine ozt scale",
    )  # fmt: skip
    held, catalog = kit.holdings(), kit.catalog()

    def rows() -> Iterator[tuple[Cell, ...]]:
        for heap in held.heaps:
            lot = held.lots[heap.lot]
            yield (
                heap.lot, heap.kind, say_goods(heap.kind, "", catalog), heap.issue, heap.place, *_measures(heap),
                heap.basis if heap.cost_known else None, lot.acquired, lot.how.value, lot.seller, lot.own_use,
                lot.awaited, *_ounces(kit, heap),
            )  # fmt: skip

    return heads, rows()


def _ounces(kit: Kit, heap: Heap) -> tuple[Cell, Cell, Cell]:
    """Unworn, trade and scale ounces to four places; none where they cannot be told."""
    kind = kit.kind_or_none(heap.kind)
    if kind is None or not kind.fineness:
        return None, None, None
    found = ounces_of(heap, kind)
    scale = None if found.scale is None else to_places(found.scale, 4)
    return to_places(found.unworn, 4), to_places(found.trade, 4), scale


def _lots(kit: Kit) -> Table:
    heads = (
        "lot", "entry", "kind", *_MEASURES, "acquired", "came", "how", "of whom", "cost", "cost still held", "quote",
        "on its way", "received", "claim", "own use",
    )  # fmt: skip

    def rows() -> Iterator[tuple[Cell, ...]]:
        for lot in kit.holdings().lots.values():
            held = sum((heap.basis for heap in lot.heaps), ZERO)
            yield (
                lot.name, lot.serial, lot.kind, *_measures(lot.ordered), lot.acquired, lot.came, lot.how.value,
                lot.seller, lot.cost if lot.cost_known else None, held if lot.cost_known else None, lot.quote,
                lot.awaited, lot.received, lot.claim, lot.own_use,
            )  # fmt: skip

    return heads, rows()


def _purchases(kit: Kit) -> Table:
    heads = (
        "date", "seller", "lot", "kind", "issue", *_MEASURES, "line price", "other costs", "quote", "on its way",
        "place", "paper", "note", "entry",
    )  # fmt: skip
    unit = unit_of(kit.journal.currency)

    def rows() -> Iterator[tuple[Cell, ...]]:
        for on, serial, fact in _facts(kit):
            if isinstance(fact, Bought):
                shares = costs_by_line(fact.other_costs, [line.price for line in fact.lines], unit)
                for line, share in zip(fact.lines, shares, strict=True):
                    yield (
                        on, fact.seller, line.lot, line.kind, line.issue, *_measures(line.amount), line.price, share,
                        line.quote, not fact.arrived, fact.place, fact.paper, fact.note, serial,
                    )  # fmt: skip

    return heads, rows()


def _sales(kit: Kit) -> Table:
    heads = (
        "date", "buyer", "way out", "rule", "lot", "kind", "issue", *_MEASURES, "proceeds", "fees", "paper", "note",
        "entry",
    )  # fmt: skip
    said = {serial: fact for _, serial, fact in _facts(kit) if isinstance(fact, Sold)}

    def rows() -> Iterator[tuple[Cell, ...]]:
        for left in kit.holdings().disposals:
            if left.left is Left.SOLD:
                sale = said[left.serial]
                yield (
                    left.on, left.buyer, left.exit, left.rule, left.lot, left.kind, left.issue,
                    *_measures(left.amount), left.proceeds, left.fees, sale.paper, sale.note, left.serial,
                )  # fmt: skip

    return heads, rows()


def _gains(kit: Kit) -> Table:
    heads = (
        "left on", "how it left", "lot", "kind", "issue", *_MEASURES, "acquired", "proceeds", "fees", "cost or basis",
        "adjustment", "gain or loss", "term", "how it is reckoned", "entry",
    )  # fmt: skip

    averaged = all_averages(kit).basis if settings(kit).method is Method.AVERAGE else {}

    def row(place: int, left: Disposal) -> tuple[Cell, ...]:
        reckoned = gain_row(left, averaged=averaged.get(place))
        return (
            left.on, left.left.value, left.lot, left.kind, left.issue, *_measures(left.amount),
            reckoned.acquired_words, left.proceeds, left.fees, reckoned.basis, reckoned.adjustment, reckoned.gain,
            reckoned.term.value, reckoned.note, left.serial,
        )  # fmt: skip

    return heads, (row(place, left) for place, left in enumerate(kit.holdings().disposals))


def _facts(kit: Kit) -> list[tuple[date, int, Fact]]:
    return standing(kit.journal.records())


_TABLES: dict[str, Callable[[Kit], Table]] = {
    "holdings.csv": _holdings,
    "lots.csv": _lots,
    "purchases.csv": _purchases,
    "sales.csv": _sales,
    "gains.csv": _gains,
}
