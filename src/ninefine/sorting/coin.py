"""Reading one coin as it is typed at the table: `64d`, `43s`, `1921`, `16/merc`, `42v`, `64x20`, `n`, `-`."""

import re
from dataclasses import dataclass

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import Denomination, denomination
from ninefine.catalog.kinds import Form, Issue, Kind
from ninefine.errors import NeverStruckError, NotFoundError, RangeError, UnreadableError

#: Where a piece goes that is not told apart by date: its date worn off, or no silver in it.
_UNDATED = {
    "dime": "us-dime-90",
    "quarter": "us-quarter-90",
    "half": "us-half-90",
    "dollar": "us-dollar-90",
    "five-cent": "us-five-cent-wartime",
}
_BASE = {
    "dime": "us-dime-clad",
    "quarter": "us-quarter-clad",
    "half": "us-half-clad",
    "dollar": "us-dollar-eisenhower-clad",
    "five-cent": "us-five-cent-copper-nickel",
}
#: Two digits of a year lie in the hundred years that begin here: the Barber coinage, and the Morgan dollar.
PIVOT = 1892
PIVOTS = {"dollar": 1878, "three-cent": 1851, "half-dime": 1837, "twenty-cent": 1875}
#: In the slug of silver struck for collectors' sets after 1991.
_PROOF = "silver-proof"
#: Most pieces that one line may mark.
MOST = 5000

_COIN = re.compile(
    r"(?P<year>\d{4}|\d{2})\s*-?\s*(?P<mint>cc|[pdsow])?(?:/(?P<design>[a-z ]+?))?\s*(?:v(?P<variety>[1-9]?))?"
    r"\s*(?:[x*]\s*(?P<times>\d{1,4}))?",
    re.ASCII,
)
_APART = re.compile(r"(?P<what>n|-)\s*(?:[x*]?\s*(?P<times>\d{1,4}))?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coin:
    """A coin as it was read.

    Attributes:
        kind: the kind.
        issue: year, mint and variety; empty where it is not told apart.
        times: how many.
        rank: `key`, `semi-key` or `better` where sorters look for it, `proof` where it was struck for collectors alone.
        find: what to check before believing that it is worth more than metal; empty where the rank is.
        cautions: what may be wrong with the reading itself.
        varieties: what else the date and mint may be, the scarcest first; `v` after them means the first.
    """

    kind: Kind
    issue: str
    times: int
    rank: str = ""
    find: str = ""
    cautions: tuple[str, ...] = ()
    varieties: tuple[Issue, ...] = ()


def read_coin(catalog: Catalog, word: str, text: str, *, last_kind: str = "", worn_kind: str = "") -> Coin:
    """Read a coin of a denomination.

    A year of two digits lies in the hundred years from 1892 (dollars: from 1878); older ones are typed in full. No
    letter means no mint mark, that is Philadelphia; the silver five-cent piece of 1942 carries a large P, so there the
    letter tells the metal. A slash and the beginning of a design's name tells two designs of one year apart. `v` is the
    scarcest variety of the date and mint, `v2` the next. `x20` marks twenty at once, `n` is a piece that holds no
    silver, `-` one whose date is worn away.

    Args:
        catalog: what was struck when and where.
        word: the denomination, by any word for it.
        text: what was typed.
        last_kind: the slug marked last; of two designs of a year, it is taken.
        worn_kind: the slug that a piece without a date is of, where more than its denomination is known.

    Raises:
        UnreadableError: not a coin as it is typed.
        NeverStruckError: a date and mint that was never struck.
        RangeError: more than 5,000 at once.
    """
    coin = denomination(word)
    said = text.strip().lower()
    if apart := _APART.fullmatch(said):
        worn = {coin.key: worn_kind} if worn_kind else _UNDATED
        kinds = _BASE if apart["what"] == "n" else worn
        if coin.key not in kinds:
            raise NotFoundError(f"A {coin.name} is always told apart here.", expected="Type its year.")
        return Coin(kind=catalog.kind(kinds[coin.key]), issue="", times=_times(apart["times"]))
    read = _COIN.fullmatch(said)
    if read is None:
        raise UnreadableError(
            f"{text.strip()[:30]!r} is not a coin.",
            expected="Type year and mint; n for a piece without silver, - for a worn-off date.",
            instead=("64d", "43s", "1921", "64x20", "n", "-"),
        )
    year, struck = _year(catalog, coin, read["year"])
    if coin.key == "five-cent":
        base = [pair for pair in struck if pair[0].form is Form.NO_SILVER]
        silver = [pair for pair in struck if pair not in base]
        struck = (silver or base) if read["mint"] == "p" else (base or struck)
    mint = (read["mint"] or "P").upper()
    kind, issue, cautions = _told(catalog, struck, year, mint, read["design"] or "", last_kind)
    varieties = _varieties(catalog, kind, issue)
    if read["variety"] is not None:
        issue, varieties = _chosen(kind, issue, varieties, read["variety"])
    rank, find = rank_of(kind, issue)
    return Coin(
        kind=kind,
        issue=issue.key if issue is not None else f"{year}-{mint}",
        times=_times(read["times"]),
        rank=rank,
        find=find,
        cautions=cautions,
        varieties=varieties,
    )


def rank_of(kind: Kind, issue: Issue | None) -> tuple[str, str]:
    """How sorters call an issue (see `Coin.rank`), and what to check before believing it; both may be empty."""
    if issue is not None and issue.rank:
        return issue.rank, issue.look_for
    if (issue is not None and issue.proof_only) or _PROOF in kind.slug:
        return "proof", "struck for collectors alone; hold it by its edge, and keep it apart from the heap"
    return "", ""


#: The scarcest first.
_RANKS = ("key", "semi-key", "better", "")


def _varieties(catalog: Catalog, kind: Kind, issue: Issue | None) -> tuple[Issue, ...]:
    """The other rows of an issue's year and mint."""
    if issue is None:
        return ()
    others = [one for one in catalog.issues_of_year(kind.slug, issue.year) if one.mint == issue.mint and one != issue]
    return tuple(sorted(others, key=lambda one: _RANKS.index(one.rank)))


def _chosen(
    kind: Kind, issue: Issue | None, varieties: tuple[Issue, ...], number: str
) -> tuple[Issue, tuple[Issue, ...]]:
    """The variety of a number (the first without one), and what the coin may be besides.

    Raises:
        NotFoundError: the date and mint has no such variety here.
    """
    place = int(number or 1) - 1
    if issue is None or place >= len(varieties):
        date = kind.name if issue is None else f"{kind.name} {issue.year}-{issue.mint}"
        has = "; ".join(f"v{at} is {one.variety}" for at, one in enumerate(varieties, 1))
        raise NotFoundError(f"{date} has no such variety here.", expected=f"{has}." if has else "")
    chosen = varieties[place]
    return chosen, (issue, *(one for one in varieties if one != chosen))


Struck = list[tuple[Kind, list[Issue]]]


def _times(text: str | None) -> int:
    times = int(text) if text else 1
    if not 1 <= times <= MOST:
        raise RangeError(f"{times} at once is not a number of coins here.", expected=f"From 1 to {MOST:,}.")
    return times


def _year(catalog: Catalog, coin: Denomination, digits: str) -> tuple[int, Struck]:
    """The year, and what of the denomination bears it; two digits lie in the hundred years from the pivot."""
    year = int(digits)
    if len(digits) == 2:
        first = PIVOTS.get(coin.key, PIVOT)
        year += first - first % 100
        if year < first:
            year += 100
    struck = catalog.struck_in(coin.key, year)
    if not struck:
        raise NeverStruckError(
            f"No {coin.name} bears the date {year}.",
            expected="Look again, or type all four digits of an older year.",
            instead=("1964d",),
        )
    return year, struck


def _told(
    catalog: Catalog, struck: Struck, year: int, mint: str, design: str, last_kind: str
) -> tuple[Kind, Issue | None, tuple[str, ...]]:
    """The kind and issue, and a caution where two designs or metals of the year could be meant."""
    of_mint = [(kind, _of_mint(issues, mint)) for kind, issues in struck]
    fitting = [(kind, issue) for kind, issue in of_mint if issue is not None]
    fitting.sort(key=lambda pair: (pair[0].form is Form.NO_SILVER, -(pair[1].mintage or 0)))
    if design:
        fitting = [pair for pair in fitting if _is_design(pair[0], design)]
        if not fitting:
            raise UnreadableError(
                f"No design of {year} begins with {design!r}.", instead=[f"{year}/{kind.name}" for kind, _ in struck]
            )
    if not fitting:
        kind = struck[0][0]
        catalog.check_issue(kind.slug, year, mint)
        return kind, None, ()
    kind, issue = next((pair for pair in fitting if pair[0].slug == last_kind), fitting[0])
    others = [other.name for other, _ in fitting if other.slug != kind.slug]
    cautions: tuple[str, ...] = ()
    if others and not design:
        cautions = (
            f"{year} saw also: {', '.join(others)}. Marked as {kind.name}; a slash and a name tells them apart.",
        )
    if kind.form is Form.NO_SILVER:
        cautions += (f"{kind.name}: base metal, no silver.",)
    return kind, issue, cautions


def _of_mint(issues: list[Issue], mint: str) -> Issue | None:
    """The issue of a mint: the row without a variety, else the most struck of its varieties."""
    of_mint = [issue for issue in issues if issue.mint == mint]
    return max(of_mint, key=lambda issue: (not issue.variety, issue.mintage or 0), default=None)


def _is_design(kind: Kind, design: str) -> bool:
    return any(word.startswith(design.strip()) for word in kind.name.lower().split())
