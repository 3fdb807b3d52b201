"""Booking silver that came otherwise than bought: a gift, an inheritance, what was held before the book.

What is not known is left empty and stays not known: it is never taken for nothing.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.book.entries import Given, GivenLine, Inherited, InheritedLine, Opened, OpenedLine
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.kit import Kit
from ninefine.desk.picks import GoodsSaid, read_line, read_worth, read_yes
from ninefine.errors import InputError, NotFoundError
from ninefine.market.read_quote import read_quote
from ninefine.measure.days import read_day

HOW = ("bought", "given", "inherited")


def read_gift(kit: Kit, form: Mapping[str, str]) -> Given:
    """Read a gift without booking it.

    Fields: `on`, `giver`, `place`, `paper`, `note`, and for each line n from 1: `amount-n`, `kind-n`, `lot-n` (may be
    empty), `basis-n` (what it cost the giver), `acquired-n` (the giver's date), `value-n` (what it was worth that day),
    `own-n` (yes: tableware and the like). Sums may be said as a quote of the trade.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the gift")
    on = fields.past_day("on", kit.today())
    lines: list[GivenLine] = []
    taken: list[str] = []
    for number in numbers_of(form):
        said = read_line(kit, fields, number, taken)
        acquired = _day(fields, f"acquired-{number}", on)
        own_use = read_yes(fields, f"own-{number}")
        if said is None:
            continue
        line, goods = said
        lines.append(
            GivenLine(
                **line,
                basis=_worth(kit, fields, f"basis-{number}", goods, acquired),
                acquired=acquired,
                value=_worth(kit, fields, f"value-{number}", goods, on),
                own_use=own_use,
            )
        )
    _some(fields, lines)
    return Given(
        on=on,
        giver=fields.raw("giver"),
        lines=tuple(lines),
        place=fields.raw("place"),
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )


def give(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a gift received.

    Raises:
        Faults: every fault of the form.
        BookError: the book refuses it (a lot's name is taken).
    """
    return kit.journal.append(read_gift(kit, form))


def read_inheritance(kit: Kit, form: Mapping[str, str]) -> Inherited:
    """Read an inheritance without booking it.

    Fields: `on` (the day it came to hand), `whose`, `died`, `valued_on` (empty: the day of death), `valued_by`,
    `place`, `paper`, `note`, and for each line n: `amount-n`, `kind-n`, `lot-n`, `value-n` (on the day valued),
    `own-n`. A value said as a quote is struck on the price of the day valued; whose price that was goes into
    `valued_by` if it is empty.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the inheritance")
    on = fields.past_day("on", kit.today())
    known = _day(fields, "died", on, needed=True)
    valued_on = _day(fields, "valued_on", kit.today())
    if known is not None and valued_on is not None and valued_on < known:
        fields.fault("valued_on", "That is before the day of death.")
    died = known or on
    day = valued_on or died
    lines: list[InheritedLine] = []
    taken: list[str] = []
    for number in numbers_of(form):
        said = read_line(kit, fields, number, taken)
        own_use = read_yes(fields, f"own-{number}")
        if said is None:
            continue
        line, goods = said
        lines.append(
            InheritedLine(
                **line,
                value=_worth(kit, fields, f"value-{number}", goods, day),
                own_use=own_use,
            )
        )
    _some(fields, lines)
    return Inherited(
        on=on,
        whose=fields.raw("whose"),
        died=died,
        valued_on=valued_on,
        valued_by=fields.raw("valued_by") or _struck_on(kit, form, day),
        lines=tuple(lines),
        place=fields.raw("place"),
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )


def inherit(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book an inheritance.

    Raises:
        Faults: every fault of the form.
        BookError: the book refuses it (a lot's name is taken).
    """
    return kit.journal.append(read_inheritance(kit, form))


def read_opening(kit: Kit, form: Mapping[str, str]) -> Opened:
    """Read an opening balance without booking it.

    Fields: `on` (the day from which it counts), `paper`, `note`, and for each line n: `amount-n`, `kind-n`, `lot-n`,
    `cost-n`, `acquired-n`, `how-n` (bought, given, inherited), `seller-n`, `place-n`, `own-n`. Cost, date and how are
    left empty where nobody knows them.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the opening balance")
    on = fields.past_day("on", kit.today())
    lines: list[OpenedLine] = []
    taken: list[str] = []
    for number in numbers_of(form):
        said = read_line(kit, fields, number, taken)
        acquired = _day(fields, f"acquired-{number}", on)
        own_use = read_yes(fields, f"own-{number}")
        how = fields.raw(f"how-{number}")
        if how and how not in HOW:
            fields.fault(f"how-{number}", f"It was {' or '.join(HOW)}; leave it empty where nobody knows.")
        if said is None:
            continue
        line, goods = said
        lines.append(
            OpenedLine(
                **line,
                cost=_worth(kit, fields, f"cost-{number}", goods, acquired),
                acquired=acquired,
                how=how,
                seller=fields.raw(f"seller-{number}"),
                place=fields.raw(f"place-{number}"),
                own_use=own_use,
            )
        )
    _some(fields, lines)
    return Opened(on=on, lines=tuple(lines), paper=fields.raw("paper"), note=fields.raw("note"))


def open_with(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book an opening balance.

    Raises:
        Faults: every fault of the form.
        BookError: the book refuses it (a lot's name is taken).
    """
    return kit.journal.append(read_opening(kit, form))


def _some(fields: Fields, lines: list[GivenLine] | list[InheritedLine] | list[OpenedLine]) -> None:
    """End the reading; a form without a line is at fault too."""
    if not lines and fields.sound:
        fields.fault("kind-1", "Say at least one line of goods.")
    fields.done()


def _day(fields: Fields, name: str, latest: date, *, needed: bool = False) -> date | None:
    """A day that may be left empty, and may not lie after another."""
    day = fields.read(name, read_day, None, needed=needed)
    if day is not None and day > latest:
        fields.fault(name, f"That is after {latest.isoformat()}.")
    return day


def _worth(kit: Kit, fields: Fields, name: str, goods: GoodsSaid, day: date | None) -> Decimal | None:
    """A sum, or a quote struck on the price of a day; none where nothing was said."""
    return read_worth(kit, fields, name, goods, None if day is None else kit.spot_or_none(day))


def _struck_on(kit: Kit, form: Mapping[str, str], day: date) -> str:
    """Whose price a value was struck on, where any was said as a quote; empty where all are plain sums."""
    said = [text for name, text in form.items() if name.startswith("value-")]
    if not any(_on_spot(text) for text in said):
        return ""
    try:
        stamp = kit.stamp(day)
    except NotFoundError:
        return ""
    return f"struck on {stamp.per_ozt} an ounce, {stamp.whose}: {stamp.note}"


def _on_spot(text: str) -> bool:
    """Whether words are a quote struck on spot."""
    try:
        return read_quote(text).form.needs_spot
    except InputError:
        return False
