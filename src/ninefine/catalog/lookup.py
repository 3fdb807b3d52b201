"""Looking a piece up by plain words: `merc dime 1921-D`, `canada 50c 1967`, `10 oz bar`, `sterling`."""

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ninefine.catalog.catalog import HEAPS, Catalog
from ninefine.catalog.denominations import DENOMINATIONS
from ninefine.catalog.household import built_as, construction, read_mark
from ninefine.catalog.index import Findable, Index, index_of
from ninefine.catalog.kinds import Form, Issue, Kind
from ninefine.catalog.query import Query, read_query
from ninefine.catalog.scoring import scored
from ninefine.catalog.struck import Asked, never_struck
from ninefine.catalog.traps import traps
from ninefine.errors import NeverStruckError

#: At most so many hits are given, and only those within `_SPAN` of the best.
MOST_HITS = 12
_SPAN = 3.5
_EXACT = 100.0


#: Score, kind and why it was refused.
_Refused = tuple[float, Kind, NeverStruckError]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """A kind, perhaps told apart into an issue, that fits what was typed, with cautions to read beside it."""

    kind: Kind
    issue: Issue | None
    score: float
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The answer to a look-up.

    Attributes:
        text: as typed.
        hits: best first.
        near: texts to type instead, where what was typed was misspelt, never struck, or not found.
        refusal: that a date or mint was never struck, and what was; none where none was refused.
    """

    text: str
    hits: tuple[Hit, ...]
    near: tuple[str, ...]
    refusal: NeverStruckError | None


def look(catalog: Catalog, text: str) -> Look:
    """Look a piece up by plain words. Anything typed has an answer; where nothing fits, near misses are offered."""
    index = index_of(catalog)
    query = read_query(text, index.units)
    near = _mend_spelling(query, index)
    named = index.by_name.get(query.text, ())
    if named:
        return Look(text=text, hits=tuple(_hit(kind, None, _EXACT, query) for kind in named), near=(), refusal=None)
    fits = scored(index, query)
    hits, refusals = _date(catalog, fits, query)
    refusal = _refusal(catalog, hits, refusals, query)
    if refusal is not None:
        near = [*(f"{refusal[0]} {key}" for key in refusal[1].instead), *near]
        hits = [hit for hit in hits if hit.kind.slug not in HEAPS]
    hits = _plate(catalog, query) or hits
    if not hits and refusal is None:
        near += _near_names(index, query)
    if query.article:
        hits = _articles(hits, query)
    return Look(
        text=text,
        hits=tuple(hits[:MOST_HITS]),
        near=tuple(dict.fromkeys(near))[:5],
        refusal=None if refusal is None else refusal[1],
    )


def _mend_spelling(query: Query, index: Index) -> list[str]:
    """Mend words that no kind bears into the nearest that one does; says how it read the whole where it had to."""
    mended: list[str] = []
    read_as = query.text
    for word in query.words:
        if word in index.weights or word in index.varieties or len(word) < 4:
            mended.append(word)
            continue
        close = difflib.get_close_matches(word, list(index.weights), n=1, cutoff=0.75)
        mended.append(close[0] if close else word)
        if close:
            read_as = re.sub(rf"(?<![a-z0-9]){re.escape(word)}s?(?![a-z0-9])", close[0], read_as)
    query.words = mended
    return [read_as] if read_as != query.text else []


def _years_of(query: Query) -> list[int]:
    if query.year is not None:
        return [query.year]
    if query.short_year is None:
        return []
    return [1900 + query.short_year, 1800 + query.short_year]


def _date(catalog: Catalog, fits: Sequence[tuple[float, Findable]], query: Query) -> tuple[list[Hit], list[_Refused]]:
    """Hits told apart by the date and mint asked for, and the kinds that were never struck so."""
    hits: list[Hit] = []
    refusals: list[_Refused] = []
    best: float | None = None
    for score, entry in fits:
        if best is not None and score < best - _SPAN:
            break
        try:
            found = _dated(catalog, entry.kind, score, query)
        except NeverStruckError as error:
            refusals.append((score, entry.kind, error))
            continue
        if found and best is None:
            best = score
        hits += found
        if len(hits) >= 3 * MOST_HITS:
            break
    hits.sort(key=lambda hit: -hit.score)
    return hits, refusals


def _dated(catalog: Catalog, kind: Kind, score: float, query: Query) -> list[Hit]:
    years = _years_of(query)
    if not years:
        return [_hit(kind, None, score, query)]
    for place, year in enumerate(years):
        try:
            catalog.check_issue(kind.slug, year, query.mint)
        except NeverStruckError:
            if place == len(years) - 1:
                raise
            continue
        return _hits_of_year(catalog, kind, score, replace(query, year=year))
    return []


def _hits_of_year(catalog: Catalog, kind: Kind, score: float, query: Query) -> list[Hit]:
    year = query.year or 0
    issues = [issue for issue in catalog.issues_of_year(kind.slug, year) if not query.mint or issue.mint == query.mint]
    told = [_hit(kind, issue, score + _variety(issue, query), query) for issue in issues]
    if len(issues) == 1 and (query.mint or issues[0].mint == "P"):
        return told
    if query.mint and issues:
        return told
    dated = 0.3 if kind.first_year is not None else 0.0
    if kind.country != "US" and kind.first_year is not None and (kind.last_year or 9999) - kind.first_year <= 1:
        dated += 0.3
    return [_hit(kind, None, score + dated, query), *told]


def _variety(issue: Issue, query: Query) -> float:
    """Added to the score of an issue: a variety that was asked for goes first, one that was not goes last."""
    if not issue.variety:
        return 0.2
    asked = query.over == issue.variety or all(
        re.search(rf"(?<![a-z0-9]){re.escape(word)}(?![a-z0-9])", query.text) for word in issue.variety.lower().split()
    )
    return 1.0 if asked else -0.1


def _hit(kind: Kind, issue: Issue | None, score: float, query: Query) -> Hit:
    mint = issue.mint if issue is not None else query.mint
    said = tuple(trap.sentence for trap in traps(kind, query.year, mint))
    return Hit(kind=kind, issue=issue, score=round(score, 3), cautions=said)


def _refusal(
    catalog: Catalog, hits: Sequence[Hit], refusals: Sequence[_Refused], query: Query
) -> tuple[str, NeverStruckError] | None:
    """What is refused and why, if what was meant is what was refused: it fits better than any hit.

    It is one kind, or a whole denomination where none was named more closely.
    """
    if not refusals:
        return None
    best, likeliest, _ = max(refusals, key=lambda refused: refused[0])
    told = [hit for hit in hits if _is_told(hit, best, query)]
    if told and not query.country and likeliest.country != "US":
        return None
    if any(hit.kind.country == likeliest.country or hit.score > best for hit in told):
        return None
    meant = [(kind, error) for score, kind, error in refusals if score >= best - 1.0]
    names = {kind.denomination for kind, _ in meant if kind.country == "US" and kind.denomination}
    if len(meant) > 1 and len(names) == 1:
        return _refuse_denomination(catalog, names.pop(), query)
    year = _years_of(query)[0]
    kind, error = min(meant, key=lambda pair: _distance(pair[0], year))
    return kind.name, error


def _is_told(hit: Hit, best: float, query: Query) -> bool:
    """Whether a hit is known to have been struck as asked, or was named by a word and is not known to be otherwise."""
    if hit.kind.slug in HEAPS:
        return False
    named = bool(query.words) and hit.score >= best - 0.7
    return hit.issue is not None or hit.kind.country != "US" or named


def _distance(kind: Kind, year: int) -> int:
    first, last = kind.first_year or year, kind.last_year or year
    return max(first - year, year - last, 0)


def _refuse_denomination(catalog: Catalog, name: str, query: Query) -> tuple[str, NeverStruckError]:
    year = _years_of(query)[0]
    coin = next(coin for coin in DENOMINATIONS if coin.name == name)
    struck = [
        issue
        for kind in catalog.kinds
        if kind.denomination == name
        for issue in (*catalog.issues(kind.slug), *catalog.issues_beside(kind.slug, year))
    ]
    asked = Asked(what=coin.name, year=year, mint=query.mint)
    return coin.name, never_struck(asked, same_year=catalog.struck_in(coin.key, year), struck=struck)


def _near_names(index: Index, query: Query) -> list[str]:
    """Names to type where nothing fits: those that share a word, then those spelt alike, then a few examples."""
    names = {entry.name: entry.kind.name for entry in index.entries}
    bare = " ".join(query.words) or query.text
    close = difflib.get_close_matches(bare[:40], list(names), n=3, cutoff=0.5)
    bearing = [entry.kind.name for entry in index.entries if any(word in entry.words for word in query.words)]
    return [*bearing[:3], *(names[name] for name in close)] or ["90% dimes", "1943-S war nickel", "10 oz bar"]


def _plate(catalog: Catalog, query: Query) -> list[Hit]:
    """Where a mark of plate or base metal was typed: no silver, with what the mark means."""
    if query.dated or query.units or query.grams is not None:
        return []
    reading = read_mark(query.text)
    meant = [mark for mark in reading.plate if mark.solid == "no" and not query.text.isdigit()]
    if not meant or reading.standards:
        return []
    hit = _hit(catalog.kind("not-silver"), None, _EXACT / 2, query)
    return [replace(hit, cautions=(*reading.caution, *hit.cautions))]


def _articles(hits: Sequence[Hit], query: Query) -> list[Hit]:
    """Household hits in the construction that an article has, ahead of the bare standard."""
    built = construction(query.article)
    told: list[Hit] = []
    for hit in hits:
        if hit.kind.form is Form.HOUSEHOLD and not hit.kind.slug.endswith("unmarked"):
            told.append(_hit(built_as(hit.kind, built), None, hit.score + 0.5, query))
        told.append(hit)
    return sorted(told, key=lambda hit: -hit.score)
