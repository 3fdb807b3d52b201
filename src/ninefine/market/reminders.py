"""Reminders of rules that may matter to a sale or a purchase: reporting, sales tax, cash. They remind and never decide.

Each is the person's own row, with its source and its date. The ones that come with ninefine are examples and say so; a
row of the same name takes an example's place, and one that is `off` silences it.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache
from importlib.resources import files

from ninefine.errors import Fault, Faults
from ninefine.market.content import plain_name
from ninefine.market.goods import Goods, Limit, measured, read_limit
from ninefine.market.table import Table, filled, text_or_none


class About(StrEnum):
    """What a reminder is about."""

    SALE = "sale"
    PURCHASE = "purchase"
    BOTH = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """A rule that may matter.

    Attributes:
        name: what it is called: its row's key.
        about: sale, purchase or both.
        of: the goods that it speaks of, by a name that a bid may use (`90`, `constitutional`, `silver`); empty for all.
        least: it speaks up from so much on.
        over: it speaks up for more than so much.
        below: it speaks up for less than so much.
        cash: only where cash is paid.
        words: what to say.
        source: where the rule stands.
        as_of: the day on which that was read or written down.
        example: came with ninefine, and was not made the person's own.
        off: silenced.
    """

    name: str
    about: About
    words: str
    source: str
    as_of: date | None
    of: str = ""
    least: Limit | None = None
    over: Limit | None = None
    below: Limit | None = None
    cash: bool = False
    example: bool = False
    off: bool = False

    def as_dict(self) -> dict[str, object]:
        """The reminder in plain values, ready for the book's tables; `reminder_from` reads it back."""
        return filled(
            {
                "about": self.about.value,
                "of": self.of,
                "least": text_or_none(self.least),
                "over": text_or_none(self.over),
                "below": text_or_none(self.below),
                "cash": "yes" if self.cash else "",
                "words": self.words,
                "source": self.source,
                "as_of": text_or_none(self.as_of),
                "off": "yes" if self.off else "",
            }
        )


def reminder_from(name: str, row: Mapping[str, object], *, example: bool = False) -> Reminder:
    """Read a reminder from plain values: the fields that `Reminder.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    off = _yes(table, "off")
    unlimited: Limit | None = None
    found = Reminder(
        name=name,
        about=table.choice("about", About, About.BOTH),
        of=table.text("of"),
        least=table.read("least", read_limit, unlimited),
        over=table.read("over", read_limit, unlimited),
        below=table.read("below", read_limit, unlimited),
        cash=_yes(table, "cash"),
        words=table.text("words", needed=not off),
        source=table.text("source", needed=not off),
        as_of=table.day("as_of"),
        example=example,
        off=off,
    )
    if found.as_of is None and not off:
        table.fault("as_of", "Say on which day you read it, as 2026-06-12: rules change.")
    table.done()
    if faults:
        raise Faults(faults, source="the reminder")
    return found


def _yes(table: Table, name: str) -> bool:
    said = table.text(name).lower()
    if said not in {"", "yes", "no"}:
        table.fault(name, "Say yes or no.")
    return said == "yes"


@cache
def examples() -> tuple[Reminder, ...]:
    """The reminders that come with ninefine, for the United States: examples, not advice."""
    text = (files("ninefine.market") / "data" / "reminders.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["reminder"]
    return tuple(
        reminder_from(row["name"], {name: value for name, value in row.items() if name != "name"}, example=True)
        for row in rows
    )


def in_force(own: Mapping[str, Mapping[str, object]], *, with_examples: bool = True) -> tuple[Reminder, ...]:
    """The person's own reminders, and the examples that none of them replaces; silenced ones among them."""
    read = {name: reminder_from(name, row) for name, row in own.items()}
    shipped = {one.name: one for one in examples()} if with_examples else {}
    return tuple({**shipped, **read}.values())


def reminded(
    reminders: Sequence[Reminder], about: About, goods: Sequence[Goods], money: Decimal, *, in_cash: bool = False
) -> tuple[Reminder, ...]:
    """The reminders that speak up for some goods that change hands for some money."""
    return tuple(one for one in reminders if not one.off and _speaks(one, about, goods, money, in_cash=in_cash))


def _speaks(one: Reminder, about: About, goods: Sequence[Goods], money: Decimal, *, in_cash: bool) -> bool:
    if one.about not in {About.BOTH, about} or (one.cash and not in_cash):
        return False
    meant = [item for item in goods if not one.of or _named(one.of, item)]
    if not meant:
        return False
    enough = one.least is None or measured(meant, money, one.least.unit) >= one.least.amount
    more = one.over is None or measured(meant, money, one.over.unit) > one.over.amount
    less = one.below is None or measured(meant, money, one.below.unit) < one.below.amount
    return enough and more and less


def _named(of: str, item: Goods) -> bool:
    return plain_name(of) in {plain_name(name) for name in item.content.names}
