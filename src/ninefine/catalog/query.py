"""Reading a look-up as people type it: year, mint, size, fineness, face, country, metal, and what words are left."""

import re
import unicodedata
from collections.abc import Callable, Container, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from ninefine.catalog.mints import MINTS
from ninefine.catalog.nicknames import ARTICLES, COUNTRIES, IDLE, METALS, NICKNAMES, NUMBERS

#: Longer texts are cut: nobody names a piece in more.
LONGEST = 160

_OUNCE = Fraction("31.1034768")
_MASSES = {"oz": _OUNCE, "kg": Fraction(1000), "g": Fraction(1)}
_NUMBER = r"\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+"
_SIZE = re.compile(
    rf"(?<![\d/.])({_NUMBER})[ -]?(?:troy )?(ozt?|ounces?|toz|kilos?|kilograms?|kg|grams?|gm|g)\b|\b(kilo|ounce)s?\b"
)
_LETTER = r"(?:[ -]?(cc|[pdsow])(?![a-z0-9']))?"
_YEAR = re.compile(
    rf"(?<![\d./$])(1[6-9]\d\d|20\d\d)(?:/(\d{{1,2}})(?!\d))?(?! ?(?:reis|yen|lire|dinars))-?{_LETTER}(?!\d)"
)
_SHORT_YEAR = re.compile(r"'(\d\d)(?:[ -]?(cc|[pdsow])(?![a-z0-9]))?(?!\d)|(?<![\d./])(\d\d)-(cc|[pdsow])(?![a-z0-9])")
_FACE_SUM = re.compile(r"\$? ?[\d,]+(?:\.\d+)? ?(?:dollars? )?face\b")
_PER_CENT = re.compile(r"(?<!\d)(\d{1,2}(?:\.\d+)?) ?(?:%|percent|per cent)")
_FINENESS = re.compile(
    r"(?<![\d/])0?\.(\d{3,4})(?!\d)|(?<![\d/.])(9999|999|958|925|900|835|800|720)(?![\d/])(?! ?[a-z])"
)
_DOLLARS = re.compile(r"\$ ?(\d+)(?![\d,.])")
#: Short forms that stand right behind a number -> the units that they may mean.
_SHORT_UNITS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("c", "ct", "cts"), ("cent", "centavo", "centime", "centimo")),
    "d": ("pence",),
    "s": ("shilling",),
    "dm": ("mark",),
    "rm": ("reichsmark",),
    **dict.fromkeys(("fr", "f"), ("franc",)),
    "kr": ("krona", "krone", "korona"),
    "r": ("real",),
}
#: U.S. and Canadian names of denominations -> number and unit.
_COIN_WORDS: dict[str, tuple[Fraction, str]] = {
    "half dime": (Fraction(5), "half-dime"),
    "half dollar": (Fraction(50), "cent"),
    "quarter dollar": (Fraction(25), "cent"),
    "nickel": (Fraction(5), "cent"),
    "dime": (Fraction(10), "cent"),
    "quarter": (Fraction(25), "cent"),
    "half": (Fraction(50), "cent"),
}
_PLURALS = {"halves": "half", "kronor": "krona", "kroner": "krone", "reales": "real", "lire": "lira", "lati": "lat"}


@dataclass(slots=True, kw_only=True)
class Query:
    """What was asked for, as far as it could be read.

    Attributes:
        text: as typed, tidied.
        year, mint: as asked; a short year leaves its century open in `short_year`.
        over: the digits under an overdate: `1942/1` gives `2 over 1`.
        grams: a nominal size in grams.
        fineness: parts in one.
        amount, units: a face value; with no amount, any of the unit.
        country, metal: codes, or empty.
        article: how an article of household silver is built.
        words: what is left, singular.
    """

    text: str
    year: int | None = None
    short_year: int | None = None
    mint: str = ""
    over: str = ""
    grams: Fraction | None = None
    fineness: Fraction | None = None
    amount: Fraction | None = None
    units: tuple[str, ...] = ()
    country: str = ""
    metal: str = ""
    article: str = ""
    words: list[str] = field(default_factory=list)

    @property
    def dated(self) -> bool:
        """Whether a year was asked for."""
        return self.year is not None or self.short_year is not None

    def asks(self, known: Container[str]) -> bool:
        """Whether anything was read that can tell pieces apart; words must be among those known."""
        read = (self.units, self.grams, self.fineness, self.country, self.metal, self.article, self.dated)
        return any(read) or any(word in known for word in self.words)


def tidy(text: str) -> str:
    """Lower case, accents taken off, odd marks made plain, spaces single; cut at 160 characters."""
    text = text[:LONGEST].replace("\N{VULGAR FRACTION ONE HALF}", " 1/2").replace("\N{CENT SIGN}", "c")
    text = text.replace("\N{VULGAR FRACTION ONE QUARTER}", " 1/4").replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    plain = text.casefold()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain)
        plain = "".join(mark for mark in plain if not unicodedata.combining(mark))
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", plain)
    return " ".join(re.sub(r"[^a-z0-9%$'/. -]+", " ", plain).split())


def singular(word: str) -> str:
    """A word without its plural ending, roughly: enough to match words with words."""
    if word in _PLURALS:
        return _PLURALS[word]
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us")) else word


def number_of(text: str) -> Fraction | None:
    """A number as typed, `1/2`, `2 1/2` or `2.50`; none where it is not one."""
    try:
        return sum((Fraction(part) for part in text.split()), Fraction(0))
    except (ValueError, ZeroDivisionError):
        return None


def read_query(text: str, units: frozenset[str]) -> Query:
    """Read a look-up.

    Args:
        text: as typed.
        units: singular names of units of money that are known.
    """
    query = Query(text=tidy(text))
    rest = _spell_out(query.text, units)
    rest, sums = _FACE_SUM.subn(" ", rest)
    for step in (_take_year, _take_size, _take_face, _take_fineness, _take_country, _take_article):
        rest = " ".join(step(query, rest, units).split())
    _take_words(query, rest, units)
    if sums and not query.words and not query.units and query.fineness is None:
        query.words.append("junk")
    return query


def _phrase(table: Mapping[str, object]) -> re.Pattern[str]:
    longest_first = sorted(table, key=len, reverse=True)
    return re.compile(r"(?<![a-z0-9])(" + "|".join(map(re.escape, longest_first)) + r")(?![a-z0-9])")


_NICKNAME = _phrase(NICKNAMES)
_COUNTRY = _phrase(COUNTRIES)
_ARTICLE = _phrase(ARTICLES)
_MINT_NAMES = {name.lower(): letter for letter, name in MINTS.items()}
_MINT_NAME = _phrase(_MINT_NAMES)


def _spell_out(text: str, units: frozenset[str]) -> str:
    """Put nicknames into plain words, and words for numbers before a unit into digits."""
    text = _NICKNAME.sub(lambda found: NICKNAMES[found[1]], text)
    words = text.split()
    for place, word in enumerate(words[:-1]):
        follows = singular(words[place + 1])
        counted = follows in {"oz", "ounce", "ozt", "kilo", "kg", "gram"} or (
            follows in units and not (word in {"half", "quarter"} and follows in {"dollar", "dime", "crown"})
        )
        if word in NUMBERS and counted:
            words[place] = NUMBERS[word]
    return " ".join(words)


def _take_year(query: Query, rest: str, _: frozenset[str]) -> str:
    years = list(_YEAR.finditer(rest))
    if years:
        # A name may bear a year of its own (`weight of 1837`): the year with a mint is meant, else the last.
        found = next((year for year in years if year[3]), years[-1])
        query.year = int(found[1])
        query.mint = (found[3] or "").upper()
        query.over = f"{found[1][-1]} over {found[2][-1]}" if found[2] else ""
        rest = rest[: found.start()] + " " + rest[found.end() :]
    else:
        short = _SHORT_YEAR.search(rest)
        if short:
            query.short_year = int(short[1] or short[3])
            query.mint = (short[2] or short[4] or "").upper()
            rest = rest[: short.start()] + " " + rest[short.end() :]
    named = _MINT_NAME.search(rest)
    if named:
        query.mint = query.mint or _MINT_NAMES[named[1]]
        rest = _MINT_NAME.sub(" ", rest)
    return rest


def _take_size(query: Query, rest: str, _: frozenset[str]) -> str:
    found = _SIZE.search(rest)
    if not found:
        return rest
    amount = number_of(found[1]) if found[1] else Fraction(1)
    unit = found[2] or found[3]
    key = "kg" if unit.startswith("k") else "g" if unit.startswith("g") else "oz"
    if not amount:
        return rest
    query.grams = amount * _MASSES[key]
    return rest[: found.start()] + " " + rest[found.end() :]


def _take_face(query: Query, rest: str, units: frozenset[str]) -> str:
    dollars = _DOLLARS.search(rest)
    if dollars:
        query.amount, query.units = Fraction(dollars[1]), ("dollar",)
        return rest[: dollars.start()] + " " + rest[dollars.end() :]
    for found in re.finditer(rf"(?<![\d/.])({_NUMBER})[ -]?([a-z]+)(?![a-z0-9])", rest):
        glued = rest[found.end(1)] == found[2][0]
        unit = singular(found[2])
        named = (unit,) if unit in units else _SHORT_UNITS.get(found[2], ()) if glued or found[2] != "s" else ()
        amount = number_of(found[1])
        if named and amount:
            query.amount, query.units = amount, named
            return rest[: found.start()] + " " + rest[found.end() :]
    return rest


def _take_fineness(query: Query, rest: str, _: frozenset[str]) -> str:
    found = _PER_CENT.search(rest)
    if found:
        query.fineness = Fraction(found[1]) / 100
    else:
        found = _FINENESS.search(rest)
        if not found:
            return rest
        query.fineness = Fraction("0." + (found[1] or found[2]))
    return rest[: found.start()] + " " + rest[found.end() :]


def _take_first(pattern: re.Pattern[str], rest: str, keep: Callable[[str], None]) -> str:
    found = pattern.search(rest)
    if not found:
        return rest
    keep(found[1])
    return rest[: found.start()] + " " + rest[found.end() :]


def _take_country(query: Query, rest: str, _: frozenset[str]) -> str:
    def keep(name: str) -> None:
        query.country = COUNTRIES[name]
        if name in {"newfoundland", "soviet", "british", "ottoman"}:
            query.words.append(name)

    return _take_first(_COUNTRY, rest, keep)


def _take_article(query: Query, rest: str, _: frozenset[str]) -> str:
    def keep(name: str) -> None:
        query.article = ARTICLES[name]

    rest = _take_first(_ARTICLE, rest, keep)
    return _ARTICLE.sub(" ", rest)


def _take_words(query: Query, rest: str, units: frozenset[str]) -> None:
    """Whatever is left: denominations by name, metals, mint letters, and plain words."""
    words = [singular(word.strip("'.-/")) for word in re.split(r"[ /]", rest)]
    words = [word for word in words if word]
    place = 0
    while place < len(words):
        pair = " ".join(words[place : place + 2])
        one = words[place]
        if pair in _COIN_WORDS and not query.units:
            query.amount, query.units = _COIN_WORDS[pair][0], (_COIN_WORDS[pair][1],)
            place += 1
        elif pair == "half crown":
            query.words.append("half-crown")
            place += 1
        elif one in _COIN_WORDS:
            if not query.units:
                query.amount, query.units = _COIN_WORDS[one][0], (_COIN_WORDS[one][1],)
        elif one in units and not query.units:
            # A bare `cent` is one cent, which holds no silver; other units stand for any number of them.
            query.amount, query.units = Fraction(1) if one == "cent" else None, (one,)
        elif one in METALS and not query.metal:
            query.metal = METALS[one]
        elif one.upper() in MINTS and query.dated:
            query.mint = query.mint or one.upper()
        elif one not in IDLE and not one.isdigit() and one not in query.words:
            query.words.append(one)
        place += 1
