"""What the tally board shows: rows by year and mint, finds and what to check, the last marks, what was struck when."""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import DENOMINATIONS, Denomination, denomination
from ninefine.catalog.kinds import Form, Issue, Kind
from ninefine.catalog.mints import MINTS, mint_mark_place
from ninefine.catalog.traps import traps
from ninefine.desk.kit import Kit
from ninefine.desk.sorting import Board, heap_kind, window_of
from ninefine.measure.numbers import plain, to_places
from ninefine.sorting.coin import PIVOT, PIVOTS, Coin, rank_of, read_coin
from ninefine.sorting.tally import Mark

#: The denominations that a bag of circulated silver holds, as the board offers them first.
USUAL = ("five-cent", "dime", "quarter", "half", "dollar")
#: The metals of the five-cent piece are told by a letter, not by a design's name.
_WARTIME = "us-five-cent-wartime"
_BASE_FIVE = "us-five-cent-copper-nickel"
#: Common practice, no source.
_ALTERED = (
    "Under a glass, look along the foot of the letter for a seam, and whether the field about it was worked over: "
    "mint marks are added and cut away"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """What else a coin's date and mint may be: in words, why it matters, and how it is typed."""

    words: str
    why: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What is said of a coin that was marked.

    Attributes:
        name: its kind: `Mercury (Winged Liberty) dime`.
        date: year, mint and variety: `1942-P, 2 over 1`; empty where it was not told apart.
        word: its denomination, as `sorting.coin.read_coin` takes it; empty for coin of other countries.
        rank: see `sorting.coin.Coin`; empty for common coin.
        checks: what to check before believing in it, sentence by sentence; empty for common coin.
        cautions: what may be wrong with the reading.
        others: what else it may be: varieties that sorters look for, the scarcest first, and other designs of its date.
    """

    name: str
    date: str
    word: str
    rank: str
    checks: tuple[str, ...]
    cautions: tuple[str, ...]
    others: tuple[Other, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One year and mint of a kind: how many were told, whether any were struck, and the issue's rank."""

    count: int
    struck: bool
    rank: str


@dataclass(frozen=True, slots=True, kw_only=True)
class YearLine:
    """One year of a kind, perhaps a variety of it, with a place for each mint of the grid."""

    year: int
    variety: str
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """What was told of one kind, by year and mint. `loose` pieces were not told apart by date."""

    kind: Kind
    mints: tuple[str, ...]
    lines: tuple[YearLine, ...]
    loose: int
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """An issue told on a tally that may be worth more than its metal."""

    look: Look
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Last:
    """A mark that stands, as the list of the last marks shows it. `elsewhere`: another window made it."""

    mark: Mark
    name: str
    date: str
    rank: str
    elsewhere: bool


@cache
def look_at(catalog: Catalog, slug: str, key: str) -> Look:
    """What is said of a kind and issue; worked out once for each.

    Raises:
        NotFoundError: no such kind.
    """
    kind, issue = catalog.kind(slug), _issues(catalog, slug).get(key)
    rank, look_for = rank_of(kind, issue)
    plain_date = issue is not None and bool(_word(kind))
    read = read_coin(catalog, _word(kind), _typed(issue, kind), last_kind=slug) if issue and plain_date else None
    base = (f"{kind.name}: base metal, no silver.",) if kind.form is Form.NO_SILVER else ()
    as_read = read is not None and read.issue == key
    return Look(
        name=kind.name,
        date=key.replace(":", ", "),
        word=_word(kind),
        rank=rank,
        checks=_checks(kind, issue, rank, look_for) if rank else (),
        cautions=read.cautions if read is not None and as_read else base,
        others=(*_varieties(read, issue), *_designs(catalog, kind, issue)) if read and issue and as_read else (),
    )


def grids(kit: Kit, board: Board, only: Collection[str] | None = None) -> tuple[Grid, ...]:
    """What was told, kind by kind as `kinds_in_order` has them; of some kinds only, where they are named."""
    catalog = kit.catalog()
    counts: dict[str, dict[str, int]] = {}
    for row in board.tally.rows:
        if only is None or row.kind in only:
            counts.setdefault(row.kind, {})[row.issue] = row.count
    return tuple(_grid(catalog, board.kinds[slug], counts[slug]) for slug in kinds_in_order(board) if slug in counts)


def kinds_in_order(board: Board) -> tuple[str, ...]:
    """The kinds told: by denomination from the smallest, then by age."""
    kinds = sorted(board.kinds.values(), key=lambda kind: (kind.face or 0, kind.first_year or 0, kind.slug))
    return tuple(kind.slug for kind in kinds)


def finds(kit: Kit, board: Board) -> tuple[Find, ...]:
    """The issues told that sorters look for, the scarcest first."""
    catalog = kit.catalog()
    order = ("key", "semi-key", "proof", "better")
    found = [(row, look_at(catalog, row.kind, row.issue)) for row in board.tally.rows if row.issue]
    ranked = [(row, look) for row, look in found if look.rank]
    ranked.sort(key=lambda pair: (order.index(pair[1].rank), pair[0].kind, pair[0].issue))
    return tuple(Find(look=look, count=row.count) for row, look in ranked)


def last_marks(kit: Kit, board: Board, window: str = "", opened: int = 0) -> tuple[Last, ...]:
    """The last marks that stand, newest first; those that came since a window was opened may be another's."""
    catalog = kit.catalog()
    found = []
    for mark in board.tally.latest:
        look = look_at(catalog, mark.kind, mark.issue)
        elsewhere = bool(window) and mark.seq > opened and window_of(mark.note) != window
        found.append(Last(mark=mark, name=look.name, date=look.date, rank=look.rank, elsewhere=elsewhere))
    return tuple(found)


def usual_word(kit: Kit, board: Board) -> str:
    """The denomination to begin with: that of the last mark, else the heap's, else dimes."""
    latest = board.tally.latest
    kind = kit.kind_or_none(latest[0].kind) if latest else board.heap and kit.kind_or_none(board.heap.kind)
    return (kind and _word(kind)) or "dime"


def is_mixed(kit: Kit, board: Board) -> bool:
    """Whether the heap may hold several denominations."""
    kind = None if board.heap is None else kit.kind_or_none(board.heap.kind)
    return kind is not None and not kind.denomination and heap_kind(kit, board.number) is None


@cache
def struck_in_silver(catalog: Catalog, word: str) -> Mapping[int, tuple[str, ...]]:
    """Year -> mints of silver, for every date that two digits of a denomination can mean."""
    coin = denomination(word)
    first = PIVOTS.get(coin.key, PIVOT)
    found: dict[int, tuple[str, ...]] = {}
    for year in range(first, first + 100):
        silver = [issues for kind, issues in catalog.struck_in(coin.key, year) if kind.form is not Form.NO_SILVER]
        mints = {issue.mint for issues in silver for issue in issues}
        if silver:
            found[year] = tuple(mint for mint in MINTS if mint in mints)
    return found


def denominations() -> tuple[Denomination, ...]:
    """Every denomination, those first that a bag holds."""
    return tuple(sorted(DENOMINATIONS, key=lambda coin: coin.key not in USUAL))


@cache
def _issues(catalog: Catalog, slug: str) -> Mapping[str, Issue]:
    return {issue.key: issue for issue in catalog.issues_of.get(slug, ())}


def _word(kind: Kind) -> str:
    return next((coin.key for coin in DENOMINATIONS if kind.country == "US" and coin.name == kind.denomination), "")


def _beside(other: Issue, issue: Issue) -> bool:
    return (other.year, other.mint) == (issue.year, issue.mint) and other != issue


def _grid(catalog: Catalog, kind: Kind, counts: Mapping[str, int]) -> Grid:
    issues = _issues(catalog, kind.slug)
    told = {key: _parts(key) for key in counts if key}
    mints = tuple(mint for mint in MINTS if any(mint == parts[1] for parts in told.values()))
    lines = []
    for year, variety in sorted({(year, variety) for year, _, variety in told.values()}):
        places = []
        for mint in mints:
            key = f"{year}-{mint}" + (f":{variety}" if variety else "")
            issue = issues.get(key)
            count = counts.get(key, 0)
            places.append(Place(count=count, struck=bool(issue or count), rank=rank_of(kind, issue)[0]))
        lines.append(YearLine(year=year, variety=variety, places=tuple(places)))
    return Grid(kind=kind, mints=mints, lines=tuple(lines), loose=counts.get("", 0), pieces=sum(counts.values()))


def _parts(key: str) -> tuple[int, str, str]:
    """Year, mint and variety of an issue's key."""
    date, _, variety = key.partition(":")
    year, _, mint = date.partition("-")
    return int(year), mint, variety


def _checks(kind: Kind, issue: Issue | None, rank: str, look_for: str) -> tuple[str, ...]:
    """What to check before a find is believed: its reason, its own traps, the mint mark, the weight."""
    said = [look_for]
    if issue is not None and rank in {"key", "semi-key"}:
        usual = {trap.text for year in (issue.year - 1, issue.year + 1) for trap in traps(kind, year, issue.mint)}
        own = [trap.text for trap in traps(kind, issue.year, issue.mint) if trap.text not in usual]
        said += [text for text in own if not ("faked" in text and "faked" in look_for)]
        place = mint_mark_place(kind.slug)
        if place and issue.mint == "P" and not kind.slug.startswith("us-five-cent"):
            said.append(f"Philadelphia coin bears no letter: look for a scar where one would sit ({place})")
        elif place:
            said += [f"Where the mint mark sits: {place}", _ALTERED]
        if kind.gross_g is not None:
            within = f", within {plain(to_places(kind.tolerance_g, 3))} g" if kind.tolerance_g is not None else ""
            said.append(f"Weigh it: {plain(to_places(kind.gross_g, 3))} g new{within}; worn pieces are lighter")
    return tuple(f"{text[0].upper()}{text[1:].rstrip('.')}." for text in said)


def _typed(issue: Issue, kind: Kind) -> str:
    """A date and mint as they are typed. Philadelphia needs no letter, but silver five-cent pieces bear one."""
    bare = issue.mint == "P" and kind.slug != _WARTIME
    return f"{issue.year}{'' if bare else issue.mint.lower()}"


def _varieties(read: Coin, issue: Issue) -> tuple[Other, ...]:
    typed = _typed(issue, read.kind)
    return tuple(
        Other(words=f"{one.variety} ({one.rank})", why=one.look_for, text=f"{typed}v{at}")
        for at, one in enumerate(read.varieties, 1)
        if one.rank
    )


def _designs(catalog: Catalog, kind: Kind, issue: Issue) -> tuple[Other, ...]:
    """The other designs of a date and mint, each by a word of its name that the rest do not have."""
    kinds = [
        other
        for other, issues in catalog.struck_in(_word(kind), issue.year)
        if any(one.mint == issue.mint for one in issues)
    ]
    found = []
    for other in kinds:
        if other != kind and (kind.slug, other.slug) != (_WARTIME, _BASE_FIVE) and kind.slug != _BASE_FIVE:
            rest = " ".join(one.name.lower() for one in kinds if one != other).split()
            own = [word for word in re.findall(r"[a-z]+", other.name.lower()) if word not in rest]
            if own:
                found.append(Other(words=other.name, why="", text=f"{_typed(issue, kind)}/{own[0]}"))
    return tuple(found)
