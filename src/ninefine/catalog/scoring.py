"""How well a kind fits what was asked: each part of a look-up speaks for it or against it."""

from ninefine.catalog.catalog import HEAPS, how_common
from ninefine.catalog.index import Findable, Index
from ninefine.catalog.kinds import Form
from ninefine.catalog.query import Query

#: A part that speaks against a kind by this much rules it out.
_AGAINST = -5.0
#: Words for the shape of a piece: one of another shape is not meant.
_SHAPES = frozenset({"bar", "round"})
#: What is likelier meant where no country is named: what a household in the United States meets.
_LIKELIER = {"US": 1.5, "CA": 0.8, "MX": 0.6, "GB": 0.6}


def scored(index: Index, query: Query) -> list[tuple[float, Findable]]:
    """Every kind that does not speak against the query, by score, best first."""
    if not query.asks(index.weights):
        return []
    fits: list[tuple[float, Findable]] = []
    for entry in index.entries:
        score = _score(index, entry, query)
        if score > 0.5:
            fits.append((score, entry))
    fits.sort(key=lambda pair: -pair[0])
    return fits


def _score(index: Index, entry: Findable, query: Query) -> float:
    parts = [_score_words(index, entry, query)]
    if parts[0] > _AGAINST:
        parts += [
            _score_face(entry, query),
            _score_metal(entry, query),
            _score_place(entry, query),
            _score_use(entry, query),
        ]
    if min(parts) <= _AGAINST:
        return -1.0
    return sum(parts)


def _score_words(index: Index, entry: Findable, query: Query) -> float:
    score = 0.0
    for word in query.words:
        if word in entry.words:
            score += index.weights[word]
        elif word in index.weights:
            score -= 8.0 if word in _SHAPES else 4.0
        else:
            score -= 0.5
    if query.article:
        score += 2.0 if entry.kind.form is Form.HOUSEHOLD else 2 * _AGAINST
    extra = len(entry.words) - len(query.words)
    return score - 0.02 * extra if score > 0 or not query.words else score - 2.0


def _score_face(entry: Findable, query: Query) -> float:
    score = 0.0
    if query.units:
        if not entry.units & set(query.units):
            score += -1.5 if entry.kind.slug == "not-silver" else 2 * _AGAINST
        elif query.amount is None:
            score += 2.5 if entry.amount == 1 else 1.5
        else:
            score += 4.0 if entry.amount == query.amount else 2 * _AGAINST
    # Household silver has no size of its own: a weight typed beside its mark is the weight of the article.
    marked = entry.kind.form is Form.HOUSEHOLD and bool(query.words or query.fineness or query.article)
    if query.grams is not None and not marked:
        near = entry.grams is not None and abs(entry.grams - query.grams) <= query.grams / 200
        score += 4.0 if near else 2 * _AGAINST
    return score


def _score_metal(entry: Findable, query: Query) -> float:
    kind, score = entry.kind, 0.0
    if query.metal:
        score += 1.5 if kind.metal == query.metal else 2 * _AGAINST
        score -= 1.0 if kind.form is Form.NO_SILVER else 0.0
    else:
        score += 1.0 if kind.metal == "XAG" else 0.0
    if query.fineness is not None:
        score += 3.0 if abs(entry.fineness - query.fineness) <= query.fineness / 900 else 2 * _AGAINST
    return score


def _score_place(entry: Findable, query: Query) -> float:
    country = entry.kind.country
    if query.country:
        if country == query.country:
            return 3.0
        return -3.0 if not country else 2 * _AGAINST
    return _LIKELIER.get(country, 0.3)


def _score_use(entry: Findable, query: Query) -> float:
    """The common goes before the rare; a dated piece is not a heap; a bare mark means household silver."""
    kind = entry.kind
    if kind.slug == "not-silver" and not entry.words.intersection(query.words):
        return 2 * _AGAINST
    if kind.slug in HEAPS:
        return -4.0 if query.dated else 0.6 if kind.face is not None else 1.1
    score = 0.0
    if kind.slug.startswith("nf-") and "newfoundland" not in query.words:
        score -= 0.6
    if kind.country == "US" and kind.form is not Form.BULLION:
        score += (0.3, 0.0, -0.3)[how_common(kind)]
        if kind.form is Form.NO_SILVER and query.mint == "S":
            score -= 0.6
    if query.grams is not None and not query.words and "generic" in entry.words:
        score += 1.3
    marked = query.fineness is not None or "sterling" in query.words
    if kind.form is Form.HOUSEHOLD and marked and not (query.units or query.grams or query.dated):
        score += 1.5
    return score
