"""Prices to look at: the price of today with whose it is, the person's own marks, the packaged averages."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.holdings import PriceMark
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError
from ninefine.market.prices import Stamp
from ninefine.market.series import Point, annual, monthly
from ninefine.measure.money import METALS

#: ISO 4217 code -> plain name, silver first.
METAL_NAMES = {code: name for code, (_, name) in METALS.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceView:
    """What is known of a metal's price.

    Attributes:
        metal, name: ISO 4217 code, and in plain words.
        stamp: the price of today, with whose it is and how old; none where no price is known.
        marks: the person's own marks, newest first, those asked for.
        all_marks: how many there are.
        averages: the packaged monthly averages, oldest first; empty for metals without.
        first_year: the first year of which an average is packaged, by month or year; zero where there is none.
        in_book: whether those averages stand in for a missing mark (they are in U.S. dollars).
    """

    metal: str
    name: str
    stamp: Stamp | None
    marks: tuple[PriceMark, ...]
    all_marks: int
    averages: tuple[Point, ...]
    first_year: int
    in_book: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class YearRow:
    """A year of averages: its mean, where the year is whole, and its months by number."""

    year: int
    mean: Decimal | None
    source: str
    months: dict[int, Decimal]


def price_view(kit: Kit, metal: str = "XAG", *, first: int = 0, most: int = 50) -> PriceView:
    """Gather what is known of a metal's price.

    Raises:
        NotFoundError: not one of the four metals.
    """
    if metal not in METAL_NAMES:
        raise NotFoundError(f"{metal[:12]!r} is not a metal held here.", instead=tuple(METAL_NAMES))
    try:
        stamp: Stamp | None = kit.stamp(metal=metal)
    except NotFoundError:
        stamp = None
    marks = kit.keep(("own marks", metal), lambda: kit.board().own(metal))
    return PriceView(
        metal=metal,
        name=METAL_NAMES[metal],
        stamp=stamp,
        marks=marks[::-1][first : first + most],
        all_marks=len(marks),
        averages=monthly(metal).points,
        first_year=min((point.first.year for point in annual(metal).points), default=0),
        in_book=kit.board().averages,
    )


def marks_between(kit: Kit, metal: str, first: date, last: date) -> tuple[PriceMark, ...]:
    """The person's own spot marks of some days, oldest first."""
    return tuple(mark for mark in kit.board().own(metal) if first <= mark.on <= last and mark.side == "spot")


def years(metal: str, *, first: int, last: int) -> tuple[YearRow, ...]:
    """Averages year by year, newest first."""
    means = {point.first.year: point for point in annual(metal).points}
    months: dict[int, dict[int, Decimal]] = {}
    sources: dict[int, str] = {}
    for point in monthly(metal).points:
        months.setdefault(point.first.year, {})[point.first.month] = point.per_ozt
        sources[point.first.year] = point.source
    return tuple(
        YearRow(
            year=year,
            mean=means[year].per_ozt if year in means else None,
            source=means[year].source if year in means else sources[year],
            months=months.get(year, {}),
        )
        for year in range(last, first - 1, -1)
        if year in means or year in months
    )
