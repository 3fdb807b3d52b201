"""The stack through time: fine ounces, melt and cost at the end of each month, each month with the stack of its day.

One walk through the book, however many months: between two stops only the lots that changed are reckoned anew.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.book.holdings import Lot
from ninefine.book.walk import walk
from ninefine.catalog.kinds import Basis, Form, Kind
from ninefine.errors import NotFoundError
from ninefine.market.prices import Stamp
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, to_places
from ninefine.worth.ounces import ounces_of

ZERO = Decimal(0)
#: A lot's ounces are rounded to so many places, so that adding them and taking them off again leaves exactly nothing.
_PLACES = 15
#: The price of a metal on a day, with whose it is; none where none is known.
StampOn = Callable[[date, str], Stamp | None]


@dataclass(slots=True)
class _Sums:
    """Sums over lots, or what one lot adds to them."""

    ozt: dict[str, Decimal] = field(default_factory=dict)
    awaited: dict[str, Decimal] = field(default_factory=dict)
    constitutional: Decimal = ZERO
    cost: Decimal = ZERO
    uncosted: Decimal = ZERO

    def add(self, other: "_Sums", sign: int = 1) -> None:
        for mine, theirs in ((self.ozt, other.ozt), (self.awaited, other.awaited)):
            for metal, ozt in theirs.items():
                mine[metal] = mine.get(metal, ZERO) + sign * ozt
        self.constitutional += sign * other.constitutional
        self.cost += sign * other.cost
        self.uncosted += sign * other.uncosted


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """The stack at the end of a day.

    Attributes:
        on: the day.
        basis: which ounces are counted.
        ozt: fine ounces here, by metal. awaited: those paid for and on their way.
        constitutional: constitutional coin's fine silver.
        stamps: the price of each metal held, with whose it is; a metal without a price is missing.
        melt: of what is here and priced; none where nothing is priced.
        awaited_melt: of what is on its way; zero where nothing is.
        cost: what all that is held and on its way cost, as far as that is known.
        uncosted: fine silver of which nobody knows the cost.
    """

    on: date
    basis: Basis
    ozt: Mapping[str, Decimal]
    awaited: Mapping[str, Decimal]
    constitutional: Decimal
    stamps: Mapping[str, Stamp]
    melt: Decimal | None
    awaited_melt: Decimal
    cost: Decimal
    uncosted: Decimal

    @property
    def worth(self) -> Decimal | None:
        """The melt of what is here and on its way; none where something is held and nothing of it has a price."""
        if self.melt is None and not self.awaited_melt and (self.ozt or self.awaited):
            return None
        return (self.melt or ZERO) + self.awaited_melt


def month_ends(first: date, last: date) -> tuple[date, ...]:
    """The last day of each month from the month of one day to that of another, and at the end the other day itself."""
    days: list[date] = []
    year, month = first.year, first.month
    while True:
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        end = date(year, month, 1) - timedelta(days=1)
        if end >= last:
            return (*days, last)
        days.append(end)


def history(
    records: Iterable[Stored],
    stops: Iterable[date],
    *,
    kind_of: Callable[[str], Kind],
    stamp_on: StampOn,
    basis: Basis = Basis.TRADE,
    currency: str = "USD",
) -> Iterator[Point]:
    """The stack at the end of some days, given in rising order.

    Args:
        records: the book's.
        stops: the days.
        kind_of: the catalog's `kind`; heaps of a kind that it does not hold are in no figure but cost.
        stamp_on: the price of a metal on a day.
        basis: which ounces to count.
        currency: the book's, for rounding.
    """
    whole = _Sums()
    parts: dict[str, _Sums] = {}
    for step in walk(records, stops, currency=currency):
        for name, lot in step.changed.items():
            if name in parts:
                whole.add(parts[name], -1)
            parts[name] = _sums_of(lot, kind_of, basis)
            whole.add(parts[name])
        yield _point(step.on, whole, basis, stamp_on, currency)


def _sums_of(lot: Lot, kind_of: Callable[[str], Kind], basis: Basis) -> _Sums:
    sums = _Sums()
    for heap in lot.heaps:
        sums.cost += heap.basis
        try:
            kind = kind_of(heap.kind)
        except NotFoundError:
            continue
        ozt = to_places(ounces_of(heap, kind).on(basis).ozt, _PLACES)
        place = sums.awaited if lot.awaited else sums.ozt
        place[kind.metal] = place.get(kind.metal, ZERO) + ozt
        if kind.form is Form.CONSTITUTIONAL and not lot.awaited:
            sums.constitutional += ozt
        if not heap.cost_known and kind.metal == "XAG":
            sums.uncosted += ozt
    return sums


def _point(on: date, whole: _Sums, basis: Basis, stamp_on: StampOn, currency: str) -> Point:
    here = {metal: ozt for metal, ozt in whole.ozt.items() if ozt}
    awaited = {metal: ozt for metal, ozt in whole.awaited.items() if ozt}
    found = {metal: stamp_on(on, metal) for metal in (*here, *awaited)}
    stamps = {metal: stamp for metal, stamp in found.items() if stamp is not None}
    melts = [_melt(ozt, stamps[metal], currency) for metal, ozt in here.items() if metal in stamps]
    coming = [_melt(ozt, stamps[metal], currency) for metal, ozt in awaited.items() if metal in stamps]
    return Point(
        on=on,
        basis=basis,
        ozt=here,
        awaited=awaited,
        constitutional=whole.constitutional,
        stamps=stamps,
        melt=sum(melts, ZERO) if melts else None,
        awaited_melt=sum(coming, ZERO),
        cost=whole.cost,
        uncosted=whole.uncosted,
    )


def _melt(ozt: Decimal, stamp: Stamp, currency: str) -> Decimal:
    return cents(EXACT.multiply(ozt, stamp.per_ozt), currency)
