"""What a form picks of what is held, and what goods its lines name: shared by the verbs that take either."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial
from typing import TypedDict

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap, Holdings
from ninefine.book.take import take
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields
from ninefine.desk.goods import Named, Price, read_named, read_price
from ninefine.desk.heaps import read_heap
from ninefine.desk.kit import Kit
from ninefine.errors import BookError

#: Goods as a line names them: what they are, and how much of them.
GoodsSaid = tuple[Named, Amount]


class LineSaid(TypedDict):
    """What every line of goods that came says of its lot, by the names that the entries give it."""

    lot: str
    kind: str
    issue: str
    amount: Amount


def read_pick(
    kit: Kit, fields: Fields, held: Holdings, heap_field: str, amount_field: str
) -> tuple[Heap, Amount | None] | None:
    """The heap that a field names and how much of it another says (none for all); none where one is at fault."""
    heap = fields.read(heap_field, partial(read_heap, held), None, needed=True)
    kind = None if heap is None else kit.kind_or_none(heap.kind)
    if heap is None:
        return None
    if kind is None:
        fields.fault(heap_field, f"The catalog does not hold its kind, {heap.kind}; set the kind down first.")
        return None
    said = fields.read(amount_field, partial(read_amount, kind=kind), None)
    return heap, None if said is None else _in_heap(heap, said)


def _in_heap(heap: Heap, amount: Amount) -> Amount:
    """An amount by the measure that decides in a heap, where both know it."""
    if heap.count is not None and amount.count is not None:
        return Amount(count=amount.count)
    if amount.face is not None:
        return Amount(face=amount.face)
    return Amount(count=amount.count) if amount.count is not None else Amount(gross_g=amount.gross_g)


def read_goods(kit: Kit, fields: Fields, number: str) -> GoodsSaid | None:
    """The goods of a line, `kind-n` and `amount-n`; none where a field is at fault."""
    named = fields.read(f"kind-{number}", partial(read_named, kit.catalog()), None, needed=True)
    if named is None:
        return None
    amount = fields.read(f"amount-{number}", partial(read_amount, kind=named.kind), None, needed=True)
    return None if amount is None else (named, amount)


def read_line(kit: Kit, fields: Fields, number: str, taken: list[str]) -> tuple[LineSaid, GoodsSaid] | None:
    """A line of goods that came, `kind-n`, `amount-n` and `lot-n` (the next free name if empty), and its goods.

    Answers none where a field is at fault. The lot's name is added to those that earlier lines have taken.
    """
    goods = read_goods(kit, fields, number)
    if goods is None:
        return None
    named, amount = goods
    lot = fields.raw(f"lot-{number}") or next_lot(kit.holdings(), taken)
    taken.append(lot)
    return LineSaid(lot=lot, kind=named.kind.slug, issue=named.issue, amount=amount), goods


def read_price_of(
    kit: Kit, fields: Fields, name: str, goods: GoodsSaid, spot: Decimal | None, *, needed: bool = False
) -> Price | None:
    """What goods cost: a sum, or a quote of the trade turned into one; none where nothing was said."""
    named, amount = goods
    reader = partial(read_price, kind=named.kind, amount=amount, spot=spot, currency=kit.journal.currency)
    return fields.read(name, reader, None, needed=needed)


def read_worth(kit: Kit, fields: Fields, name: str, goods: GoodsSaid, spot: Decimal | None) -> Decimal | None:
    """As `read_price_of`, the sum alone; none stands for not known."""
    price = read_price_of(kit, fields, name, goods, spot)
    return None if price is None else price.total


def taken_of(fields: Fields, name: str, heap: Heap, amount: Amount | None) -> Amount:
    """What a heap gives, in every measure that it knows; a fault of the amount's field where it holds less."""
    try:
        taken, _ = take(heap, amount)
    except BookError as error:
        fields.fault(name, str(error))
        return heap.amount
    return taken


def next_lot(held: Holdings, taken: Sequence[str] = ()) -> str:
    """The next free lot name: L1, L2, ..."""
    used = set(held.lots) | set(taken)
    number = len(held.lots) + len(taken) + 1
    while f"L{number}" in used:
        number += 1
    return f"L{number}"


def read_yes(fields: Fields, name: str) -> bool:
    """A yes or a no; no where nothing was said."""
    said = fields.raw(name).lower()
    if said not in {"", "yes", "no"}:
        fields.fault(name, "Say yes or no.")
    return said == "yes"
