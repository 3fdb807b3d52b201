"""What each kind can be found by, prepared once for a catalog."""

import math
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import DENOMINATIONS
from ninefine.catalog.kinds import Form, Kind
from ninefine.catalog.nicknames import ALSO_CALLED, COUNTRIES, IDLE, METALS
from ninefine.catalog.query import number_of, singular, tidy

_HALF_CROWN = (Fraction(30), frozenset({"pence"}))
_US_FACES = {coin.name: coin for coin in DENOMINATIONS}
#: Names of coins that are asked for as if they were units.
_NAMED_UNITS = frozenset({"florin", "crown", "rouble", "rupee", "riyal"})
_FACE_IN_NAME = re.compile(r"(?<!\d)(\d+) (pesos|francs|mark|corona|gulden)(?![a-z])")
_NOMINAL = re.compile(r"nominal (\S+) (ozt|g) fine")


@dataclass(frozen=True, slots=True, kw_only=True)
class Findable:
    """A kind with what it can be found by.

    Attributes:
        kind: the kind.
        name: its name, tidied.
        words: of its name, slug and nicknames, singular.
        amount, units: its face value: a number, and names of its unit.
        grams: its nominal size, for bullion.
        fineness: parts in one.
    """

    kind: Kind
    name: str
    words: frozenset[str]
    amount: Fraction | None
    units: frozenset[str]
    grams: Fraction | None
    fineness: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """Every kind of a catalog with what it can be found by.

    Attributes:
        entries: in the order of the catalog.
        weights: word -> how much it tells, from how few kinds bear it.
        units: every unit of money, singular.
        by_name: tidied names and slugs -> kinds.
        varieties: words that tell varieties of an issue apart.
    """

    entries: tuple[Findable, ...]
    weights: Mapping[str, float]
    units: frozenset[str]
    by_name: Mapping[str, tuple[Kind, ...]]
    varieties: frozenset[str]


@lru_cache(maxsize=4)
def index_of(catalog: Catalog) -> Index:
    """The index of a catalog, made once."""
    entries = tuple(_entry(kind) for kind in catalog.kinds)
    bearers = Counter(word for entry in entries for word in entry.words)
    by_name: dict[str, list[Kind]] = {}
    for entry in entries:
        for name in {entry.name, tidy(entry.kind.slug)}:
            by_name.setdefault(name, []).append(entry.kind)
    return Index(
        entries=entries,
        weights={word: 1.0 + math.log(len(entries) / count) / 3 for word, count in bearers.items()},
        units=frozenset(unit for entry in entries for unit in entry.units) | {"cent", "dollar", "shilling", "pence"},
        by_name={name: tuple(kinds) for name, kinds in by_name.items()},
        varieties=frozenset(
            singular(word)
            for issues in catalog.issues_of.values()
            for issue in issues
            if issue.variety
            for word in issue.variety.lower().split()
        ),
    )


def _entry(kind: Kind) -> Findable:
    name = tidy(kind.name)
    amount, units = _face(kind)
    spoken = [singular(word) for word in re.split(r"[^a-z0-9-]+", name)]
    spoken += [part for word in spoken if "-" in word for part in word.split("-")]
    spoken += [singular(word) for word in kind.slug.split("-") if len(word) > 2]
    spoken += ALSO_CALLED.get(kind.slug, ())
    if kind.form is Form.HOUSEHOLD:
        spoken.append("household")
    if "half crown" in name:
        spoken.append("half-crown")
    words = frozenset(word for word in spoken if word and not word.isdigit() and word not in IDLE | METALS.keys())
    return Findable(
        kind=kind,
        name=name,
        words=words | ({"sterling"} if kind.fineness == _STERLING else frozenset()),
        amount=amount,
        units=units,
        grams=_nominal(kind),
        fineness=Fraction(kind.fineness),
    )


_STERLING = Fraction("0.925")


def _face(kind: Kind) -> tuple[Fraction | None, frozenset[str]]:
    """A face value as number and unit. Parts of a dollar are cents, so that a dime is `10 cents` here and in Canada."""
    if kind.form is Form.BULLION:
        return _face_in_name(kind.name)
    if kind.country == "US" and kind.denomination in _US_FACES:
        coin = _US_FACES[kind.denomination]
        if coin.key == "half-dime":
            return Fraction(5), frozenset({coin.key})
        return (
            (Fraction(1), frozenset({"dollar"}))
            if coin.key == "dollar"
            else (Fraction(coin.face) * 100, frozenset({"cent"}))
        )
    if kind.denomination == "2 shillings 6 pence":
        return _HALF_CROWN
    number, _, unit = tidy(kind.denomination).rpartition(" ")
    units = {singular(unit)} - {""} | ({"mark"} if unit == "reichsmark" else set())
    units |= _NAMED_UNITS.intersection(tidy(kind.name).replace(",", "").split())
    return number_of(number.removesuffix(" deutsche")), frozenset(units)


def _face_in_name(name: str) -> tuple[Fraction | None, frozenset[str]]:
    """The face of a gold coin of an old currency stands in its name alone: `Mexico 50 pesos centenario`."""
    found = _FACE_IN_NAME.search(tidy(name))
    return (Fraction(found[1]), frozenset({singular(found[2])})) if found else (None, frozenset())


def _nominal(kind: Kind) -> Fraction | None:
    found = _NOMINAL.search(kind.composition)
    amount = number_of(found[1]) if found else None
    if not found or not amount:
        return None
    return amount * (Fraction("31.1034768") if found[2] == "ozt" else 1)


def country_name(code: str) -> str:
    """A country in plain words, by its code; the code where no word is held."""
    for name, held in COUNTRIES.items():
        if held == code and len(name) > 2:
            return name.title()
    return code
