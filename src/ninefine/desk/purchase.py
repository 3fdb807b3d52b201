"""Booking a purchase: one or several lines of goods, what was added to their price, arrived or on its way."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Bought, BoughtLine
from ninefine.book.holdings import Holdings
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.goods import Named, Price, read_named, read_price
from ninefine.desk.kit import Kit

#: What is added to a price, in the order in which an invoice lists it; a discount is taken off.
COSTS = ("carriage", "surcharge", "tax", "fees", "travel", "discount")


def next_lot(held: Holdings, taken: Sequence[str] = ()) -> str:
    """The next free lot name: L1, L2, ..."""
    used = set(held.lots) | set(taken)
    number = len(held.lots) + len(taken) + 1
    while f"L{number}" in used:
        number += 1
    return f"L{number}"


def read_purchase(kit: Kit, form: Mapping[str, str]) -> Bought:
    """Read a purchase form without booking it.

    Fields: `on`, `seller`, `place`, `paper`, `note`, `spot`, `arrived` (`no` while on its way), the costs of `COSTS`,
    and for each line n from 1: `amount-n`, `kind-n`, `price-n`, `lot-n` (may be empty).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the purchase")
    on = fields.day("on", kit.today())
    if on > kit.today():
        fields.fault("on", "This day has not come yet. A purchase is booked once it is made.")
    spot = fields.positive("spot") or kit.spot_or_none(on)
    costs = _costs(fields)
    lines = _lines(kit, form, fields, spot)
    if not lines and fields.sound:
        fields.fault("kind-1", "A purchase needs at least one line of goods.")
    fields.done()
    return Bought(
        on=on,
        seller=fields.raw("seller"),
        lines=tuple(lines),
        other_costs=costs,
        arrived=fields.raw("arrived") != "no",
        place=fields.raw("place"),
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )


def buy(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a purchase.

    Raises:
        Faults: every fault of the form, each at its field.
        BookError: the book refuses it (a lot's name is taken).
    """
    return kit.journal.append(read_purchase(kit, form))


def _costs(fields: Fields) -> dict[str, Decimal]:
    costs = {name: fields.money(name) for name in COSTS}
    costs["discount"] = -costs["discount"]
    return {name: amount for name, amount in costs.items() if amount}


def _lines(kit: Kit, form: Mapping[str, str], fields: Fields, spot: Decimal | None) -> list[BoughtLine]:
    held = kit.holdings()
    lines: list[BoughtLine] = []
    for number in numbers_of(form):
        read = _goods_line(kit, fields, number, spot)
        if read is not None:
            named, amount, price = read
            lot = fields.raw(f"lot-{number}") or next_lot(held, [line.lot for line in lines])
            lines.append(
                BoughtLine(
                    lot=lot,
                    kind=named.kind.slug,
                    issue=named.issue,
                    amount=amount,
                    price=price.total,
                    quote=price.quote,
                )
            )
    return lines


def _goods_line(kit: Kit, fields: Fields, number: str, spot: Decimal | None) -> tuple[Named, Amount, Price] | None:
    """One line, or none where a field is at fault: no amount reads without its kind, and no price without both."""
    catalog, currency = kit.catalog(), kit.journal.currency
    named = fields.read(f"kind-{number}", partial(read_named, catalog), None, needed=True)
    if named is None:
        return None
    amount = fields.read(f"amount-{number}", partial(read_amount, kind=named.kind), None, needed=True)
    if amount is None:
        return None
    reader = partial(read_price, kind=named.kind, amount=amount, spot=spot, currency=currency)
    price = fields.read(f"price-{number}", reader, None, needed=True)
    return None if price is None else (named, amount, price)
