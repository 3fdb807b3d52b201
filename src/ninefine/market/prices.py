"""What a metal cost on a day: the person's own marks first, packaged averages as a labelled fallback.

A price says whose it is, what kind of price, how old on the day asked, and whether that is too old to lean on.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from ninefine.book.holdings import PriceMark
from ninefine.errors import NotFoundError
from ninefine.market.series import Point, annual, metal_name, monthly

#: A mark older than this gives way to the month's average, and is stale where there is none.
FRESH_DAYS = 7

_FRIDAY = 4
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


class StampKind(StrEnum):
    """What kind of price it is; the value is how it is labelled wherever it shows."""

    OWN = "own mark"
    MONTH = "monthly average"
    YEAR = "annual average"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """The price of a metal on a day, and where it came from.

    Attributes:
        per_ozt: per fine troy ounce, in the book's currency for own marks, else U.S. dollars.
        metal: ISO 4217 code.
        on: the mark's own day, or the last day of the month or year averaged.
        asked: the day asked for.
        whose: who said it, or who published it.
        kind: own mark, monthly average, annual average.
        side: spot, bid or ask.
        stale_days: days from the price's end to the day asked; zero for the average of the very month or year.
        stale: too old to lean on.
        note: everything to say beside the figure.
    """

    per_ozt: Decimal
    metal: str
    on: date
    asked: date
    whose: str
    kind: StampKind
    side: str = "spot"
    stale_days: int
    stale: bool
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBoard:
    """Prices by day: the person's own over the packaged averages.

    Args:
        marks: prices that the person set down.
        averages: whether the packaged U.S. dollar averages may fill in; no for a book in another currency.
        fresh_days: how long a mark stands for the days after it.
    """

    marks: Sequence[PriceMark] = ()
    averages: bool = True
    fresh_days: int = FRESH_DAYS
    _ordered: dict[tuple[str, str], list[PriceMark]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def at(self, on: date, metal: str = "XAG", side: str = "spot") -> Stamp:
        """The price of a metal on a day.

        An own mark not older than `fresh_days` comes first; then the average of the month; then whatever was last
        known, flagged stale; then the average of the year.

        Raises:
            NotFoundError: nothing on or before that day.
        """
        mark = self._mark(on, metal, side)
        if mark is not None and (on - mark.on).days <= self.fresh_days:
            return self._own(mark, on)
        month = monthly(metal).before(on) if self.averages else None
        if month is not None and month.last >= on:
            return _average(month, on, metal, StampKind.MONTH)
        if mark is not None and (month is None or mark.on >= month.last):
            return self._own(mark, on)
        if month is not None:
            return _average(month, on, metal, StampKind.MONTH)
        year = annual(metal).before(on) if self.averages else None
        if year is not None:
            return _average(year, on, metal, StampKind.YEAR)
        raise NotFoundError(
            f"There is no price of {metal_name(metal)} on or before {on}.",
            expected="Set down a price that you read that day, with whose it was.",
            instead=(f"32.00 on {on}",),
        )

    def own(self, metal: str = "XAG") -> tuple[PriceMark, ...]:
        """The person's own marks of a metal, oldest first."""
        return tuple(sorted((mark for mark in self.marks if mark.metal == metal), key=_when))

    def _mark(self, on: date, metal: str, side: str) -> PriceMark | None:
        """The latest own mark of a side on or before a day; spot stands in for a bid or ask that was not read."""
        for wanted in dict.fromkeys((side, "spot")):
            marks = self._in_order(metal, wanted)
            at = bisect_right(marks, on, key=lambda mark: mark.on)
            if at:
                return marks[at - 1]
        return None

    def _in_order(self, metal: str, side: str) -> list[PriceMark]:
        """The own marks of a metal and side, oldest first; put in order once, since a chart asks for many days."""
        if (metal, side) not in self._ordered:
            marks = [mark for mark in self.marks if mark.metal == metal and mark.side == side]
            self._ordered[metal, side] = sorted(marks, key=_when)
        return self._ordered[metal, side]

    def _own(self, mark: PriceMark, asked: date) -> Stamp:
        age = (asked - mark.on).days
        stale = age > self.fresh_days
        parts = [f"{mark.side} on {mark.on}" + (f" {mark.at}" if mark.at else "")]
        if mark.on.weekday() > _FRIDAY:
            parts.append(f"a {_DAYS[mark.on.weekday()]}, so the Friday close")
        if age:
            parts.append(f"{age} day{'s' if age > 1 else ''} old" + (", stale" if stale else ""))
        if asked.weekday() > _FRIDAY and mark.on.weekday() <= _FRIDAY:
            parts.append(f"{_DAYS[asked.weekday()]} has no market: prices stand at the Friday close")
        return Stamp(
            per_ozt=mark.per_ozt,
            metal=mark.metal,
            on=mark.on,
            asked=asked,
            whose=mark.whose or "you",
            kind=StampKind.OWN,
            side=mark.side,
            stale_days=age,
            stale=stale,
            note="; ".join(parts),
        )


def _when(mark: PriceMark) -> tuple[date, str, int]:
    return mark.on, mark.at, mark.serial


def _average(point: Point, asked: date, metal: str, kind: StampKind) -> Stamp:
    age = max(0, (asked - point.last).days)
    span = f"{point.first:%B %Y}" if kind is StampKind.MONTH else str(point.first.year)
    parts = [f"{kind} of {span}, not the day's price"]
    if age:
        parts.append(f"ends {age} day{'s' if age > 1 else ''} before, stale")
    return Stamp(
        per_ozt=point.per_ozt,
        metal=metal,
        on=point.last,
        asked=asked,
        whose=point.source,
        kind=kind,
        stale_days=age,
        stale=age > 0,
        note="; ".join(parts),
    )
