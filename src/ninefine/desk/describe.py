"""Every entry of the book in one plain sentence."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from ninefine.book.entries import (
    Bought,
    Credited,
    Entry,
    Listed,
    Mended,
    Moved,
    Noted,
    Priced,
    Received,
    Sold,
    Sorted,
    Weighed,
    Withdrawn,
)
from ninefine.catalog.catalog import Catalog
from ninefine.desk.amounts import say_amount
from ninefine.desk.heaps import say_goods, say_heap
from ninefine.desk.records import metal_name
from ninefine.measure.numbers import as_price, plain, to_places


def describe(entry: Entry, catalog: Catalog) -> str:
    """An entry in one sentence, without its date and number."""
    return _SENTENCES[type(entry)](entry, catalog)


def short_money(value: Decimal) -> str:
    """An amount of money with thousands marks and two places."""
    return f"{to_places(value, 2):,f}"


def _bought(entry: Bought, catalog: Catalog) -> str:
    lines = "; ".join(
        f"{say_amount(line.amount)} of {say_goods(line.kind, line.issue, catalog)}"
        + (f" at {line.quote}" if line.quote else "")
        + f" for {short_money(line.price)} as lot {line.lot}"
        for line in entry.lines
    )
    seller = f" of {entry.seller}" if entry.seller else ""
    costs = "".join(f"; {name} {short_money(amount)}" for name, amount in entry.other_costs.items())
    return f"Bought{seller}: {lines}{costs}" + ("." if entry.arrived else "; on its way.")


def _received(entry: Received, catalog: Catalog) -> str:
    del catalog
    lines = "; ".join(f"lot {line.lot}, counted {say_amount(line.amount)}" for line in entry.lines)
    claim = f"; {short_money(entry.claim)} claimed of the seller" if entry.claim else ""
    return f"Received {lines}{claim}."


def _credited(entry: Credited, catalog: Catalog) -> str:
    del catalog
    return f"The seller paid {short_money(entry.amount)} back on {_lots(entry.lots)}."


def _weighed(entry: Weighed, catalog: Catalog) -> str:
    return (
        "Weighed " + "; ".join(f"{say_heap(line.heap, catalog)}: {plain(line.gross_g)} g" for line in entry.lines) + "."
    )


def _sorted(entry: Sorted, catalog: Catalog) -> str:
    lines = "; ".join(
        f"{say_amount(line.amount)} of {say_goods(line.kind, line.issue, catalog)}" for line in entry.lines[:6]
    )
    more = len(entry.lines) - 6
    tail = f"; and {more} more rows" if more > 0 else ""
    return f"Sorted {say_heap(entry.heap, catalog)} into {lines}{tail} (cost shared {entry.method})."


def _moved(entry: Moved, catalog: Catalog) -> str:
    much = f"{say_amount(entry.amount)} of " if entry.amount is not None else ""
    return f"Moved {much}{say_heap(entry.heap, catalog)} to {entry.to}."


def _sold(entry: Sold, catalog: Catalog) -> str:
    lines = "; ".join(
        (f"{say_amount(line.amount)} of " if line.amount is not None else "")
        + f"{say_heap(line.heap, catalog)} for {short_money(line.proceeds)}"
        for line in entry.lines
    )
    whom = entry.buyer or entry.exit
    fees = f"; fees {short_money(entry.fees)}" if entry.fees else ""
    return f"Sold{f' to {whom}' if whom else ''} ({entry.rule}): {lines}{fees}."


def _priced(entry: Priced, catalog: Catalog) -> str:
    del catalog
    whose = f", {entry.whose}" if entry.whose else ""
    at = f" at {entry.at}" if entry.at else ""
    return f"Read a {entry.side} price of {metal_name(entry.metal)}: {as_price(entry.per_ozt)} an ounce{at}{whose}."


def _listed(entry: Listed, catalog: Catalog) -> str:
    del catalog
    return f"{'Set down' if entry.body is not None else 'Struck'} the {entry.table} {entry.key!r}."


def _noted(entry: Noted, catalog: Catalog) -> str:
    del catalog
    about = f" on {_lots(entry.lots)}" if entry.lots else ""
    entry_about = f" on entry {entry.about}" if entry.about is not None else ""
    files = "".join(f"; kept {file.name}" for file in entry.attachments)
    return f"Noted{about}{entry_about}: {entry.text or 'no words'}{files}."


def _mended(entry: Mended, catalog: Catalog) -> str:
    why = f" ({entry.why})" if entry.why else ""
    return f"Entry {entry.serial} was wrong{why}; it stands as: {describe(entry.instead, catalog)}"


def _withdrawn(entry: Withdrawn, catalog: Catalog) -> str:
    del catalog
    why = f" ({entry.why})" if entry.why else ""
    return f"Entry {entry.serial} never happened{why}."


def _lots(names: tuple[str, ...]) -> str:
    return ("lot " if len(names) == 1 else "lots ") + ", ".join(names)


_SENTENCES: dict[type, Callable[[Any, Catalog], str]] = {
    Bought: _bought,
    Received: _received,
    Credited: _credited,
    Weighed: _weighed,
    Sorted: _sorted,
    Moved: _moved,
    Sold: _sold,
    Priced: _priced,
    Listed: _listed,
    Noted: _noted,
    Mended: _mended,
    Withdrawn: _withdrawn,
}
