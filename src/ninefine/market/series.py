"""The packaged price tables: monthly and annual averages of silver and gold, and the consumer price index. Read late.

Terms and reach of each table: `licence_text`. No table holds a day's price; there is none under an open licence.
"""

import csv
from bisect import bisect_right
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from importlib.resources import files

from ninefine.errors import NotFoundError
from ninefine.measure.money import METALS
from ninefine.measure.numbers import EXACT

#: What the licence of the monthly tables asks to be printed beside them.
ATTRIBUTION = (
    "The World Bank: World Bank Commodity Price Data (The Pink Sheet): World Bank; London Bullion Market; Handy & "
    "Harman (silver before July 1976). Licensed CC BY 4.0. Changes: two columns extracted, dates rewritten, values "
    "rounded to 4 decimals, editions joined, annual means computed. Silver 1900-1959: U.S. Geological Survey, "
    "Data Series 140."
)

_MONTHLY = {"XAG": "silver_monthly.csv", "XAU": "gold_monthly.csv"}
_ANNUAL = {"XAG": "silver_annual.csv", "XAU": "gold_annual.csv"}
_DECEMBER = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One average: dollars per troy ounce over a month or a year, and who published it."""

    first: date
    last: date
    per_ozt: Decimal
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSeries:
    """Averages of one metal in order of time; `step` is month or year."""

    metal: str
    step: str
    points: tuple[Point, ...]

    def before(self, on: date) -> Point | None:
        """The average of the month or year that holds a day, or else the last one before it; none before the first."""
        at = bisect_right(self.points, on, key=lambda point: point.first)
        return self.points[at - 1] if at else None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceIndex:
    """A consumer price index: its mean of each year."""

    name: str
    source: str
    means: dict[int, Decimal]

    def in_dollars_of(self, year: int, amount: Decimal, paid_in: int) -> Decimal:
        """What an amount of one year comes to in dollars of another, to 40 digits.

        Raises:
            NotFoundError: a year outside the table.
        """
        return EXACT.divide(EXACT.multiply(amount, self.mean(year)), self.mean(paid_in))

    def mean(self, year: int) -> Decimal:
        """The index's mean of a year.

        Raises:
            NotFoundError: a year outside the table.
        """
        if year not in self.means:
            first, last = min(self.means), max(self.means)
            raise NotFoundError(
                f"There is no consumer price index for {year}.",
                expected=f"The table reaches from {first} to {last}.",
                instead=(str(min(max(year, first), last)),),
            )
        return self.means[year]


@cache
def monthly(metal: str) -> PriceSeries:
    """Monthly averages of silver (XAG) or gold (XAU), 1960 on; empty for other metals."""
    return PriceSeries(metal=metal, step="month", points=_points(_MONTHLY.get(metal)))


@cache
def annual(metal: str) -> PriceSeries:
    """Annual averages of silver (1900 on) or gold (1960 on); empty for other metals."""
    return PriceSeries(metal=metal, step="year", points=_points(_ANNUAL.get(metal)))


@cache
def consumer_prices() -> PriceIndex:
    """CPI-U, U.S. city average, annual means, 1982-84 = 100 (Bureau of Labor Statistics; public domain)."""
    rows = _rows("cpi_u_annual.csv")
    return PriceIndex(
        name="CPI-U, 1982-84 = 100",
        source=rows[0]["source"],
        means={int(row["date"]): Decimal(row["index_1982_84_100"]) for row in rows},
    )


def licence_text() -> str:
    """Where the packaged prices come from, and under what terms."""
    return (files("ninefine.market") / "data" / "LICENCE.md").read_text(encoding="utf-8")


def metal_name(code: str) -> str:
    """A metal's plain name by its ISO 4217 code."""
    return METALS[code][1]


def _rows(name: str) -> list[dict[str, str]]:
    text = (files("ninefine.market") / "data" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _points(name: str | None) -> tuple[Point, ...]:
    if name is None:
        return ()
    return tuple(
        Point(
            first=_first(row["date"]),
            last=_last(row["date"]),
            per_ozt=Decimal(row["usd_per_ozt"]),
            source=row["source"],
        )
        for row in _rows(name)
    )


def _first(text: str) -> date:
    year, _, month = text.partition("-")
    return date(int(year), int(month or 1), 1)


def _last(text: str) -> date:
    year, _, month = text.partition("-")
    number = int(month or _DECEMBER)
    following = date(int(year) + number // _DECEMBER, number % _DECEMBER + 1, 1)
    return date.fromordinal(following.toordinal() - 1)
