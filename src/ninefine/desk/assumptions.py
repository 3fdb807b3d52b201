"""What is assumed to be left of each date: read from a form, kept in the book, and said beside all that rests on it."""

import re
from collections.abc import Mapping
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.errors import Fault, Faults, InputError, RangeError, UnreadableError
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.numbers import plain, read_decimal
from ninefine.sorting.survival import FLAT, Melt, Survival

#: The person's own settings stand in one table of the book, a row each.
SETTINGS = "setting"
SURVIVAL = "survival"
SURVIVAL_FIELDS = ("loss", "until", "melts")

_MELT = re.compile(
    r"(?P<year>\d{4})\s*[:=]?\s*(?P<share>\d[\d.]*)\s*%(?:\s+from\s+(?P<first>\d{4}))?(?:[\s,;]+(?P<words>\S.*))?",
    re.ASCII | re.IGNORECASE,
)


def kept_survival(kit: Kit) -> Survival:
    """The assumption that the person keeps; flat survival where none is kept."""
    row = kit.holdings().tables.get(SETTINGS, {}).get(SURVIVAL)
    return FLAT if row is None else survival_from(row)


def read_survival(fields: Fields, kept: Survival = FLAT) -> Survival:
    """Read an assumption from a form; the kept one where the form says nothing of it at all.

    Fields: `loss` (per cent of the pieces left that each year takes; 0 is flat), `until` (the year to which the loss
    runs), `melts` (a line each: `1980: 20%`, `1980: 20% from 1916`, words behind).
    """
    if not any(fields.raw(name) for name in SURVIVAL_FIELDS):
        return kept
    loss = fields.read("loss", read_loss, Decimal(0))
    until = fields.read("until", read_year, FLAT.until)
    melts = fields.read("melts", read_melts, FLAT.melts)
    return Survival(yearly_loss=loss, until=until, melts=melts)


def keep_survival(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Keep an assumption in the book, for every page that rests on one.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the assumption")
    found = read_survival(fields)
    fields.done()
    return set_down(kit, SETTINGS, SURVIVAL, survival_row(found))


def survival_fields(survival: Survival) -> dict[str, str]:
    """An assumption's form, filled in."""
    return {
        "loss": plain(survival.yearly_loss * 100),
        "until": str(survival.until),
        "melts": "\n".join(_melt_text(melt) for melt in survival.melts),
    }


def survival_row(survival: Survival) -> dict[str, object]:
    """An assumption in plain values, for the book's tables; `survival_from` reads it back."""
    melts = [
        filled(
            {
                "year": str(melt.year),
                "share": plain(melt.share),
                "first_year": text_or_none(melt.first_year),
                "words": melt.words,
            }
        )
        for melt in survival.melts
    ]
    return filled({"yearly_loss": plain(survival.yearly_loss), "until": str(survival.until), "melts": melts})


def survival_from(row: Mapping[str, object]) -> Survival:
    """Read an assumption back from plain values.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    melts = []
    for part in table.parts("melts"):
        year, share = part.count("year"), part.decimal("share", zero=True)
        first, words = part.count("first_year"), part.text("words")
        part.done()
        if year is not None and share is not None:
            melts.append((year, share, first, words))
    loss, until = table.decimal("yearly_loss", zero=True), table.count("until")
    table.done()
    if faults:
        raise Faults(faults, source="the assumption")
    return Survival(
        yearly_loss=loss or Decimal(0),
        until=FLAT.until if until is None else until,
        melts=tuple(Melt(year=year, share=share, first_year=first, words=words) for year, share, first, words in melts),
    )


def read_loss(text: str) -> Decimal:
    """Read a loss of each year in per cent, `1.5` or `1.5%`, as a part of one.

    Raises:
        UnreadableError: not a number.
        RangeError: below zero, or a hundred per cent and more.
    """
    value = read_decimal(text.strip().removesuffix("%").strip(), what="loss")
    if not 0 <= value < 100:
        raise RangeError(
            f"{plain(value)}% is no loss of a year.", expected="From 0 to below 100.", instead=("0", "1", "2.5%")
        )
    return value / 100


def read_melts(text: str) -> tuple[Melt, ...]:
    """Read melts, a line each.

    Raises:
        UnreadableError: a line that is no melt.
        RangeError: a share of a hundred per cent or more.
    """
    return tuple(_melt(line.strip()) for line in re.split(r"[\n;]", text) if line.strip())


def _melt(line: str) -> Melt:
    read = _MELT.fullmatch(line)
    if read is None:
        raise UnreadableError(
            f"{line[:40]!r} is not a melt.",
            expected="Write its year, the per cent that it took, and perhaps the first date that it touched.",
            instead=("1980: 20%", "1980: 20% from 1916"),
        )
    try:
        share = read_decimal(read["share"], what="per cent") / 100
    except InputError as error:
        raise UnreadableError(f"{line[:40]!r}: {error}") from error
    first = int(read["first"]) if read["first"] else None
    return Melt(year=int(read["year"]), share=share, first_year=first, words=read["words"] or "")


def _melt_text(melt: Melt) -> str:
    since = f" from {melt.first_year}" if melt.first_year is not None else ""
    words = f" {melt.words}" if melt.words else ""
    return f"{melt.year}: {plain(melt.share * 100)}%{since}{words}"


def read_year(text: str) -> int:
    """Read a year of four digits.

    Raises:
        UnreadableError: anything else.
    """
    said = text.strip()
    if not (said.isascii() and said.isdigit() and len(said) == 4):
        raise UnreadableError(f"{said[:12]!r} is not a year.", instead=("1916", "1964"))
    return int(said)
