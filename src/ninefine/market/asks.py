"""What sellers ask today for goods like those held: what it would cost to have them again. The person's own table."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from ninefine.catalog.kinds import Basis
from ninefine.errors import Fault, Faults
from ninefine.market.content import Content, plain_name
from ninefine.market.goods import Goods
from ninefine.market.quote import Quote, per_unit
from ninefine.market.read_quote import read_quote
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.numbers import to_places


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is asked for goods of a name: a catalog slug, a trade name (`90`, `ozt`), a form, or a metal (`silver`).

    `whose` says who asks it, and `on` when it was read; a replacement value names both.
    """

    what: str
    quote: Quote
    said: str = ""
    whose: str = ""
    on: date | None = None
    note: str = ""

    def as_dict(self) -> dict[str, object]:
        """The ask in plain values, ready for the book's tables; `ask_from` reads it back."""
        return filled(
            {
                "what": self.what,
                "quote": self.said or str(self.quote),
                "whose": self.whose,
                "on": text_or_none(self.on),
                "note": self.note,
            }
        )


def ask_from(row: Mapping[str, object]) -> Ask:
    """Read an ask from plain values: the fields that `Ask.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    found = Ask(
        what=table.text("what", needed=True),
        quote=table.read("quote", read_quote, read_quote("spot"), needed=True),
        said=table.text("quote"),
        whose=table.text("whose"),
        on=table.day("on"),
        note=table.text("note"),
    )
    table.done()
    if faults:
        raise Faults(faults, source="the ask")
    return found


def ask_for(asks: Sequence[Ask], content: Content) -> Ask | None:
    """The ask that fits some goods most narrowly; of two as narrow, the later set down. None where nobody asks."""
    by_name = {plain_name(ask.what): ask for ask in asks}
    for name in content.names:
        if plain_name(name) in by_name:
            return by_name[plain_name(name)]
    return None


def replacement(ask: Ask, goods: Goods, spot: Decimal) -> Decimal:
    """What goods would cost at an ask, to the cent; one by scale on goods that were not weighed goes by trade ounces.

    Raises:
        RangeError: an ask that these goods cannot be priced by.
    """
    quote = ask.quote
    if quote.basis is Basis.SCALE and not goods.weighed:
        quote = replace(quote, basis=Basis.TRADE)
    return to_places(per_unit(quote, goods.terms(spot)) * goods.units, 2)
