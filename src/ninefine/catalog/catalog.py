"""The catalog: kinds and issues by name, what was struck when and where, and the person's own kinds beside them."""

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from ninefine.catalog.denominations import Denomination, denomination
from ninefine.catalog.household import JOINT, built_as, construction
from ninefine.catalog.kinds import Form, Issue, Kind
from ninefine.catalog.own import read_own
from ninefine.catalog.struck import Asked, never_struck, outside_span, run_issues
from ninefine.catalog.us_rows import SAME_COIN, Run
from ninefine.errors import NeverStruckError, NotFoundError

_NO_ISSUES: tuple[Issue, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Catalog:
    """Everything known of kinds and issues; nothing in it can change. Made by `load_catalog`.

    Attributes:
        by_slug: every kind, in the order of the tables.
        issues_of: rows of issues by kind, in order of year.
        gaps: why a (kind, year, mint) was not struck.
        runs: for kinds without rows of issues, the years and mints that are known.
    """

    by_slug: Mapping[str, Kind]
    issues_of: Mapping[str, tuple[Issue, ...]]
    gaps: Mapping[tuple[str, int, str], str]
    runs: Mapping[str, tuple[Run, ...]]

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """Every kind."""
        return tuple(self.by_slug.values())

    def kind(self, slug: str) -> Kind:
        """The kind of that name; household kinds also in a construction, `household-sterling-925.weighted-candlestick`.

        Raises:
            NotFoundError: no such kind; near misses are offered.
        """
        found = self.by_slug.get(SAME_COIN.get(slug, slug))
        if found is not None:
            return found
        standard, joint, built = slug.partition(JOINT)
        if joint and standard in self.by_slug and self.by_slug[standard].form is Form.HOUSEHOLD:
            return built_as(self.by_slug[standard], construction(built))
        near = difflib.get_close_matches(slug[:80], list(self.by_slug), n=4, cutoff=0.5)
        raise NotFoundError(f"No kind is named {slug[:80]!r}.", instead=near)

    def issues(self, slug: str) -> tuple[Issue, ...]:
        """The rows of issues of a kind, by year; empty where the tables hold none.

        Raises:
            NotFoundError: no such kind.
        """
        return self.issues_of.get(self.kind(slug).slug, _NO_ISSUES)

    def issues_of_year(self, slug: str, year: int) -> tuple[Issue, ...]:
        """The issues of one year of a kind; empty where none was struck or the tables hold none.

        Raises:
            NotFoundError: no such kind.
        """
        kind = self.kind(slug)
        if kind.slug in self.issues_of:
            return tuple(issue for issue in self.issues_of[kind.slug] if issue.year == year)
        return run_issues(self.runs.get(kind.slug, ()), year)

    def issues_beside(self, slug: str, year: int) -> tuple[Issue, ...]:
        """Of a kind without rows of issues: those of the years at the ends of its runs before and after a year.

        Raises:
            NotFoundError: no such kind.
        """
        runs = self.runs.get(self.kind(slug).slug, ())
        ends = [*(run.first_year for run in runs if run.first_year > year)]
        ends += [run.last_year for run in runs if run.last_year is not None and run.last_year < year]
        return tuple(issue for end in ends for issue in run_issues(runs, end))

    def issue(self, slug: str, key: str) -> Issue:
        """The issue of a kind by its key: `1921-D`, `1942-P:2 over 1`.

        Raises:
            NotFoundError: no such kind or issue; near misses are offered.
        """
        issues = self.issues(slug)
        for issue in issues:
            if issue.key == key:
                return issue
        near = difflib.get_close_matches(key[:40], [issue.key for issue in issues], n=4, cutoff=0.5)
        raise NotFoundError(f"{self.kind(slug).name} has no issue {key[:40]!r}.", instead=near)

    def check_issue(self, slug: str, year: int, mint: str = "", variety: str = "") -> Issue | None:
        """The issue of a year and mint, or none where the tables hold no row but nothing speaks against it.

        With no mint, a year in which the kind was struck passes as none: the mint is not told apart.

        Raises:
            NotFoundError: no such kind, or no such variety of the year and mint.
            NeverStruckError: never struck; says what was struck that year and the nearest years at that mint.
        """
        kind = self.kind(slug)
        mint = mint.upper()
        self._check_year(kind, year)
        issues = self.issues_of.get(kind.slug, _NO_ISSUES)
        if year > issues[-1].year if issues else not self._has_runs_near(kind, year):
            return None
        of_year = self.issues_of_year(kind.slug, year)
        of_mint = [issue for issue in of_year if not mint or issue.mint == mint]
        if not of_mint:
            raise self._refusal(kind, year, mint)
        if not mint:
            return None
        for issue in of_mint:
            if issue.variety == variety:
                return issue
        if variety:
            raise NotFoundError(
                f"{kind.name} {year}-{mint} has no variety {variety[:40]!r} here.",
                instead=[issue.key for issue in of_mint],
            )
        return None

    def family(self, slug: str) -> tuple[Kind, ...]:
        """What pieces of a heap that is not told apart may prove to be; the kind itself where it is told apart."""
        heap = self.kind(slug)
        if heap.slug not in HEAPS:
            return (heap,)
        return tuple(kind for kind in self.by_slug.values() if kind.slug not in HEAPS and _of_heap(kind, heap))

    def struck_in(self, word: str, year: int) -> list[tuple[Kind, list[Issue]]]:
        """What U.S. coin of a denomination bears a date: kinds with their issues of that year, base metal included.

        Coin struck for use comes first, then base metal, then collectors' coin. The list of issues is empty where the
        mints of that year are not held.

        Args:
            word: the denomination, by its key or any word for it.
            year: as on the coin.

        Raises:
            NotFoundError: no such denomination.
        """
        coin = denomination(word)
        found: list[tuple[Kind, list[Issue]]] = []
        for kind in self._of_denomination(coin):
            if not _spans(kind, year):
                continue
            issues = list(self.issues_of_year(kind.slug, year))
            if issues or not (kind.slug in self.issues_of or self._has_runs_near(kind, year)):
                found.append((kind, issues))
        return sorted(found, key=lambda pair: how_common(pair[0]))

    def with_own(self, rows: Mapping[str, Mapping[str, object]]) -> "Catalog":
        """The catalog with the person's own kinds in it, by rows of their own table; slugs begin with `own-`.

        Raises:
            Faults: every fault of the rows.
        """
        if not rows:
            return self
        own = read_own(rows)
        return replace(self, by_slug=MappingProxyType({**self.by_slug, **{kind.slug: kind for kind in own}}))

    def _of_denomination(self, coin: Denomination) -> list[Kind]:
        return [
            kind
            for kind in self.by_slug.values()
            if kind.country == "US"
            and kind.denomination == coin.name
            and kind.form is not Form.BULLION
            and kind.slug not in HEAPS
        ]

    def _has_runs_near(self, kind: Kind, year: int) -> bool:
        """Whether runs tell of every year from the first of them on, so that a year outside them saw none."""
        runs = self.runs.get(kind.slug, ())
        return bool(runs) and year >= min(run.first_year for run in runs)

    def _check_year(self, kind: Kind, year: int) -> None:
        if kind.first_year is None or _spans(kind, year):
            return
        raise outside_span(kind, year, same_year=lambda: [other for other, _ in self._same_year(kind, year)])

    def _same_year(self, kind: Kind, year: int) -> list[tuple[Kind, list[Issue]]]:
        if kind.country != "US" or not kind.denomination:
            return []
        struck = self.struck_in(kind.denomination, year)
        for_use = [(other, issues) for other, issues in struck if how_common(other) < 2 or other == kind]
        return for_use or struck

    def _refusal(self, kind: Kind, year: int, mint: str) -> NeverStruckError:
        same_year = self._same_year(kind, year)
        # Of the whole denomination it can be said only where the mints of all its kinds of that year are held.
        told = all(issues for _, issues in same_year)
        elsewhere = any(not mint or issue.mint == mint for _, issues in same_year for issue in issues)
        what = kind.denomination if told and not elsewhere and kind.denomination else kind.name
        why = self.gaps.get((kind.slug, year, mint), "")
        if why.startswith(("this mint", "no mint struck")):
            why = ""
        asked = Asked(what=what, kind=kind, year=year, mint=mint, why=why)
        struck = (*self.issues_of.get(kind.slug, _NO_ISSUES), *self.issues_beside(kind.slug, year))
        return never_struck(asked, same_year=same_year, struck=struck)


#: Kinds whose pieces are not told apart.
HEAPS = frozenset({"us-90", "us-dime-90", "us-quarter-90", "us-half-90", "us-dollar-90", "us-half-40", "not-silver"})


def how_common(kind: Kind) -> int:
    """Silver struck for use first, then base metal, then what was made for collectors."""
    if kind.form is Form.NO_SILVER:
        return 1
    for_use = (kind.by_face or kind.form is Form.CONSTITUTIONAL) and (kind.last_year or 9999) <= 1970
    return 0 if for_use else 2


def _spans(kind: Kind, year: int) -> bool:
    return (kind.first_year is None or kind.first_year <= year) and (kind.last_year is None or year <= kind.last_year)


def _of_heap(kind: Kind, heap: Kind) -> bool:
    if heap.form is Form.NO_SILVER:
        return kind.form is Form.NO_SILVER
    return (
        kind.by_face
        and kind.country == heap.country
        and kind.fineness == heap.fineness
        and kind.fine_ozt_per_face == heap.fine_ozt_per_face
        and heap.face in {None, kind.face}
    )
