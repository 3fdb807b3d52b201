"""Gains and losses of what left the book, as a tax preparer asks for them. Arithmetic alone: ninefine never decides.

A line for each disposal: what it brought less fees, the basis that counts, an adjustment, the gain, the term. What left
for nothing (lost, stolen, given away) stands apart, and so do losses on what served the household itself.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.holdings import Disposal, Origin
from ninefine.book.how import How
from ninefine.book.share import ZERO
from ninefine.book.term import Term, term_of

#: Words of a date that a form takes in place of one.
INHERITED = "INHERITED"
UNKNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class GainRow:
    """One disposal. Net less basis, with the adjustment added, is the gain.

    Attributes:
        disposal: what left.
        net: what it brought, less its share of fees.
        basis: the basis that counts; none where nobody knows it. Of a gift sold between its two bases this is the net:
            there is neither gain nor loss.
        adjustment: what is added before the gain: a loss that does not count is added back.
        term: short, long, or not known.
        note: why the basis, the adjustment or the term is what it is, in words; mostly empty.
    """

    disposal: Disposal
    net: Decimal
    basis: Decimal | None
    adjustment: Decimal
    term: Term
    note: str

    @property
    def gain(self) -> Decimal | None:
        """What counts as gained or lost; none where nobody knows the basis."""
        return None if self.basis is None else self.net - self.basis + self.adjustment

    @property
    def acquired_words(self) -> str:
        """The date of acquisition as a form takes it: ISO 8601, or a word in its place."""
        return acquired_words(self.disposal.origin)


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """Sums over rows whose gain is known; `untold` counts the others."""

    net: Decimal
    basis: Decimal
    adjustment: Decimal
    gain: Decimal
    rows: int
    untold: int


@dataclass(frozen=True, slots=True, kw_only=True)
class YearGains:
    """A year's disposals, in the order in which they left.

    Attributes:
        year: the calendar year.
        sold: what left for money or money's worth.
        apart: what was lost, stolen, destroyed or given away: in no total.
    """

    year: int
    sold: tuple[GainRow, ...]
    apart: tuple[GainRow, ...]

    def of_term(self, term: Term) -> tuple[GainRow, ...]:
        """The sold rows of a term."""
        return tuple(row for row in self.sold if row.term is term)

    @property
    def own_use(self) -> tuple[GainRow, ...]:
        """The sold rows of what served the household itself."""
        return tuple(row for row in self.sold if row.disposal.own_use)


def gain_row(disposal: Disposal, *, averaged: Decimal | None = None) -> GainRow:
    """A disposal as a return asks for it.

    Args:
        disposal: what left.
        averaged: its basis by average cost, where that method was chosen; it takes the place of the lot's own.
    """
    net = disposal.net
    basis, note, by_value = _basis(disposal, averaged)
    adjustment = ZERO
    if basis is not None and disposal.own_use and net < basis:
        adjustment = basis - net
        note = _joined(note, "a loss on what served the household itself is not counted")
    term = term_of(disposal, disposal.on, by_value=by_value)
    return GainRow(disposal=disposal, net=net, basis=basis, adjustment=adjustment, term=term, note=note)


def _basis(disposal: Disposal, averaged: Decimal | None) -> tuple[Decimal | None, str, bool]:
    """The basis that counts, why, and whether it is a gift's value (26 CFR 1.1015-1(a))."""
    if averaged is not None:
        return averaged, "average cost", False
    if not disposal.cost_known:
        return None, "nobody knows what it cost", False
    net, basis, loss_basis = disposal.net, disposal.basis, disposal.loss_basis
    if loss_basis is None or net >= basis:
        return basis, "", False
    if net < loss_basis:
        return loss_basis, "a gift: its value on that day counts for a loss", True
    return net, "a gift sold between its two bases: neither gain nor loss", False


def _joined(*notes: str) -> str:
    return "; ".join(note for note in notes if note)


def year_gains(disposals: Sequence[Disposal], year: int, *, averaged: Mapping[int, Decimal] | None = None) -> YearGains:
    """The gains of a calendar year.

    Args:
        disposals: all that ever left, as holdings list them.
        year: the calendar year.
        averaged: the basis by average cost of each disposal, by its place in `disposals`, if that method was chosen.
    """
    rows = [
        gain_row(disposal, averaged=None if averaged is None else averaged.get(place))
        for place, disposal in enumerate(disposals)
        if disposal.on.year == year
    ]
    return YearGains(
        year=year,
        sold=tuple(row for row in rows if row.disposal.left.for_money),
        apart=tuple(row for row in rows if not row.disposal.left.for_money),
    )


def totals(rows: Iterable[GainRow]) -> Totals:
    """Sum rows; those whose basis nobody knows are counted apart."""
    all_rows = tuple(rows)
    known = [row for row in all_rows if row.basis is not None]
    return Totals(
        net=sum((row.net for row in known), ZERO),
        basis=sum((row.basis or ZERO for row in known), ZERO),
        adjustment=sum((row.adjustment for row in known), ZERO),
        gain=sum((row.gain or ZERO for row in known), ZERO),
        rows=len(known),
        untold=len(all_rows) - len(known),
    )


def years(disposals: Iterable[Disposal]) -> tuple[int, ...]:
    """The calendar years in which anything left, the latest first."""
    return tuple(sorted({disposal.on.year for disposal in disposals}, reverse=True))


def acquired_words(origin: Origin) -> str:
    """A date of acquisition as a form takes it: ISO 8601; `INHERITED`; or word that nobody knows it."""
    if origin.how is How.INHERITED:
        return INHERITED
    return _day(origin.acquired)


def _day(day: date | None) -> str:
    return UNKNOWN if day is None else day.isoformat()
