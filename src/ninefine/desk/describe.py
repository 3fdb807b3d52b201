"""Every entry of the book in one plain sentence."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from ninefine.book.entries import (
    Amount,
    Bought,
    Credited,
    Entry,
    Given,
    GivenLine,
    HeapRef,
    Inherited,
    InheritedLine,
    Joined,
    Listed,
    Lost,
    Mended,
    Moved,
    Noted,
    Opened,
    OpenedLine,
    Priced,
    Received,
    Refined,
    Sold,
    Sorted,
    Split,
    Swapped,
    SwappedIn,
    Tested,
    Used,
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


def _given(entry: Given, catalog: Catalog) -> str:
    lines = "; ".join(
        f"{_new_lot(line, catalog)} ({_known('its giver paid', line.basis)}"
        + (f" on {line.acquired}" if line.acquired else ", nobody knows when")
        + (f"; worth {short_money(line.value)} that day" if line.value is not None else "")
        + ")"
        for line in entry.lines
    )
    return f"Given{f' by {entry.giver}' if entry.giver else ''}: {lines}."


def _inherited(entry: Inherited, catalog: Catalog) -> str:
    lines = "; ".join(f"{_new_lot(line, catalog)} ({_known('worth', line.value)})" for line in entry.lines)
    whose = f" of {entry.whose}" if entry.whose else ""
    on = f" on {entry.valued_on}" if entry.valued_on else ""
    by = f" {_by(entry.valued_by)}" if entry.valued_by else ""
    valued = f", valued{on}{by}" if on or by else ""
    return f"Inherited{whose}, who died on {entry.died}{valued}: {lines}."


def _by(valued_by: str) -> str:
    """Who set a value; how it was struck, where nobody did, stands in brackets."""
    return f"({valued_by})" if valued_by.startswith("struck on ") else f"by {valued_by}"


def _opened(entry: Opened, catalog: Catalog) -> str:
    lines = "; ".join(
        f"{_new_lot(line, catalog)} ({_known('cost', line.cost)}"
        + (f", {line.how or 'had'} on {line.acquired}" if line.acquired else ", nobody knows since when")
        + ")"
        for line in entry.lines
    )
    return f"Held before the book: {lines}."


def _swapped(entry: Swapped, catalog: Catalog) -> str:
    out = "; ".join(
        f"{_part(line.heap, line.amount, catalog)} counted for {short_money(line.value)}" for line in entry.out
    )
    into = "; ".join(f"{_new_lot(line, catalog)} counted for {short_money(line.value)}" for line in entry.into)
    cash = ""
    if entry.cash:
        cash = f", with {short_money(abs(entry.cash))} {'received' if entry.cash > 0 else 'paid'} in cash"
    costs = "".join(f"; {name} {short_money(amount)}" for name, amount in entry.other_costs.items())
    return f"Swapped{f' with {entry.whom}' if entry.whom else ''}: {out}, for {into}{cash}{costs}."


def _lost(entry: Lost, catalog: Catalog) -> str:
    lines = "; ".join(
        _part(line.heap, line.amount, catalog)
        + (f", worth {short_money(line.value)}" if line.value is not None else "")
        + (f", {short_money(line.paid)} paid for it" if line.paid else "")
        for line in entry.lines
    )
    return f"{entry.why.capitalize()}{f' to {entry.whom}' if entry.whom else ''}: {lines}."


def _refined(entry: Refined, catalog: Catalog) -> str:
    lines = "; ".join(_part(line.heap, line.amount, catalog) for line in entry.lines)
    found = [
        f"{plain(entry.gross_g)} g gross" if entry.gross_g is not None else "",
        f"{plain(entry.melted_g)} g after the melt" if entry.melted_g is not None else "",
        f"assay {plain(entry.assay)}" if entry.assay is not None else "",
        f"{plain(entry.payable_pct)}% payable" if entry.payable_pct is not None else "",
        f"at {as_price(entry.per_ozt)} an ounce" if entry.per_ozt is not None else "",
    ]
    said = ", ".join(one for one in found if one)
    fees = "".join(f"; {name} {short_money(amount)}" for name, amount in entry.fees.items())
    by = f" by {entry.refiner}" if entry.refiner else ""
    return f"Refined{by}: {lines}{f'; {said}' if said else ''}; proceeds {short_money(entry.proceeds)}{fees}."


def _split(entry: Split, catalog: Catalog) -> str:
    return f"Made a lot of its own, {entry.lot}: {_part(entry.heap, entry.amount, catalog)}."


def _joined(entry: Joined, catalog: Catalog) -> str:
    del catalog
    return f"Put {_lots(entry.lots)} together as lot {entry.lots[0]}."


def _used(entry: Used, catalog: Catalog) -> str:
    del catalog
    one = len(entry.lots) == 1
    serves = ("serves" if one else "serve") if entry.own else ("no longer serves" if one else "no longer serve")
    return f"{_lots(entry.lots).capitalize()} {serves} the household itself."


def _tested(entry: Tested, catalog: Catalog) -> str:
    named = [f"{entry.count} pieces" if entry.count and entry.count > 1 else "", entry.piece]
    if entry.heap is not None:
        named.append(f"of {say_heap(entry.heap, catalog)}" if any(named) else say_heap(entry.heap, catalog))
    if entry.lots:
        named.append(_lots(entry.lots))
    said = "; ".join(f"{line.test.replace('-', ' ')} {line.outcome}" for line in entry.lines)
    files = "".join(f"; kept {file.name}" for file in entry.attachments)
    return f"Tested {' '.join(one for one in named if one)}: {said}; {_VERDICTS[entry.verdict]}{files}."


#: The words of a verdict in the sentence of its entry.
_VERDICTS = {"nothing against": "nothing against it", "unsettled": "not settled", "set aside": "set aside"}


def _new_lot(line: GivenLine | InheritedLine | OpenedLine | SwappedIn, catalog: Catalog) -> str:
    return f"{say_amount(line.amount)} of {say_goods(line.kind, line.issue, catalog)} as lot {line.lot}"


def _part(heap: HeapRef, amount: Amount | None, catalog: Catalog) -> str:
    much = f"{say_amount(amount)} of " if amount is not None else ""
    return f"{much}{say_heap(heap, catalog)}"


def _known(what: str, amount: Decimal | None) -> str:
    """An amount with what it is, or word that nobody knows it."""
    return f"{what} {short_money(amount)}" if amount is not None else f"nobody knows what {_WAS[what]}"


#: The words of an amount that is not known, by those of one that is.
_WAS = {"its giver paid": "its giver paid", "worth": "it was worth", "cost": "it cost"}


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
    Given: _given,
    Inherited: _inherited,
    Opened: _opened,
    Swapped: _swapped,
    Lost: _lost,
    Refined: _refined,
    Split: _split,
    Joined: _joined,
    Used: _used,
    Tested: _tested,
    Mended: _mended,
    Withdrawn: _withdrawn,
}
