"""A sheet: the person's own dated table of collector prices, and the prices between the grades that it lists.

Between two listed grades the logarithm of the price runs in a straight line over the numbers of the scale, the low and
the high price each by itself: VF30 lies halfway from VF20 to EF40, so of 12 and 27 it is 18, the square root of their
product. At a listed grade the price is the listed one; outside the listed grades there is none. Such a price rises
wherever the listed ones rise. Nothing here ships with prices.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise

from ninefine.errors import RangeError
from ninefine.market.table import filled
from ninefine.measure.numbers import EXACT, plain
from ninefine.worth.grades import Grade


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """What one issue brings in one grade.

    Attributes:
        kind: the catalog's slug.
        issue: year, mint and variety as `Issue.key` writes them; empty for any issue of the kind.
        grade: a point of the scale.
        low, high: money for one piece, above zero.
        source, on: whose figure it is, and of what day.
    """

    kind: str
    issue: str = ""
    grade: Grade
    low: Decimal
    high: Decimal
    source: str = ""
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A dated table of collector prices.

    Attributes:
        name: what the person calls it.
        on: its date; a row may bear one of its own.
        rows: in the order in which they stand.
        source: whose figures they are, where a row does not say.
        note: anything to be shown beside every price, such as that the prices are invented.
    """

    name: str
    on: date
    rows: tuple[SheetRow, ...]
    source: str = ""
    note: str = ""

    def as_dict(self) -> dict[str, object]:
        """The sheet in plain values, ready for the book's tables; `sheet_from` reads it back."""
        return filled(
            {
                "name": self.name,
                "on": self.on.isoformat(),
                "source": self.source,
                "note": self.note,
                "rows": [self._row_dict(row) for row in self.rows],
            }
        )

    def _row_dict(self, row: SheetRow) -> dict[str, object]:
        return filled(
            {
                "kind": row.kind,
                "issue": row.issue,
                "grade": str(row.grade),
                "low": plain(row.low),
                "high": plain(row.high),
                "source": "" if row.source == self.source else row.source,
                "on": "" if row.on == self.on else row.on.isoformat(),
            }
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """What a sheet says of one issue in one striking: its rows from the lowest grade to the highest."""

    sheet: str
    note: str
    rows: tuple[SheetRow, ...]

    @property
    def on(self) -> date:
        """The day of the oldest of its prices: a curve is as old as that."""
        return min(row.on for row in self.rows)

    @property
    def sources(self) -> tuple[str, ...]:
        """Whose figures they are."""
        return tuple(dict.fromkeys(row.source for row in self.rows if row.source))

    @property
    def span(self) -> str:
        """The grades that it covers, in words."""
        first, last = self.rows[0].grade, self.rows[-1].grade
        return str(first) if first == last else f"{first} to {last}"

    def around(self, number: int) -> tuple[SheetRow, SheetRow]:
        """The listed rows on either side of a number of the scale; the same row twice where it is listed.

        Raises:
            RangeError: outside the listed grades.
        """
        below = [row for row in self.rows if row.grade.number <= number]
        above = [row for row in self.rows if row.grade.number >= number]
        if not below or not above:
            grade = Grade(number=number, proof=self.rows[0].grade.proof)
            raise RangeError(
                f"{self.sheet} lists {self.span} here, and {grade} is outside.",
                expected="A price is told between listed grades and at them, never beyond.",
            )
        return below[-1], above[0]

    def at(self, number: int) -> tuple[Decimal, Decimal]:
        """The low and the high price at a number of the scale: as listed, or between its neighbours to 40 digits.

        Raises:
            RangeError: outside the listed grades.
        """
        below, above = self.around(number)
        if below is above:
            return below.low, below.high
        part = EXACT.divide(Decimal(number - below.grade.number), Decimal(above.grade.number - below.grade.number))
        return between(below.low, above.low, part), between(below.high, above.high, part)

    @property
    def dips(self) -> tuple[tuple[SheetRow, SheetRow], ...]:
        """Neighbouring rows at which the sheet's own prices fall as the grade rises."""
        return tuple(
            (lower, higher)
            for lower, higher in pairwise(self.rows)
            if higher.low < lower.low or higher.high < lower.high
        )


def between(low: Decimal, high: Decimal, part: Decimal) -> Decimal:
    """A price a part of the way (0 to 1) from one to another by their logarithms, to 40 digits."""
    return EXACT.multiply(low, EXACT.power(EXACT.divide(high, low), part))


def curves_of(sheet: Sheet) -> Mapping[tuple[str, str, bool], Curve]:
    """A sheet's curves, by kind, issue and whether struck as a proof."""
    rows: dict[tuple[str, str, bool], list[SheetRow]] = {}
    for row in sheet.rows:
        rows.setdefault((row.kind, row.issue, row.grade.proof), []).append(row)
    return {key: Curve(sheet=sheet.name, note=sheet.note, rows=_sorted(group)) for key, group in rows.items()}


def _sorted(rows: Iterable[SheetRow]) -> tuple[SheetRow, ...]:
    return tuple(sorted(rows, key=lambda row: row.grade.number))
