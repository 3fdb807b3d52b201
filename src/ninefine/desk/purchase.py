"""Booking a purchase: one or several lines of goods, what was added to their price, arrived or on its way."""

from collections.abc import Mapping
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.book.entries import Bought, BoughtLine
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.kit import Kit
from ninefine.desk.picks import read_line, read_price_of

#: What is added to a price, in the order in which an invoice lists it; a discount is taken off.
COSTS = ("carriage", "surcharge", "tax", "fees", "travel", "discount")


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
    lines: list[BoughtLine] = []
    taken: list[str] = []
    for number in numbers_of(form):
        read = read_line(kit, fields, number, taken)
        if read is not None:
            line, goods = read
            price = read_price_of(kit, fields, f"price-{number}", goods, spot, needed=True)
            if price is not None:
                lines.append(BoughtLine(**line, price=price.total, quote=price.quote))
    return lines
