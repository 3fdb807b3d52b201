"""What a form picks of what is held, and what goods its lines name: shared by the verbs that take either."""

from decimal import Decimal
from functools import partial

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap, Holdings
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields
from ninefine.desk.goods import Named, read_named, read_price
from ninefine.desk.heaps import read_heap
from ninefine.desk.kit import Kit
from ninefine.desk.purchase import next_lot


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


def read_goods(kit: Kit, fields: Fields, number: str) -> tuple[Named, Amount] | None:
    """The goods of a line, `kind-n` and `amount-n`; none where a field is at fault."""
    named = fields.read(f"kind-{number}", partial(read_named, kit.catalog()), None, needed=True)
    if named is None:
        return None
    amount = fields.read(f"amount-{number}", partial(read_amount, kind=named.kind), None, needed=True)
    return None if amount is None else (named, amount)


def read_worth(
    kit: Kit, fields: Fields, name: str, goods: tuple[Named, Amount], spot: Decimal | None, *, needed: bool = False
) -> Decimal | None:
    """A sum, or a quote of the trade on the goods turned into one; none where nothing was said, which is not known."""
    named, amount = goods
    reader = partial(read_price, kind=named.kind, amount=amount, spot=spot, currency=kit.journal.currency)
    price = fields.read(name, reader, None, needed=needed)
    return None if price is None else price.total


def lot_name(kit: Kit, fields: Fields, number: str, taken: list[str]) -> str:
    """The name that a line gives its lot, or the next free one."""
    return fields.raw(f"lot-{number}") or next_lot(kit.holdings(), taken)


def read_yes(fields: Fields, name: str) -> bool:
    """A yes or a no; no where nothing was said."""
    said = fields.raw(name).lower()
    if said not in {"", "yes", "no"}:
        fields.fault(name, "Say yes or no.")
    return said == "yes"
