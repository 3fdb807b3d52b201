"""The one reader of the packaged tables: opens each, joins them into a catalog, and refuses them if they disagree."""

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from ninefine.catalog import household, other_rows, us_rows
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Issue, Kind
from ninefine.catalog.tables import packaged_lines
from ninefine.catalog.us_rows import SAME_COIN, Gap, Run, Sought
from ninefine.errors import Fault, Faults


def load_catalog() -> Catalog:
    """The catalog of the packaged tables.

    Raises:
        Faults: a table cannot be read, or two disagree.
    """
    us_types = us_rows.parse_us_types(packaged_lines("us/us_types.csv"))
    return join(
        kinds=(
            *other_rows.parse_heaps(packaged_lines("heaps.csv")),
            *_once(us_types, other_rows.parse_bullion(packaged_lines("world/bullion_types.csv"))),
            *other_rows.parse_world(packaged_lines("world/world_types.csv")),
            *(household.kind_of(standard) for standard in household.standards()),
        ),
        issues=us_rows.parse_us_issues(packaged_lines("us/us_issues.csv")),
        sought=us_rows.parse_keys(packaged_lines("us/keys.csv")),
        gaps=us_rows.parse_gaps(packaged_lines("us/not_struck.csv")),
        runs=us_rows.parse_runs(packaged_lines("runs.csv")),
    )


def _once(us_types: Iterable[Kind], bullion: Iterable[Kind]) -> list[Kind]:
    """U.S. types and bullion; coins that stand in both tables once, with the face and span of the U.S. row."""
    twice = {kind.slug: kind for kind in us_types if kind.slug in SAME_COIN.values()}
    merged = [kind for kind in us_types if kind.slug not in twice]
    for kind in bullion:
        other = twice.get(kind.slug)
        merged.append(
            kind
            if other is None
            else replace(
                kind,
                denomination=other.denomination,
                face=other.face,
                first_year=other.first_year,
                last_year=other.last_year,
                edge=other.edge,
                roll=other.roll,
            )
        )
    return merged


def join(
    *,
    kinds: Iterable[Kind],
    issues: Iterable[Issue],
    sought: Iterable[Sought],
    gaps: Iterable[Gap],
    runs: Iterable[Run],
) -> Catalog:
    """Join records into a catalog, with what sorters look for laid onto the issues.

    Raises:
        Faults: a name is used twice, or a row speaks of a kind or issue that is not there.
    """
    faults: list[Fault] = []
    by_slug: dict[str, Kind] = {}
    for kind in kinds:
        if kind.slug in by_slug:
            faults.append(Fault(where=kind.slug, wrong="names two kinds"))
        by_slug[kind.slug] = kind
    by_key = {(item.kind, item.key): item for item in sought}
    issues_of: dict[str, list[Issue]] = {}
    seen: set[tuple[str, str]] = set()
    for issue in issues:
        name = (issue.kind, issue.key)
        if name in seen:
            faults.append(Fault(where=f"{issue.kind} {issue.key}", wrong="stands twice among the issues"))
        seen.add(name)
        look = by_key.get(name)
        issues_of.setdefault(issue.kind, []).append(
            issue if look is None else replace(issue, rank=look.rank, look_for=look.reason)
        )
    faults += [Fault(where=f"{kind} {key}", wrong="is sought but is no issue") for kind, key in by_key.keys() - seen]
    gap_of = {(gap.kind, gap.year, gap.mint): gap.note for gap in gaps}
    faults += [
        Fault(where=f"{kind} {year}-{mint}", wrong="is both struck and not struck")
        for kind, year, mint in gap_of
        if (kind, f"{year}-{mint}") in seen
    ]
    runs_of: dict[str, list[Run]] = {}
    for run in runs:
        runs_of.setdefault(run.kind, []).append(run)
    spoken_of = {*issues_of, *runs_of, *(kind for kind, _, _ in gap_of)}
    faults += [Fault(where=slug, wrong="has rows but is no kind") for slug in sorted(spoken_of - by_slug.keys())]
    if faults:
        raise Faults(faults, source="the packaged tables")
    return Catalog(
        by_slug=MappingProxyType(by_slug),
        issues_of=MappingProxyType(
            {slug: tuple(sorted(rows, key=lambda issue: issue.year)) for slug, rows in issues_of.items()}
        ),
        gaps=MappingProxyType(gap_of),
        runs=MappingProxyType({slug: tuple(rows) for slug, rows in runs_of.items()}),
    )
