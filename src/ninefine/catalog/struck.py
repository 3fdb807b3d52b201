"""Was it ever struck? What to say of a date and mint that never was, and what was struck instead."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from ninefine.catalog.kinds import Evidence, Issue, Kind
from ninefine.catalog.mints import MINTS, and_list, mint_name
from ninefine.catalog.us_rows import Run
from ninefine.errors import NeverStruckError


def run_issues(runs: Iterable[Run], year: int) -> tuple[Issue, ...]:
    """The issues of one year that runs of years stand for; their mintages are not held."""
    return tuple(
        Issue(kind=run.kind, year=year, mint=mint, note=run.note, source=run.source, evidence=Evidence(run.evidence))
        for run in runs
        if run.covers(year)
        for mint in run.mints
    )


def mints_of(issues: Iterable[Issue]) -> list[str]:
    """The mints of some issues, each once, in the order of the table of mints."""
    present = {issue.mint for issue in issues}
    return [mint for mint in MINTS if mint in present]


def nearest_years(years: Iterable[int], year: int) -> list[int]:
    """The nearest year before and the nearest after, where there are any."""
    held = set(years)
    before = [item for item in held if item < year]
    after = [item for item in held if item > year]
    return [*([max(before)] if before else []), *([min(after)] if after else [])]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A date and mint that was asked for and never struck.

    Attributes:
        what: the kind or denomination in words, without an article: `half dollar`.
        kind: the kind asked for; none where only a denomination was.
        year: as asked.
        mint: as asked; may be empty.
        why: the reason, where one is known.
    """

    what: str
    kind: Kind | None = None
    year: int
    mint: str = ""
    why: str = ""


def never_struck(
    asked: Asked, *, same_year: Sequence[tuple[Kind, Sequence[Issue]]], struck: Sequence[Issue]
) -> NeverStruckError:
    """The refusal of a date and mint: what was struck that year, and the nearest dates of that mint.

    Args:
        asked: what was asked for.
        same_year: what was struck of the denomination in that year.
        struck: issues of the kind or denomination asked for, of any year.
    """
    year, mint = asked.year, asked.mint
    place = f"{mint_name(mint)} " if mint else ""
    wrong = f"No {place}{asked.what} was struck in {year}" + (f" ({asked.why})." if asked.why else ".")
    said = [
        f"{other.name} at {and_list([mint_name(letter) for letter in mints_of(issues)])}" if issues else other.name
        for other, issues in same_year
    ]
    expected = [
        f"Struck that year: {'; '.join(said)}." if said else "Nothing of that denomination was struck that year."
    ]
    at_mint = [issue.year for issue in struck if not mint or issue.mint == mint]
    near = nearest_years(at_mint, year)
    if near:
        years = and_list([str(item) for item in near])
        expected.append(f"{mint_name(mint)} struck it in {years}." if mint else f"It was struck in {years}.")
    meant = [issues for other, issues in same_year if asked.kind is None or other == asked.kind]
    of_kind = [issue for issues in meant for issue in issues]
    instead = [issue.key for issue in of_kind if not issue.variety]
    instead += [f"{item}-{mint}" if mint else str(item) for item in near]
    return NeverStruckError(wrong, expected=" ".join(expected), instead=list(dict.fromkeys(instead))[:5])


def outside_span(kind: Kind, year: int, *, same_year: Callable[[], Sequence[Kind]]) -> NeverStruckError:
    """The refusal of a year outside a kind's span of issue."""
    first, last = kind.first_year, kind.last_year
    span = f"in {first}" if first == last else f"from {first} on" if last is None else f"from {first} to {last}"
    others = [other.name for other in same_year()]
    expected = f"It was struck {span}." + (f" Struck in {year}: {'; '.join(others)}." if others else "")
    near = first if first is not None and year < first else last
    return NeverStruckError(
        f"No {kind.name} was struck in {year}.", expected=expected, instead=() if near is None else (str(near),)
    )
