"""Sets by date: what a set wants, which piece is kept for each want, what is lacking, what goes back to the heap."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Issue
from ninefine.errors import NotFoundError, RangeError
from ninefine.sorting.mintage import kinds_within

#: What an issue costs to buy, or none where no price is known.
Price = Callable[[Issue], Decimal | None]


class SetBy(StrEnum):
    """What a set wants one of."""

    YEAR = "year"
    """One of each year of a design, of any mint."""
    ISSUE = "year and mint"
    """One of each year and mint; any variety fills it."""
    VARIETY = "variety"
    """One of each row of the tables, varieties apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """One place in a set: its label, and the issues that fill it."""

    kind: str
    label: str
    issues: tuple[Issue, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Pieces that may fill a place.

    Attributes:
        ref: the person's own name for them: a holding, a row of a tally.
        kind, issue: as the book writes them.
        count: alike in every way.
        grade: of the 1-70 scale; none where not graded. A band is given by its middle.
        problem: cleaned, damaged, mounted: kept only where no sound piece is at hand.
    """

    ref: str
    kind: str
    issue: str
    count: int = 1
    grade: Decimal | None = None
    problem: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A place that is filled, and the piece kept for it (its count is 1)."""

    want: Want
    piece: Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Lack:
    """A place that is empty: the cheapest issue that fills it and its price, or no price where none is known."""

    want: Want
    issue: Issue
    price: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetState:
    """A set as it stands.

    Attributes:
        kept: filled places, in the order of the set.
        lacks: empty ones, cheapest first, those without a price last.
        back: duplicates, for the heap; the best of the rest first where several would do.
        outside: pieces that fill no place of this set.
    """

    kept: tuple[Kept, ...]
    lacks: tuple[Lack, ...]
    back: tuple[Piece, ...]
    outside: tuple[Piece, ...]

    @property
    def cost(self) -> Decimal:
        """What the lacks with a price would cost together."""
        return sum((lack.price for lack in self.lacks if lack.price is not None), Decimal(0))

    @property
    def unpriced(self) -> int:
        """How many lacks have no price: the cost is without them."""
        return sum(lack.price is None for lack in self.lacks)


def wants_of(
    catalog: Catalog,
    what: str,
    *,
    by: SetBy = SetBy.ISSUE,
    first_year: int | None = None,
    last_year: int | None = None,
    proofs: bool = False,
) -> tuple[Want, ...]:
    """The places of a set.

    Args:
        catalog: what was struck.
        what: a kind's slug, a heap's, or a word for a denomination.
        by: what it wants one of.
        first_year: the oldest date of the set; none for the oldest struck.
        last_year: the latest.
        proofs: whether issues struck as proofs alone have a place too.

    Raises:
        NotFoundError: neither a kind nor a denomination, or no issue of it is held in those years.
    """
    wants: dict[tuple[str, str], list[Issue]] = {}
    for kind in kinds_within(catalog, what):
        for issue in catalog.issues(kind.slug):
            within = (first_year or issue.year) <= issue.year <= (last_year or issue.year)
            if within and (proofs or not issue.proof_only):
                wants.setdefault((kind.slug, _label(issue, by)), []).append(issue)
    if not wants:
        raise NotFoundError(f"No issue of {what} is held in those years.", expected="Ask for another kind or range.")
    return tuple(Want(kind=kind, label=label, issues=tuple(issues)) for (kind, label), issues in wants.items())


def set_state(wants: Sequence[Want], pieces: Iterable[Piece], *, price: Price) -> SetState:
    """Fill a set from pieces at hand: the best for each place, the rest back, the cheapest gaps first.

    Best is the sound piece of the highest grade; ungraded ones come after graded, and of equals the first given is
    kept.

    Args:
        wants: the places.
        pieces: what is at hand.
        price: what an issue costs to buy.

    Raises:
        RangeError: fewer than one of a piece.
    """
    filled: dict[int, list[Piece]] = {}
    outside = []
    places = _places(wants)
    for piece in pieces:
        if piece.count < 1:
            raise RangeError(f"{piece.count} of {piece.ref} cannot fill a place.", expected="One piece or more.")
        found = places.get((piece.kind, piece.issue))
        if found is None:
            found = places.get((piece.kind, piece.issue.partition(":")[0]))
        if found is None:
            outside.append(piece)
        else:
            filled.setdefault(found, []).append(piece)
    kept, back, lacks = [], [], []
    for place, want in enumerate(wants):
        ranked = sorted(filled.get(place, ()), key=_goodness, reverse=True)
        if not ranked:
            lacks.append(_lack(want, price))
            continue
        kept.append(Kept(want=want, piece=_of(ranked[0], 1)))
        if ranked[0].count > 1:
            back.append(_of(ranked[0], ranked[0].count - 1))
        back.extend(ranked[1:])
    lacks.sort(key=lambda lack: (lack.price is None, lack.price or Decimal(0)))
    return SetState(kept=tuple(kept), lacks=tuple(lacks), back=tuple(back), outside=tuple(outside))


def _places(wants: Sequence[Want]) -> dict[tuple[str, str], int]:
    """Which place an issue fills; a year and mint without its variety too, where all varieties fill one place."""
    places = {(want.kind, issue.key): place for place, want in enumerate(wants) for issue in want.issues}
    untold: dict[tuple[str, str], set[int]] = {}
    for (kind, key), place in places.items():
        untold.setdefault((kind, key.partition(":")[0]), set()).add(place)
    return {cell: of.pop() for cell, of in untold.items() if len(of) == 1} | places


def _label(issue: Issue, by: SetBy) -> str:
    if by is SetBy.YEAR:
        return str(issue.year)
    return issue.key if by is SetBy.VARIETY else f"{issue.year}-{issue.mint}"


def _goodness(piece: Piece) -> tuple[bool, Decimal]:
    return not piece.problem, piece.grade if piece.grade is not None else Decimal(0)


def _of(piece: Piece, count: int) -> Piece:
    return replace(piece, count=count)


def _lack(want: Want, price: Price) -> Lack:
    priced = [(cost, issue) for issue in want.issues if (cost := price(issue)) is not None]
    if not priced:
        return Lack(want=want, issue=want.issues[0], price=None)
    cost, issue = min(priced, key=lambda pair: pair[0])
    return Lack(want=want, issue=issue, price=cost)
