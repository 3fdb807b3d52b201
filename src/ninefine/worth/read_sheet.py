"""Reading a sheet from plain values: every fault at its row and field."""

import re
from collections.abc import Callable, Mapping
from datetime import date

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Form, Kind
from ninefine.errors import Fault, Faults, UnreadableError
from ninefine.market.table import Table
from ninefine.worth.grades import Grade, read_grade
from ninefine.worth.sheet import Sheet, SheetRow

#: More rows than any person keeps.
MOST_ROWS = 100_000

_SLUG = re.compile(r"[a-z0-9][a-z0-9.-]{0,79}")
_KEY = re.compile(r"(?P<year>\d{4})(?:\s*-?\s*(?P<mint>[A-Za-z]{1,2}))?(?:\s*:\s*(?P<variety>.{1,60}))?", re.ASCII)


def sheet_from(row: Mapping[str, object], *, catalog: Catalog | None = None, today: date | None = None) -> Sheet:
    """Read a sheet from plain values: the fields that `Sheet.as_dict` writes.

    Args:
        row: `name`, `on`, `rows`, and perhaps `source` and `note`; a row has `kind`, `grade`, `low`, and perhaps
            `issue`, `high` (the same as `low` where not said), `source` and `on`.
        catalog: makes unknown kinds and issues faults; not checked where none.
        today: makes later days faults; not checked where none.

    Raises:
        Faults: every fault, each at its row and field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    reader = RowReader(on=table.day("on"), source=table.text("source"), catalog=catalog, today=today)
    if reader.on is None and "on" not in table:
        table.fault("on", "A sheet has a date: this is needed.")
    reader.check_day(table, reader.on)
    name = table.text("name", needed=True)
    note = table.text("note")
    parts = table.parts("rows", needed=True)
    if len(parts) > MOST_ROWS:
        raise Faults([Fault(where="rows", wrong=f"There are more than {MOST_ROWS} rows.")], source="the sheet")
    rows = [found for part in parts if (found := reader.read(part)) is not None]
    table.done()
    if faults or reader.on is None:
        raise Faults(faults, source=f"the sheet {name}" if name else "the sheet")
    return Sheet(name=name, on=reader.on, rows=tuple(rows), source=reader.source, note=note)


class RowReader:
    """Reads the rows of one sheet, and remembers them so that none stands twice.

    Args:
        on, source: the sheet's, for rows that do not say their own.
        catalog: makes unknown kinds and issues faults; not checked where none.
        today: makes later days faults; not checked where none.
        named: the slug of a kind by whatever the rows call it; the catalog's own slugs where none.
    """

    def __init__(
        self,
        *,
        on: date | None,
        source: str,
        catalog: Catalog | None,
        today: date | None,
        named: Callable[[str], str] | None = None,
    ) -> None:
        self.on = on
        self.source = source
        self._catalog = catalog
        self._today = today
        self._named = named
        self._seen: set[tuple[str, str, Grade]] = set()

    def read(self, table: Table) -> SheetRow | None:
        """Read one row; none, with its faults set down in the table, where a field cannot be used."""
        kind = table.read("kind", self._kind, "", needed=True)
        issue = table.read("issue", lambda said: self._issue(kind, said), None if "issue" in table else "")
        grade = table.read("grade", read_grade, None, needed=True)
        low = table.decimal("low", needed=True)
        high = table.decimal("high") or low
        source = table.text("source") or self.source
        own_day = table.day("on")
        self.check_day(table, own_day)
        on = own_day or self.on
        table.done()
        if low is not None and high is not None and high < low:
            table.fault("high", f"{high} is below the low price, {low}.")
        if not kind or issue is None or grade is None or low is None or high is None or on is None:
            return None
        if (kind, issue, grade) in self._seen:
            table.fault("grade", f"{kind} {issue or 'of any issue'} in {grade} stands here twice.")
        self._seen.add((kind, issue, grade))
        return SheetRow(kind=kind, issue=issue, grade=grade, low=low, high=high, source=source, on=on)

    def check_day(self, table: Table, on: date | None) -> None:
        """Set down a fault where a day has not come yet."""
        if on is not None and self._today is not None and on > self._today:
            table.fault("on", f"{on} has not come yet.")

    def _kind(self, said: str) -> str:
        if self._named is not None:
            return self._named(said)
        if self._catalog is not None:
            return self._catalog.kind(said).slug
        if not _SLUG.fullmatch(said):
            raise UnreadableError(f"{said[:40]!r} is not the name of a kind.", instead=("us-dime-mercury",))
        return said

    def _issue(self, kind: str, said: str) -> str:
        read = _KEY.fullmatch(said)
        if read is None:
            raise UnreadableError(
                f"{said[:40]!r} is not an issue.",
                expected="An issue is a year, a mint and perhaps a variety; leave it out for any issue of the kind.",
                instead=("1921-D", "1964", "1942-P:2 over 1"),
            )
        mint, variety = (read["mint"] or "").upper(), read["variety"] or ""
        if self._catalog is None or not kind:
            return written(read["year"], mint, variety)
        return issue_of(self._catalog, self._catalog.kind(kind), int(read["year"]), mint, variety)


def issue_of(catalog: Catalog, kind: Kind, year: int, mint: str, variety: str = "") -> str:
    """The key of an issue that may have been struck. No letter means Philadelphia on U.S. coin made for use.

    Raises:
        NotFoundError: no such variety.
        NeverStruckError: never struck; says what was.
    """
    if not mint and kind.country == "US" and kind.form is not Form.BULLION:
        mint = "P"
    catalog.check_issue(kind.slug, year, mint, variety)
    return written(str(year), mint, variety)


def written(year: str, mint: str, variety: str) -> str:
    """An issue as `Issue.key` writes it: `1921-D`, `1942-P:2 over 1`, `1967` where no mint is told."""
    return year + (f"-{mint}" if mint else "") + (f":{variety}" if variety else "")
