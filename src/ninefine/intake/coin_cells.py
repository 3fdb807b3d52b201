"""Cells of a tally's line read into coins: what it is of, its date and mint, its variety, and how many."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from ninefine.catalog.catalog import HEAPS, Catalog
from ninefine.catalog.denominations import denomination
from ninefine.catalog.kinds import Issue, Kind
from ninefine.catalog.mints import MINTS
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.intake.columns import Kinds
from ninefine.measure.numbers import read_count
from ninefine.sorting.coin import Coin, rank_of, read_coin
from ninefine.worth.read_sheet import issue_of

#: More pieces than one line of any household's tally holds.
MOST = 1_000_000
#: Before the letter in the name of a column that counts the coins of one mint.
MINT = "mint "
LETTERS = {**{letter.lower(): letter for letter in MINTS}, **{name.lower(): letter for letter, name in MINTS.items()}}
_WORN = frozenset({"-", "worn", "no date", "dateless", "undated"})
_BASE = frozenset({"n", "no silver", "clad", "base"})
_DATE = re.compile(r"(?P<year>\d{4}|\d{2})\s*-?\s*(?P<mint>cc|[pdsow])?\s*(?:[x*]\s*(?P<times>\d{1,4}))?", re.ASCII)


@dataclass(frozen=True, slots=True)
class _What:
    """What a line's coin is of: a kind, and its denomination's key; the key alone where no more is said."""

    kind: Kind | None
    word: str


class CoinCells:
    """Reads lines against a catalog; names of kinds are looked up once each."""

    def __init__(self, catalog: Catalog, what: str) -> None:
        self._catalog = catalog
        self._kinds = Kinds(catalog)
        self._usual = what
        self._known: dict[str, _What] = {}

    def coins(self, cells: Mapping[str, str], names: tuple[str, ...]) -> Iterator[Coin]:
        """The coins of one line: one, or one for each mint that is counted; none where nothing is counted.

        Raises:
            InputError: a cell that cannot be used.
        """
        counted = {name.removeprefix(MINT): cells.get(name, "") for name in names if name.startswith(MINT)}
        if not counted:
            mint = cells.get("mint", "")
            counted = {mint: cells.get("count", "0" if "count" in names else "1")}
        for mint, said in counted.items():
            count = _count(said)
            if count:
                yield self._coin(self._what(cells), cells, mint, count)

    def _what(self, cells: Mapping[str, str]) -> _What:
        told = [self._named(cells[name]) for name in ("kind", "denomination") if name in cells]
        if not told and self._usual:
            told = [self._named(self._usual)]
        if not told:
            raise NotFoundError("Nothing says what coin this is.", expected="Name a denomination or a kind.")
        if len({what.word for what in told}) > 1:
            raise RangeError(f"{cells['kind'][:40]} is no {cells['denomination'][:40]}.")
        return told[0]

    def _named(self, said: str) -> _What:
        if said not in self._known:
            self._known[said] = self._read_what(said)
        return self._known[said]

    def _read_what(self, said: str) -> _What:
        try:
            return _What(None, denomination(said).key)
        except NotFoundError:
            kind = self._kinds.named(said)
        word = denomination(kind.denomination).key if kind.country == "US" and kind.face and kind.denomination else ""
        return _What(kind, word)

    def _coin(self, what: _What, cells: Mapping[str, str], mint: str, count: int) -> Coin:
        date = (cells.get("coin") or cells.get("year", "")).lower()
        date = "-" if date in _WORN else "n" if date in _BASE else date
        letter = _letter(mint)
        heap = what.kind is None or (bool(what.word) and what.kind.slug in HEAPS and date not in {"", "-"})
        if what.kind is not None and not heap:
            coin = self._of_kind(what.kind, date, letter)
        elif date:
            coin = _by_letter(read_coin(self._catalog, what.word, date + letter if date[:1].isdigit() else date))
        else:
            raise UnreadableError("No date is said.", expected="A date, - where it is worn away, n for no silver.")
        if coin.times > 1 and count > 1:
            raise RangeError(f"{date[:20]!r} says how many, and {count} stands beside it.", expected="Say it once.")
        if "variety" in cells:
            coin = self._variety(coin, cells["variety"])
        return replace(coin, times=coin.times * count)

    def _of_kind(self, kind: Kind, date: str, letter: str) -> Coin:
        """A coin whose kind is told: its date needs only to be one that the kind bears."""
        if date in {"", "-"}:
            return Coin(kind=kind, issue="", times=1)
        read = _DATE.fullmatch(date + letter.lower())
        if read is None:
            raise UnreadableError(f"{(date + letter)[:30]!r} is not a date and mint.", instead=("1944-D", "64d", "-"))
        year, mint = _year(kind, read["year"]), (read["mint"] or "").upper()
        key = issue_of(self._catalog, kind, year, mint)
        issues = [one for one in self._catalog.issues_of_year(kind.slug, year) if one.mint == key.partition("-")[2]]
        # As at the table: the row without a variety, else the variety of which most were struck.
        issue = max(issues, key=lambda one: (not one.variety, one.mintage or 0), default=None)
        coin = Coin(kind=kind, issue=key, times=int(read["times"] or 1))
        return coin if issue is None else _found(coin, issue)

    def _variety(self, coin: Coin, variety: str) -> Coin:
        """The variety of a coin's date and mint.

        Raises:
            NotFoundError: there is no such variety.
        """
        year, _, mint = coin.issue.partition(":")[0].partition("-")
        issue = self._catalog.check_issue(coin.kind.slug, int(year), mint, variety) if year else None
        if issue is None:
            raise NotFoundError(f"{coin.kind.name} {coin.issue or 'without a date'} has no variety {variety[:40]!r}.")
        return _found(coin, issue)


def _by_letter(coin: Coin) -> Coin:
    """A table's P may mean the city as well as the letter, which in 1942 alone tells silver from none."""
    if (coin.kind.slug, coin.issue) != ("us-five-cent-wartime", "1942-P"):
        return coin
    words = "1942-P is read as the silver piece, with a large P; leave the mint empty for the one without a letter."
    return replace(coin, cautions=(*coin.cautions, words))


def _found(coin: Coin, issue: Issue) -> Coin:
    rank, find = rank_of(coin.kind, issue)
    return replace(coin, issue=issue.key, rank=rank, find=find, varieties=())


def _letter(mint: str) -> str:
    """A mint's letter by its letter or its name; empty where none is said."""
    word = mint.strip().lower()
    if word in {"", "-", "none"}:
        return ""
    if word not in LETTERS:
        raise NotFoundError(f"{mint[:20]!r} is not a mint of the United States.", instead=list(MINTS))
    return LETTERS[word]


def _year(kind: Kind, digits: str) -> int:
    """A year in full, or the one year that ends so in which the kind was struck."""
    if len(digits) == 4:
        return int(digits)
    first, last = kind.first_year, kind.last_year or (kind.first_year or 0) + 99
    years = [] if first is None else [year for year in range(first, last + 1) if year % 100 == int(digits)]
    if len(years) != 1:
        raise UnreadableError(f"{digits!r} may be several years, or none, of {kind.name}.", expected="Write all four.")
    return years[0]


def _count(said: str) -> int:
    word = said.strip()
    if word in {"", "-"}:
        return 0
    count = read_count(word, zero=True)
    if count > MOST:
        raise RangeError(f"{count} is more than one line may hold.", expected=f"At most {MOST:,}.")
    return count
