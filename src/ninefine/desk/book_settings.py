"""What the person has settled for the whole book: how lots are chosen, how cost is counted, which table gains stand in.

One row of the table `setting`. ninefine does not say which method a place allows: that is for its law and a preparer.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ninefine.book.chain import Stored
from ninefine.desk.assumptions import SETTINGS
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.errors import Fault, Faults
from ninefine.market.quote import Quote
from ninefine.market.read_quote import read_quote
from ninefine.market.table import Table, filled, text_or_none

BOOKS = "books"


class Method(StrEnum):
    """How the cost of what leaves is counted."""

    LOTS = "lots"
    """Each lot's own cost: lots are named, or taken by a rule."""
    AVERAGE = "average"
    """The average of all silver that is quoted alike."""


class GainsForm(StrEnum):
    """Which table gains stand in."""

    FORM_8949 = "8949"
    """Columns in the order of U.S. Form 8949."""
    PLAIN = "plain"


class DefaultRule(StrEnum):
    """Which lots go first where a sale does not say."""

    FIRST_IN = "first-in"
    HIGHEST_BASIS = "highest-basis"
    LONG_HIGHEST_BASIS = "long-highest-basis"


@dataclass(frozen=True, slots=True, kw_only=True)
class BookSettings:
    """What is settled for the whole book.

    Attributes:
        rule: which lots go first where a sale does not say.
        method: how the cost of what leaves is counted.
        form: which table gains stand in.
        short_rate: the person's own tax rate on short-term gains, in per cent; none where none was typed.
        long_rate: the same on long-term gains.
        ask: what one-ounce rounds would have cost, as `spot+3`: for a comparison; none where none was typed.
        bid: what they would bring.
        note: a remark, such as who advised it and when.
    """

    rule: DefaultRule = DefaultRule.FIRST_IN
    method: Method = Method.LOTS
    form: GainsForm = GainsForm.FORM_8949
    short_rate: Decimal | None = None
    long_rate: Decimal | None = None
    ask: str = ""
    bid: str = ""
    note: str = ""

    def as_dict(self) -> dict[str, object]:
        """The settings in plain values, ready for the book's tables; `settings_from` reads them back."""
        return filled(
            {
                "rule": self.rule.value,
                "method": self.method.value,
                "form": self.form.value,
                "short_rate": text_or_none(self.short_rate),
                "long_rate": text_or_none(self.long_rate),
                "ask": self.ask,
                "bid": self.bid,
                "note": self.note,
            }
        )


def settings(kit: Kit) -> BookSettings:
    """What is settled; where nothing is, first in first out by the lots' own cost, and the table of the currency."""
    row = kit.holdings().tables.get(SETTINGS, {}).get(BOOKS)
    return _unsettled(kit) if row is None else settings_from(row, _unsettled(kit))


def _unsettled(kit: Kit) -> BookSettings:
    return BookSettings(form=GainsForm.FORM_8949 if kit.journal.currency == "USD" else GainsForm.PLAIN)


def settings_from(row: Mapping[str, object], unsettled: BookSettings | None = None) -> BookSettings:
    """Read settings from plain values: the fields that `BookSettings.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table, before = Table(row, faults), unsettled or BookSettings()
    found = BookSettings(
        rule=table.choice("rule", DefaultRule, before.rule),
        method=table.choice("method", Method, before.method),
        form=table.choice("form", GainsForm, before.form),
        short_rate=_rate(table, "short_rate"),
        long_rate=_rate(table, "long_rate"),
        ask=_quoted(table, "ask"),
        bid=_quoted(table, "bid"),
        note=table.text("note"),
    )
    table.done()
    if faults:
        raise Faults(faults, source="the settings")
    return found


def _rate(table: Table, name: str) -> Decimal | None:
    return table.percent(name) if name in table else None


def _quoted(table: Table, name: str) -> str:
    unread: Quote | None = None
    return table.text(name) if table.read(name, read_quote, unread) is not None else ""


def settle(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Settle something for the whole book; what the form does not name stays, and what it names empty is unsettled.

    Fields: `rule`, `method`, `form`, `short_rate`, `long_rate`, `ask`, `bid`, `note`.

    Raises:
        Faults: every fault of the form.
    """
    row = settings(kit).as_dict() | {name: text.strip() for name, text in form.items()}
    found = settings_from(filled(row), _unsettled(kit))
    return set_down(kit, SETTINGS, BOOKS, found.as_dict())
