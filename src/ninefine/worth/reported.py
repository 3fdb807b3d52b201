"""Sales as a broker reported them (in the United States on Form 1099-B), held against what the book says.

A difference is shown and nothing is decided: a report may count before fees, leave the basis out, or be wrong.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.gains import GainRow
from ninefine.errors import Fault, Faults
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.numbers import plain

ZERO = Decimal(0)
#: A report and a sale of one amount may lie so many days apart: a broker reports by trade or by settlement.
NEAR_DAYS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Reported:
    """One line of a broker's report.

    Attributes:
        name: what the person calls it: its row's key.
        on: the date of sale that it names.
        proceeds: as reported.
        gross: whether those are before fees.
        basis: as reported; none where it was not.
        to_authority: whether the basis was reported to the tax authority too.
        entry: the number of the sale's entry in the book; none where it is to be found by day and amount.
        broker: who reported.
        note: a remark.
    """

    name: str
    on: date
    proceeds: Decimal
    gross: bool = True
    basis: Decimal | None = None
    to_authority: bool = False
    entry: int | None = None
    broker: str = ""
    note: str = ""

    def as_dict(self) -> dict[str, object]:
        """The line in plain values, ready for the book's tables; `reported_from` reads it back."""
        return filled(
            {
                "on": self.on.isoformat(),
                "proceeds": plain(self.proceeds),
                "gross": "yes" if self.gross else "no",
                "basis": text_or_none(self.basis),
                "to_authority": "yes" if self.to_authority else "",
                "entry": text_or_none(self.entry),
                "broker": self.broker,
                "note": self.note,
            }
        )


def reported_from(name: str, row: Mapping[str, object]) -> Reported:
    """Read a line from plain values: the fields that `Reported.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    on = table.day("on")
    if "on" not in table:
        table.fault("on", "This is needed: the date of sale that the report names.")
    proceeds = table.decimal("proceeds", zero=True, needed=True)
    found = Reported(
        name=name,
        on=on or date.min,
        proceeds=proceeds or ZERO,
        gross=_yes(table, "gross", default=True),
        basis=table.decimal("basis", zero=True),
        to_authority=_yes(table, "to_authority", default=False),
        entry=table.count("entry"),
        broker=table.text("broker"),
        note=table.text("note"),
    )
    table.done()
    if found.to_authority and found.basis is None:
        table.fault("basis", "A basis that was reported to the authority is a figure on the report; give it.")
    if faults:
        raise Faults(faults, source="the report")
    return found


def _yes(table: Table, name: str, *, default: bool) -> bool:
    said = table.text(name).lower()
    if said not in {"", "yes", "no"}:
        table.fault(name, "Say yes or no.")
    return default if not said else said == "yes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """A line of a report beside the sale in the book that it is about.

    Attributes:
        reported: the line.
        serial: the sale's entry; none where no sale fits, and then all figures of the book are none.
        rows: the sale's rows.
        brought: what the book says it brought, before fees or after, as the report counts.
        basis: the basis in the book; none where a part of it is not known.
        off: reported less booked proceeds. basis_off: reported less booked basis.
        why: why no sale fits.
    """

    reported: Reported
    serial: int | None
    rows: tuple[GainRow, ...] = ()
    brought: Decimal | None = None
    basis: Decimal | None = None
    off: Decimal | None = None
    basis_off: Decimal | None = None
    why: str = ""

    @property
    def agrees(self) -> bool:
        """Whether the report says what the book says, as far as it says anything."""
        return self.serial is not None and not self.off and not self.basis_off


@dataclass(frozen=True, slots=True, kw_only=True)
class Reconciled:
    """All lines of reports beside the book, and the year's sales that no report speaks of."""

    matches: tuple[Match, ...]
    unreported: tuple[int, ...]


def reconcile(reports: Iterable[Reported], rows: Sequence[GainRow]) -> Reconciled:
    """Hold a year's reports against its sales.

    A line that names an entry is about it; another is about the nearest sale of the same amount within ten days that no
    other line is about.
    """
    sales: dict[int, list[GainRow]] = {}
    for row in rows:
        sales.setdefault(row.disposal.serial, []).append(row)
    lines = sorted(reports, key=lambda line: (line.entry is None, line.on, line.name))
    taken: set[int] = set()
    matches: list[Match] = []
    for line in lines:
        serial = line.entry if line.entry is not None else _nearest(line, sales, taken)
        if serial in taken:
            matches.append(Match(reported=line, serial=None, why=f"Another line is about entry {serial}."))
        elif serial is None or serial not in sales:
            matches.append(Match(reported=line, serial=None, why=_why_not(line)))
        else:
            taken.add(serial)
            matches.append(_match(line, serial, tuple(sales[serial])))
    matches.sort(key=lambda match: (match.reported.on, match.reported.name))
    return Reconciled(matches=tuple(matches), unreported=tuple(serial for serial in sales if serial not in taken))


def _nearest(line: Reported, sales: Mapping[int, Sequence[GainRow]], taken: set[int]) -> int | None:
    near = [
        (abs((rows[0].disposal.on - line.on).days), serial)
        for serial, rows in sales.items()
        if serial not in taken
        and abs((rows[0].disposal.on - line.on).days) <= NEAR_DAYS
        and _brought(rows, gross=line.gross) == line.proceeds
    ]
    return min(near)[1] if near else None


def _why_not(line: Reported) -> str:
    if line.entry is not None:
        return f"Entry {line.entry} is no sale of that year."
    amount = plain(line.proceeds)
    return f"No sale of {amount} lies within {NEAR_DAYS} days of {line.on}. Name its entry, if it is another."


def _match(line: Reported, serial: int, rows: tuple[GainRow, ...]) -> Match:
    brought = _brought(rows, gross=line.gross)
    known = [row.basis for row in rows if row.basis is not None]
    basis = sum(known, ZERO) if len(known) == len(rows) else None
    return Match(
        reported=line,
        serial=serial,
        rows=rows,
        brought=brought,
        basis=basis,
        off=line.proceeds - brought,
        basis_off=None if line.basis is None or basis is None else line.basis - basis,
    )


def _brought(rows: Sequence[GainRow], *, gross: bool) -> Decimal:
    return sum((row.disposal.proceeds if gross else row.net for row in rows), ZERO)
