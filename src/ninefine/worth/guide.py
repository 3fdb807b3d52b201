"""What the person's sheets say a piece is worth to a collector: the newest sheet for each issue, and how old it is."""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from ninefine.errors import NotFoundError, RangeError
from ninefine.measure.numbers import to_places
from ninefine.worth.band import Band
from ninefine.worth.grades import Grade
from ninefine.worth.sheet import Curve, Sheet, SheetRow, curves_of
from ninefine.worth.span import Span

#: Days after which a sheet is called stale, until the person sets another limit. Common practice, no source.
STALE_AFTER = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class GuidePrice:
    """What the sheets say of one piece.

    Attributes:
        kind, issue, band: what was asked.
        worth: low, middle and high. Over a band: the lowest low and the highest high within it.
        listed_as: the issue that the price stands under; empty for any issue of the kind.
        curve: the rows that it was taken from.
        age: days since the oldest of them.
        stale: older than the limit.
        cautions: what to know before leaning on it.
    """

    kind: str
    issue: str
    band: Band
    worth: Span
    listed_as: str
    curve: Curve
    age: int
    stale: bool
    cautions: tuple[str, ...]

    @property
    def worked(self) -> tuple[str, ...]:
        """How the prices at the two ends of the band came about, in sentences."""
        ends = dict.fromkeys((self.band.grades[0], self.band.grades[-1]))
        return tuple(_worked_at(self.curve, grade) for grade in ends)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Guide:
    """The person's sheets, ready to be asked. Made by `guide_of`.

    Attributes:
        curves: by kind, issue and striking, newest first.
        today: from which ages are counted.
        stale_after: days after which a price is called stale.
        currency: the book's, for rounding.
    """

    curves: Mapping[tuple[str, str, bool], tuple[Curve, ...]]
    today: date
    stale_after: int = STALE_AFTER
    currency: str = "USD"

    def price(self, kind: str, issue: str, band: Band) -> GuidePrice:
        """What a sound piece is worth by the newest sheet that lists it.

        A variety that is not listed goes by its date and mint, and a date that is not listed by any issue of the kind;
        the answer says so. One curve is taken whole: grades of an older sheet never fill in a newer one.

        Raises:
            NotFoundError: no sheet lists the kind in this striking, or not this issue.
            RangeError: the band reaches outside the listed grades, is of a piece that is not sound, or is untold.
        """
        _check(band)
        listed_as, curves = self._listed(kind, issue, proof=band.proof)
        curve = curves[0]
        lows, highs = zip(*(_at(curve, grade, curves[1:]) for grade in _turns(curve, band)), strict=True)
        age = (self.today - curve.on).days
        stale = age > self.stale_after
        return GuidePrice(
            kind=kind,
            issue=issue,
            band=band,
            worth=Span.of(min(lows), max(highs), self.currency),
            listed_as=listed_as,
            curve=curve,
            age=age,
            stale=stale,
            cautions=(
                *_other_issue(issue, listed_as),
                *((_stale(curve, age, self.stale_after),) if stale else ()),
                *_falls(curve, band),
            ),
        )

    def span(self, kind: str, issue: str, *, proof: bool = False) -> str:
        """The grades at which an issue can be priced, in words: `G4 to MS65`.

        Raises:
            NotFoundError: no sheet lists it.
        """
        return self._listed(kind, issue, proof=proof)[1][0].span

    def _listed(self, kind: str, issue: str, *, proof: bool) -> tuple[str, tuple[Curve, ...]]:
        """The narrowest name under which an issue is listed, and its curves, newest first."""
        for name in dict.fromkeys((issue, issue.partition(":")[0], "")):
            found = self.curves.get((kind, name, proof))
            if found:
                return name, found
        raise self._missing(kind, issue, proof=proof)

    def _missing(self, kind: str, issue: str, *, proof: bool) -> NotFoundError:
        struck = "as a proof" if proof else "as struck for use"
        kinds = sorted({key[0] for key in self.curves})
        if kind not in kinds:
            near = difflib.get_close_matches(kind, kinds, n=3, cutoff=0.5)
            return NotFoundError(f"No sheet of yours lists {kind[:80]}.", instead=near)
        issues = sorted({key[1] for key in self.curves if key[0] == kind and key[2] is proof})
        return NotFoundError(
            f"No sheet of yours lists {kind} {issue} {struck}.".replace("  ", " "),
            expected="A row without an issue stands for any of the kind.",
            instead=difflib.get_close_matches(issue, issues, n=4, cutoff=0.3) or issues[:4],
        )


def guide_of(sheets: Iterable[Sheet], *, today: date, stale_after: int = STALE_AFTER, currency: str = "USD") -> Guide:
    """Join sheets into a guide: of each issue the newest curve counts; of two of one day, the sheet given later."""
    curves: dict[tuple[str, str, bool], list[Curve]] = {}
    for sheet in sheets:
        for key, curve in curves_of(sheet).items():
            curves.setdefault(key, []).insert(0, curve)
    ordered = {key: tuple(sorted(found, key=lambda curve: -curve.on.toordinal())) for key, found in curves.items()}
    return Guide(curves=MappingProxyType(ordered), today=today, stale_after=stale_after, currency=currency)


def _check(band: Band) -> None:
    if band.details:
        raise RangeError(
            f"A sheet prices sound pieces, and this one is {band.details}.",
            expected="Say what share of a sound piece's price such a piece brings.",
        )
    if not band.told:
        raise RangeError("No grade was said.", expected="A price goes by a grade.", instead=("VF20", "VF-EF"))


def _at(curve: Curve, grade: Grade, older: tuple[Curve, ...]) -> tuple[Decimal, Decimal]:
    try:
        return curve.at(grade.number)
    except RangeError as error:
        others = [other for other in older if _covers(other, grade)]
        if not others:
            raise
        raise RangeError(
            error.wrong, expected=f"{error.expected} {others[0].sheet} of {others[0].on} lists {others[0].span}."
        ) from error


def _covers(curve: Curve, grade: Grade) -> bool:
    return curve.rows[0].grade.number <= grade.number <= curve.rows[-1].grade.number


def _turns(curve: Curve, band: Band) -> tuple[Grade, ...]:
    """The points of a band at which its lowest and highest prices can lie: its ends, and the listed ones between."""
    listed = (row.grade.number for row in curve.rows if band.low < row.grade.number < band.high)
    return band.grades_at(*dict.fromkeys((band.low, *listed, band.high)))


def _worked_at(curve: Curve, grade: Grade) -> str:
    below, above = curve.around(grade.number)
    if below is above:
        return f"{grade} is listed: {_prices(below)}."
    low, high = curve.at(grade.number)
    return (
        f"{grade} lies {grade.number - below.grade.number} of {above.grade.number - below.grade.number} points "
        f"from {below.grade} ({_prices(below)}) to {above.grade} ({_prices(above)}): "
        f"{to_places(low, 2)} to {to_places(high, 2)} by the logarithm of the price."
    )


def _prices(row: SheetRow) -> str:
    return f"{row.low}" if row.low == row.high else f"{row.low} to {row.high}"


def _other_issue(issue: str, listed_as: str) -> tuple[str, ...]:
    if issue == listed_as:
        return ()
    as_what = listed_as or "any issue of its kind"
    return (f"{issue} is not listed by itself; it is priced as {as_what}.",)


def _stale(curve: Curve, age: int, limit: int) -> str:
    return f"{curve.sheet} has prices of {curve.on}, {age} days old; your limit is {limit} days."


def _falls(curve: Curve, band: Band) -> tuple[str, ...]:
    """Where the sheet's own prices fall within the rows that a band leans on."""
    first, last = curve.around(band.low)[0].grade.number, curve.around(band.high)[1].grade.number
    return tuple(
        f"{curve.sheet} itself falls from {lower.grade} ({_prices(lower)}) to {higher.grade} ({_prices(higher)})."
        for lower, higher in curve.dips
        if first <= lower.grade.number and higher.grade.number <= last
    )
