"""The mintage picture of a series: what was struck by year and mint, what was not, what is scarce or unchecked."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import groupby

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import denomination
from ninefine.catalog.kinds import Evidence, Issue, Kind
from ninefine.catalog.mints import MINTS
from ninefine.catalog.struck import mints_of
from ninefine.errors import NotFoundError

#: Evidence strong enough that a row is not marked as unchecked.
CHECKED = frozenset({Evidence.LAW, Evidence.PUBLISHED, Evidence.TOTAL})

#: The heap that holds the silver of a denomination.
_HEAPS = {
    "dime": "us-dime-90",
    "quarter": "us-quarter-90",
    "half": "us-half-90",
    "dollar": "us-dollar-90",
    "five-cent": "us-five-cent-wartime",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    """What one mint struck of a kind in one year, its varieties added together.

    Attributes:
        kind: the kind's slug.
        year, mint: as on the coin.
        mintage: pieces struck for use; none where only proofs were struck, or where the figure is not recorded.
        proofs: pieces struck for collectors; none where none were.
        rank: key, semi-key or better (common practice); empty where sorters do not look for it.
        look_for: why, and what to check.
        place: 1 for the fewest struck of the series, and so on; none without a mintage.
        evidence: the weakest that the mintage rests on.
        source: of the row, or of the first of its varieties.
        notes: what the rows remark.
        varieties: those that the tables tell apart.
    """

    kind: str
    year: int
    mint: str
    mintage: int | None
    proofs: int | None
    rank: str
    look_for: str
    place: int | None
    evidence: Evidence
    source: str
    notes: tuple[str, ...] = ()
    varieties: tuple[Issue, ...] = ()

    @property
    def key(self) -> str:
        """Year and mint as the book writes them: `1921-D`."""
        return f"{self.year}-{self.mint}"

    @property
    def unchecked(self) -> bool:
        """Whether the row rests on less than a law, a published text or a published total."""
        return self.evidence not in CHECKED


@dataclass(frozen=True, slots=True, kw_only=True)
class NoneStruck:
    """A year in which a mint, or with no mint every mint, struck none of a series."""

    year: int
    mint: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MintagePicture:
    """A series by year and mint.

    Attributes:
        kind: the kind.
        mints: those that struck it, in the order of the table of mints.
        struck: what was struck, by year, then mint.
        none_struck: what was not, where another mint struck it that year.
        idle_years: years within its span in which no mint struck it.
    """

    kind: Kind
    mints: tuple[str, ...]
    struck: tuple[Struck, ...]
    none_struck: tuple[NoneStruck, ...]
    idle_years: tuple[NoneStruck, ...]

    @property
    def total(self) -> int:
        """Pieces struck for use over the whole series."""
        return sum(row.mintage or 0 for row in self.struck)

    @property
    def low(self) -> tuple[Struck, ...]:
        """The dates that sorters look for, fewest struck first."""
        ranked = [row for row in self.struck if row.rank]
        return tuple(sorted(ranked, key=lambda row: (row.mintage is None, row.mintage or 0, row.year)))

    @property
    def unchecked(self) -> tuple[Struck, ...]:
        """The rows whose figure was not checked against print."""
        return tuple(row for row in self.struck if row.unchecked)


def heap_of(catalog: Catalog, what: str) -> Kind:
    """A kind, a heap not told apart (`us-dime-90`), or the silver heap of a denomination by any word for it (`dimes`).

    Raises:
        NotFoundError: neither a kind nor a denomination.
    """
    try:
        return catalog.kind(what)
    except NotFoundError as unknown:
        try:
            return catalog.kind(_HEAPS[denomination(what).key])
        except (NotFoundError, KeyError):
            raise unknown from None


def kinds_within(catalog: Catalog, what: str) -> tuple[Kind, ...]:
    """The kinds that a heap may hold; a kind that is told apart holds itself.

    Raises:
        NotFoundError: neither a kind nor a denomination.
    """
    return catalog.family(heap_of(catalog, what).slug)


def mintage_picture(catalog: Catalog, slug: str) -> MintagePicture:
    """The picture of one kind.

    Raises:
        NotFoundError: no such kind, or no mintage of it is held.
    """
    kind = catalog.kind(slug)
    issues = catalog.issues(slug)
    if not issues:
        raise NotFoundError(
            f"No mintage of {kind.name} is held.",
            expected="Mintage by year and mint is held for U.S. silver coin.",
            instead=("us-dime-mercury", "us-quarter-washington-silver"),
        )
    struck = _placed(_folded(issues))
    mints = mints_of(issues)
    seen = {(row.year, row.mint) for row in struck}
    years = {row.year for row in struck}
    first = min(years) if kind.first_year is None else kind.first_year
    last = max(years) if kind.last_year is None else kind.last_year
    return MintagePicture(
        kind=kind,
        mints=tuple(mints),
        struck=struck,
        none_struck=tuple(
            NoneStruck(year=year, mint=mint, why=catalog.gaps.get((kind.slug, year, mint), ""))
            for year in sorted(years)
            for mint in mints
            if (year, mint) not in seen
        ),
        idle_years=tuple(
            NoneStruck(year=year, mint="", why="no mint struck it this year")
            for year in range(first, last + 1)
            if year not in years
        ),
    )


def mintage_pictures(catalog: Catalog, what: str) -> tuple[MintagePicture, ...]:
    """The pictures of every kind that a heap may hold, in the order of the tables.

    Raises:
        NotFoundError: neither a kind nor a denomination, or no mintage of it is held.
    """
    return tuple(mintage_picture(catalog, kind.slug) for kind in kinds_within(catalog, what))


def _folded(issues: Iterable[Issue]) -> list[Struck]:
    """Rows of issues by year and mint, varieties added together."""
    order = list(MINTS)
    ordered = sorted(issues, key=lambda issue: (issue.year, order.index(issue.mint), issue.variety))
    return [_fold(list(rows)) for _, rows in groupby(ordered, key=lambda issue: (issue.year, issue.mint))]


def _fold(rows: list[Issue]) -> Struck:
    """One year and mint. A variety without a figure of its own is counted in the row without one.

    A year and mint has a rank where all that was counted has it: a low variety alone does not make it low.
    """
    counted = [row for row in rows if row.mintage is not None] or rows
    proofs = [row.proofs for row in rows if row.proofs is not None]
    ranks = {row.rank for row in counted}
    rank = ranks.pop() if len(ranks) == 1 else ""
    weakest = max(counted, key=lambda row: list(Evidence).index(row.evidence))
    return Struck(
        kind=rows[0].kind,
        year=rows[0].year,
        mint=rows[0].mint,
        mintage=sum(row.mintage or 0 for row in counted) if counted[0].mintage is not None else None,
        proofs=sum(proofs) if proofs else None,
        rank=rank,
        look_for=next((row.look_for for row in counted if row.look_for), "") if rank else "",
        place=None,
        evidence=weakest.evidence,
        source=weakest.source,
        notes=tuple(dict.fromkeys(row.note for row in rows if row.note)),
        varieties=tuple(row for row in rows if row.variety),
    )


def _placed(struck: list[Struck]) -> tuple[Struck, ...]:
    """The rows with their places from the fewest struck; equal figures share the better place."""
    figures = sorted(row.mintage for row in struck if row.mintage is not None)
    return tuple(row if row.mintage is None else replace(row, place=figures.index(row.mintage) + 1) for row in struck)
