"""Bringing a person's own list into the book: looked at first, then booked whole or not at all.

What the person says of a list's columns is remembered by the make of its headings, and the list itself by a digest of
its cells, so that it is not brought in twice unawares.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial
from typing import TypeVar

from ninefine.book.chain import Stored
from ninefine.book.entries import Fact, Listed, Opened
from ninefine.book.holdings import Holdings
from ninefine.desk.book_settings import settings
from ninefine.desk.bring_doubts import doubts
from ninefine.desk.bring_facts import Booked, Terms, facts_of, is_sale
from ninefine.desk.bring_rows import Goods, decide_ways
from ninefine.desk.describe import describe
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.picks import read_yes
from ninefine.desk.sale import RULES
from ninefine.desk.tables import rows_said_by
from ninefine.errors import Fault, Faults, RangeError, UnreadableError
from ninefine.intake.below_zero import without_signs
from ninefine.intake.book_columns import PRICE_OR_EACH, Heading, Purpose, named
from ninefine.intake.book_sheet import BookSheet, HowRead, PassedOver, read_book_sheet
from ninefine.intake.columns import LEFT_OUT
from ninefine.intake.day_order import DayOrder
from ninefine.intake.heads import SEARCHED, shape_of, words_of
from ninefine.intake.number_marks import DecimalMark
from ninefine.intake.raw_table import RawTable, read_raw
from ninefine.measure.numbers import read_reference

#: The book's tables of what was said of columns, by the make of headings, and of lists that were brought in.
COLUMNS_TABLE, BROUGHT_TABLE = "columns", "list"

E = TypeVar("E", bound=StrEnum)


@dataclass(frozen=True, slots=True, kw_only=True)
class LookLine:
    """A line as it would be booked, in words."""

    line: int
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A list as it was read, before anything is booked.

    Attributes:
        purpose: what it is of.
        table: the file as it was handed in.
        sheet: what was read of it, line by line.
        lines: every line as it would be booked, in the order of the file.
        facts: the entries that it comes to, in the order in which they would be booked.
        price: what a column that may be money for the line or for a piece was found to be.
        turned: headings of columns whose every figure stood below zero, and was read without its sign.
        unknown: words that mean no kind.
        said: what the person says of the list, now or before; kept in the book with it.
        remembered: whether some of that was said before, of a list with such headings.
        before: the entry by which the same list was brought in already; none where it was not.
        doubts: lines whose money is far from melt; nothing is refused for it.
        faults: everything that is wrong, each with its line; nothing can be booked while there are any.
    """

    purpose: Purpose
    table: RawTable
    sheet: BookSheet
    lines: tuple[LookLine, ...]
    facts: tuple[Fact, ...]
    price: str
    turned: tuple[str, ...]
    unknown: tuple[str, ...]
    said: Mapping[str, object]
    remembered: bool
    before: int | None
    doubts: tuple[LookLine, ...]
    faults: tuple[Fault, ...]

    @property
    def headings(self) -> tuple[Heading, ...]:
        """Every column with what it was read as."""
        return self.sheet.headings

    def meant(self, heading: Heading) -> str:
        """What a column was read as, in words: `left out` and `not known` among them."""
        if heading.name == PRICE_OR_EACH:
            told = not any(fault.where.endswith(f", {words_of(heading)}") for fault in self.faults)
            return f"{self.price}, as the figures tell" if told else "not known"
        return "left out" if heading.name == LEFT_OUT else heading.name or "not known"

    @property
    def passed_over(self) -> tuple[PassedOver, ...]:
        """Lines that were not read, and why."""
        return self.sheet.passed_over

    @property
    def ready(self) -> bool:
        """Whether it can be booked."""
        return not self.faults and bool(self.facts)


def look_at(kit: Kit, form: Mapping[str, str], name: str, data: bytes) -> Look:
    """Read a list without booking anything; what is wrong with its lines stands in the answer.

    Fields: `as` (purchases, holdings, sales or dealings); all others may be empty: `sheet` (of a workbook), `head` (the
    line of headings), `days` (year-month-day, day-month-year, month-day-year), `decimals` (point, comma), `repeat`
    (yes: an empty day or seller is the one above), `on` (from which opening balances count), `rule` (which lots go
    first), for columns named by hand `head-n` and `col-n`, for words that mean a kind `word-n` and `means-n`.

    Raises:
        Faults: every fault of the form itself; or cells that cannot be told apart.
        InputError: the file is no table.
    """
    fields = Fields(form, source="the list")
    purpose = _choice(fields, "as", Purpose, needed=True) or Purpose.PURCHASES
    days, decimals = _choice(fields, "days", DayOrder), _choice(fields, "decimals", DecimalMark)
    head = fields.count("head")
    repeat = read_yes(fields, "repeat")
    on = fields.past_day("on", kit.today())
    rule = fields.raw("rule") or settings(kit).rule.value
    if rule not in RULES:
        fields.fault("rule", f"Lots go {' or '.join(RULES)}.")
    fields.done()
    said = _Said(
        how=HowRead(head=head, columns=_pairs(form, "head-", "col-"), days=days, decimals=decimals, repeat=repeat),
        words=_pairs(form, "word-", "means-"),
    )
    table = read_raw(name, data, sheet=fields.raw("sheet"), known=lambda text: bool(named(text, purpose)))
    return _look(kit, table, Terms(purpose=purpose, on=on, rule=rule), said)


def bring(kit: Kit, form: Mapping[str, str], name: str, data: bytes) -> tuple[Stored, ...]:
    """Book a list whole: every entry that it comes to, what was said of its columns, and that it was brought in.

    Fields as for `look_at`, and `again` (yes: though it was brought in before).

    Raises:
        Faults: every fault, each with its line; nothing is booked then.
        RangeError: it was brought in before.
        BookError: the book has changed meanwhile and cannot hold it.
    """
    seen = look_at(kit, form, name, data)
    if seen.faults:
        raise Faults(seen.faults, source=name)
    again = read_yes(Fields(form, source="the list"), "again")
    if seen.before is not None and not again:
        raise RangeError(
            f"This list was brought in already: entry {seen.before} says so.",
            expected="Bring it in again only if all of it happened twice.",
        )
    today = kit.today()
    entries: list[Fact] = list(seen.facts)
    make = _known_make(kit, seen.table, seen.sheet) or _make_of(seen.sheet)
    if seen.said and seen.said != kit.holdings().tables.get(COLUMNS_TABLE, {}).get(make):
        entries.append(Listed(on=today, table=COLUMNS_TABLE, key=make, body=dict(seen.said)))
    digest = seen.table.digest
    body = {"digest": digest, "as": seen.purpose.value, "lines": len(seen.lines), "entries": len(seen.facts)}
    entries.append(Listed(on=today, table=BROUGHT_TABLE, key=f"{name[:50]} ({digest[:12]})", body=body))
    check = None if again else partial(_not_before, digest=seen.table.digest)
    return kit.journal.append_all(entries, check=check)


def _not_before(held: Holdings, digest: str) -> None:
    """Refuse a list that another window brought in meanwhile."""
    if _brought_as(held, digest) is not None:
        raise RangeError("This list was brought in by another window just now.")


def _brought_as(held: Holdings, digest: str) -> str | None:
    """The name under which the book holds that a list was brought in."""
    rows = held.tables.get(BROUGHT_TABLE, {}).items()
    return next((key for key, row in rows if row.get("digest") == digest), None)


def _make_of(sheet: BookSheet) -> str:
    """The make of a list's headings: some of their words, and a digest of them all."""
    if sheet.heads is None:
        return ""
    words = ", ".join(each.words for each in sheet.headings if each.words)
    return f"{words[:50]} ({sheet.heads.shape})"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """What the person says of a list now."""

    how: HowRead
    words: Mapping[str, str]


def _look(kit: Kit, table: RawTable, terms: Terms, said: _Said) -> Look:
    purpose, currency = terms.purpose, kit.journal.currency
    first = read_book_sheet(table, purpose, said.how, today=kit.today(), currency=currency)
    before = kit.holdings().tables.get(COLUMNS_TABLE, {}).get(_known_make(kit, table, first), {})
    whole = _with(said, before)
    sheet = first if whole.how == said.how else read_book_sheet(
        table, purpose, whole.how, today=kit.today(), currency=currency
    )  # fmt: skip
    faults = list(sheet.faults)
    goods = Goods(kit.catalog(), whole.words)
    rows, turned = without_signs(sheet.rows, faults)
    ways = decide_ways(rows, partial(is_sale, purpose=purpose), faults)
    booked = facts_of(kit, rows, goods, replace(terms, ways=ways), faults)
    brought = _brought_as(kit.holdings(), table.digest)
    return Look(
        purpose=purpose,
        table=table,
        sheet=sheet,
        lines=tuple(sorted(_lines(kit, booked), key=lambda one: one.line)),
        facts=tuple(each.fact for each in booked),
        price=ways.price,
        turned=turned,
        unknown=tuple(goods.unknown),
        said=_kept(whole, purpose),
        remembered=bool(before) and whole != said,
        before=None if brought is None else rows_said_by(kit, BROUGHT_TABLE)[brought],
        doubts=tuple(LookLine(line=line, sentence=words) for each in booked for line, words in doubts(kit, each)),
        faults=tuple(sorted(faults, key=_place_of)),
    )


def _place_of(fault: Fault) -> tuple[int, str]:
    line = fault.where.partition(",")[0].removeprefix("line ")
    return read_reference(line) or 0, fault.where


def _lines(kit: Kit, booked: list[Booked]) -> list[LookLine]:
    """Every line as it would be booked; opening balances one by one, though several go into one entry."""
    found = []
    for each in booked:
        parts: list[Fact] = [each.fact]
        if isinstance(each.fact, Opened):
            whole = each.fact
            parts = [Opened(on=whole.on, lines=(line,), paper=whole.paper, note=whole.note) for line in whole.lines]
        found += [
            LookLine(line=line, sentence=f"{part.on.isoformat()}. {describe(part, kit.catalog())}")
            for line, part in zip(each.lines, parts, strict=True)
        ]
    return found


def _known_make(kit: Kit, table: RawTable, sheet: BookSheet) -> str:
    """The make of headings that the book holds and the list has, whether or not they can be read by themselves."""
    makes = kit.holdings().tables.get(COLUMNS_TABLE, {})
    lines = [line for line in table.lines if not line.blank][:SEARCHED] if makes else []
    shapes = [shape_of([cell.text for cell in line.cells]) for line in lines]
    shapes += [sheet.heads.shape] if sheet.heads else []
    return next((make for make in makes if any(make.endswith(f"({shape})") for shape in shapes)), "")


def _with(said: _Said, before: Mapping[str, object]) -> _Said:
    """What is said now over what was said before."""
    how = said.how
    days, decimals = before.get("days"), before.get("decimals")
    return _Said(
        how=HowRead(
            head=how.head,
            columns={**_texts(before.get("columns")), **how.columns},
            days=how.days or (DayOrder(str(days)) if days in set(DayOrder) else None),
            decimals=how.decimals or (DecimalMark(str(decimals)) if decimals in set(DecimalMark) else None),
            repeat=how.repeat or before.get("repeat") is True,
        ),
        words={**_texts(before.get("words")), **said.words},
    )


def _kept(said: _Said, purpose: Purpose) -> dict[str, object]:
    """What is said of a list, in plain values for the book's table; what its headings say by themselves left out."""
    how = said.how
    row: dict[str, object] = {
        "columns": {words: name for words, name in how.columns.items() if name != named(words, purpose)},
        "words": dict(said.words),
        "days": how.days.value if how.days else "",
        "decimals": how.decimals.value if how.decimals else "",
        "repeat": how.repeat,
    }
    return {name: value for name, value in row.items() if value}


def _texts(value: object) -> dict[str, str]:
    return {str(name): str(text) for name, text in value.items()} if isinstance(value, Mapping) else {}


def _choice(fields: Fields, name: str, kind: type[E], *, needed: bool = False) -> E | None:
    def read(text: str) -> E:
        try:
            return kind(text.lower())
        except ValueError as error:
            raise UnreadableError(
                f"{text[:30]!r} is not one of them.", instead=[each.value for each in kind]
            ) from error

    return fields.read(name, read, None, needed=needed)


def _pairs(form: Mapping[str, str], left: str, right: str) -> dict[str, str]:
    """Numbered pairs of a form, `head-1` and `col-1`; those with an empty right side say nothing."""
    found = {}
    for field, text in form.items():
        number = field.removeprefix(left)
        if field.startswith(left) and number.isdigit() and text.strip() and form.get(f"{right}{number}", "").strip():
            found[text.strip()] = form[f"{right}{number}"].strip()
    return found
