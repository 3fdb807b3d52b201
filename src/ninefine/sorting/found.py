"""A tally set beside the mix that was expected: each year and mint with its count, and what stands outside."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from ninefine.errors import RangeError
from ninefine.sorting.expected import Expected
from ninefine.sorting.mintage import Struck
from ninefine.sorting.tally import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """Pieces of a tally that no expectation was made for, and why."""

    kind: str
    issue: str
    count: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Found beside expected.

    Attributes:
        expected: the mix.
        found: pieces of each of its years and mints, in the order of its shares.
        outside: pieces not set beside it: undated, out of range, of another kind.
    """

    expected: Expected
    found: tuple[int, ...]
    outside: tuple[Outside, ...] = ()

    @property
    def pieces(self) -> int:
        """Dated pieces within the range: what every chance is reckoned on."""
        return sum(self.found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Some years and mints taken together.

    Attributes:
        label: the year, the mint, the decade.
        cells: their places among the shares of the mix.
        share: their part of the mix.
        found, expected: pieces.
    """

    label: str
    cells: tuple[int, ...]
    share: Decimal
    found: int
    expected: Decimal


def set_beside(expected: Expected, rows: Iterable[Row]) -> Beside:
    """Set a tally beside a mix; varieties count with their year and mint.

    Raises:
        RangeError: a row of fewer than no pieces.
    """
    places = {row.cell: place for place, row in enumerate(expected.shares)}
    left_out = {(row.kind, row.key) for row in expected.left_out}
    found = [0] * len(places)
    outside: list[Outside] = []
    for row in rows:
        if row.count < 0:
            raise RangeError(f"{row.kind} {row.issue} holds {row.count} pieces.", expected="Count from zero up.")
        cell = (row.kind, row.issue.partition(":")[0])
        if cell in places:
            found[places[cell]] += row.count
        elif row.count:
            why = _why_outside(row, expected, no_figure=cell in left_out)
            outside.append(Outside(kind=row.kind, issue=row.issue, count=row.count, why=why))
    return Beside(expected=expected, found=tuple(found), outside=tuple(outside))


def finds_of(kind: str, rows: Iterable[Row]) -> dict[str, int]:
    """A tally's own finds of one kind, by year and mint, to stand in its mintage picture; varieties count along."""
    finds: dict[str, int] = {}
    for row in rows:
        if row.kind == kind and row.issue:
            key = row.issue.partition(":")[0]
            finds[key] = finds.get(key, 0) + row.count
    return finds


def _why_outside(row: Row, expected: Expected, *, no_figure: bool) -> str:
    if no_figure:
        return "no mintage for use is on record"
    if row.kind not in {share.struck.kind for share in expected.shares}:
        return "not told apart by date, or another kind"
    return "no date" if not row.issue else "outside the dates asked for"


def by_issue(struck: Struck) -> str:
    """A year and mint of one design."""
    return f"{struck.kind} {struck.key}"


def by_mint(struck: Struck) -> str:
    """The mint's letter."""
    return struck.mint


def by_year(struck: Struck) -> str:
    """The year."""
    return str(struck.year)


def by_decade(struck: Struck) -> str:
    """The ten years from the last year that ends in nought."""
    return f"{struck.year // 10 * 10}s"


def by_kind(struck: Struck) -> str:
    """The design."""
    return struck.kind


def grouped(beside: Beside, label: Callable[[Struck], str]) -> tuple[Group, ...]:
    """Found beside expected, taken together by a label, in the order in which the labels first come up."""
    cells: dict[str, list[int]] = {}
    for place, row in enumerate(beside.expected.shares):
        cells.setdefault(label(row.struck), []).append(place)
    counts = beside.expected.counts(beside.pieces)
    return tuple(
        Group(
            label=name,
            cells=tuple(places),
            share=sum((beside.expected.shares[place].share for place in places), Decimal(0)),
            found=sum(beside.found[place] for place in places),
            expected=sum((counts[place] for place in places), Decimal(0)),
        )
        for name, places in cells.items()
    )
