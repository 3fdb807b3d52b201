"""Household silver: held by gross weight and standard, and only partly silver where weighted, hollow or filled."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from ninefine.catalog.kinds import Evidence, Form, Kind, fine_ozt_of
from ninefine.catalog.tables import Row, packaged_lines, read_table
from ninefine.errors import NotFoundError
from ninefine.measure.numbers import plain

#: Between a standard and a construction in a kind's slug: `household-sterling-925.weighted-candlestick`.
JOINT = "."
_STANDARDS = ("standard_id", "fineness", "marks", "where_used", "legal_tolerance", "caution", "source", "evidence")
_CONSTRUCTIONS = (
    *("item_kind", "silver_share_low", "silver_share_high", "silver_g_low", "silver_g_high", "basis", "note"),
    *("source", "evidence"),
)
_PLATE = ("mark", "meaning", "solid_silver", "note", "source", "evidence")
#: Words in the description of a mark that tell nothing by themselves.
_PICTURE_WORDS = frozenset({"WITH", "HEAD", "MARK", "MARKS", "STAR", "BEFORE", "ONLY", "NAME", "SILVER"})
_NAMES = {
    "fine-999": "Fine silver, .999",
    "mexico-980": "Mexican silver, .980",
    "britannia-9584": "Britannia silver, .9584",
    "france-950": "French first standard, .950",
    "russia-91-zolotnik": "Russian silver, 91 zolotnik",
    "continental-935": "Continental silver, .935",
    "sterling-925": "Sterling silver, .925",
    "spain-portugal-916": "Spanish and Portuguese first standard, .916",
    "russia-88-zolotnik": "Russian silver, 88 zolotnik",
    "coin-900": "Coin silver, .900",
    "us-coin-8924": "Early American coin silver, .8924",
    "russia-84-zolotnik": "Russian silver, 84 zolotnik",
    "soviet-916": "Soviet silver, .916",
    "netherlands-835": "Dutch second standard, .835",
    "portugal-833": "Portuguese second standard, .833",
    "scandinavia-830": "Scandinavian silver, .830",
    "sweden-finland-813": "Finnish silver, .813",
    "german-13-lot": "German silver of 13 lot",
    "german-12-lot": "German silver of 12 lot",
    "continental-800": "Continental silver, .800",
    "austria-750": "Austrian silver, .750",
    "ftc-number-silver": "Silver marked with its own number",
    "unmarked": "Unmarked household silver",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """A standard of household silver, and the marks that claim it. `fineness` is none where the mark fixes none."""

    slug: str
    name: str
    fineness: Decimal | None
    marks: tuple[str, ...]
    where_used: str
    tolerance: str
    caution: str
    source: str
    evidence: Evidence


@dataclass(frozen=True, slots=True, kw_only=True)
class Construction:
    """How an article is built: the share of its gross weight that is silver, low and high.

    `silver_g_low`, `silver_g_high` are grams of silver in one handle, where the trade speaks of that.
    """

    key: str
    share_low: Decimal
    share_high: Decimal
    silver_g_low: Decimal | None = None
    silver_g_high: Decimal | None = None
    basis: str
    note: str
    source: str
    evidence: Evidence

    @property
    def name(self) -> str:
        """In plain words."""
        return self.key.replace("-", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateMark:
    """A mark that means plate, base metal or filling. `solid`: no, maybe, partly or yes."""

    mark: str
    meaning: str
    solid: str
    note: str
    source: str
    evidence: Evidence

    @property
    def texts(self) -> tuple[str, ...]:
        """The texts that the mark may read, upper case."""
        head = re.split(r" without | in most forms| in a square| and like |: ", self.mark)[0]
        return tuple(part.strip().upper() for part in re.split(r" / |, | or ", head) if part.strip())


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkReading:
    """What a mark may mean.

    Attributes:
        text: as typed.
        standards: standards that the mark claims; more than one where it can be read in several ways.
        plate: plate or base-metal readings of it.
        caution: sentences to read before believing it.
    """

    text: str
    standards: tuple[Standard, ...]
    plate: tuple[PlateMark, ...]
    caution: tuple[str, ...]

    @property
    def known(self) -> bool:
        """Whether any reading was found."""
        return bool(self.standards or self.plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class FineRange:
    """Fine troy ounces by weight and mark, from low to high."""

    low_ozt: Decimal
    high_ozt: Decimal


def parse_standards(lines: Iterable[str], *, source: str = "household.csv") -> tuple[Standard, ...]:
    """Standards of household silver.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_STANDARDS, build=_standard)


def _standard(row: Row) -> Standard:
    identity = row.needed("standard_id")
    fineness = row.fineness("fineness") if row.text("fineness") else None
    return Standard(
        slug=f"household-{identity}",
        name=_NAMES.get(identity, identity.replace("-", " ").capitalize()),
        fineness=fineness,
        marks=tuple(mark.strip() for mark in row.needed("marks").split(";")),
        where_used=row.text("where_used"),
        tolerance=row.text("legal_tolerance"),
        caution=row.text("caution"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )


def parse_constructions(
    lines: Iterable[str], *, source: str = "household_construction.csv"
) -> tuple[Construction, ...]:
    """How articles are built.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_CONSTRUCTIONS, build=_construction)


def _construction(row: Row) -> Construction:
    low, high = row.fineness("silver_share_low"), row.fineness("silver_share_high")
    if low > high:
        row.fault("silver_share_low", f"{low} is more than the high share {high}")
    return Construction(
        key=row.needed("item_kind"),
        share_low=low,
        share_high=high,
        silver_g_low=row.decimal("silver_g_low"),
        silver_g_high=row.decimal("silver_g_high"),
        basis=row.text("basis"),
        note=row.text("note"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )


def parse_plate_marks(lines: Iterable[str], *, source: str = "plated.csv") -> tuple[PlateMark, ...]:
    """Marks that mean plate, base metal or filling.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_PLATE, build=_plate_mark)


def _plate_mark(row: Row) -> PlateMark:
    return PlateMark(
        mark=row.needed("mark"),
        meaning=row.needed("meaning"),
        solid=row.needed("solid_silver"),
        note=row.text("note"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )


@lru_cache(maxsize=1)
def standards() -> tuple[Standard, ...]:
    """The packaged standards."""
    return parse_standards(packaged_lines("world/household.csv"))


@lru_cache(maxsize=1)
def constructions() -> tuple[Construction, ...]:
    """The packaged constructions."""
    return parse_constructions(packaged_lines("world/household_construction.csv"))


@lru_cache(maxsize=1)
def plate_marks() -> tuple[PlateMark, ...]:
    """The packaged marks of plate and base metal."""
    return parse_plate_marks(packaged_lines("world/plated.csv"))


def kind_of(standard: Standard) -> Kind:
    """The kind that a book holds for a standard; one whose mark fixes no fineness counts for nothing until tested."""
    return Kind(
        slug=standard.slug,
        name=standard.name,
        form=Form.HOUSEHOLD,
        fineness=standard.fineness or Decimal(0),
        composition="" if standard.fineness is None else f"{plain(standard.fineness * 100)}% silver by its mark",
        note=standard.caution,
        source=standard.source,
        evidence=standard.evidence,
    )


def built_as(kind: Kind, construction: Construction) -> Kind:
    """A household kind in one construction: the same standard, with the share of gross weight that is silver."""
    return replace(
        kind,
        slug=f"{kind.slug}{JOINT}{construction.key}",
        name=f"{kind.name}: {construction.name}",
        share_low=construction.share_low,
        share_high=construction.share_high,
        note=construction.note,
        source=f"{kind.source}; share: {construction.source}",
        evidence=construction.evidence,
    )


def construction(key: str) -> Construction:
    """A construction by its key.

    Raises:
        NotFoundError: no such construction.
    """
    for item in constructions():
        if item.key == key:
            return item
    raise NotFoundError(
        f"{key[:40]!r} is not a construction held here.", instead=[item.key for item in constructions()][:4]
    )


def fine_range(kind: Kind, gross_g: Decimal) -> FineRange:
    """Fine troy ounces in a gross weight of a kind, low and high, by weight and mark."""
    return FineRange(
        low_ozt=fine_ozt_of(gross_g * kind.share_low, kind.fineness),
        high_ozt=fine_ozt_of(gross_g * kind.share_high, kind.fineness),
    )


def read_mark(text: str) -> MarkReading:
    """Read a mark struck on an article: which standards it claims, and which kinds of plate it may mean.

    A number alone never sets a fineness: 84, 90, 12 and 13 are read as a standard and as a plating figure both.
    """
    mark = " ".join(text.upper().split())
    plate = tuple(item for item in plate_marks() if _bears(mark, item.texts))
    rest = mark
    for word in (word for item in plate if item.solid == "no" for word in item.texts if not word.isdigit()):
        rest = _whole_word(word).sub(" ", rest)
    claimed = tuple(item for item in standards() if _claims(" ".join(rest.split()), item))
    return MarkReading(text=text.strip(), standards=claimed, plate=plate, caution=_cautions(mark, claimed, plate))


def _bears(mark: str, texts: Sequence[str]) -> bool:
    return any(_whole_word(text).search(mark) for text in texts)


@lru_cache(maxsize=256)
def _whole_word(text: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![A-Z0-9.]){re.escape(text)}(?![A-Z0-9])")


def _claims(mark: str, standard: Standard) -> bool:
    if standard.fineness is None:
        return False
    words = [text.upper().rstrip(".") for text in standard.marks if len(text) > 1]
    if mark.strip(".") in {"C", "D"}:
        return standard.slug == "household-coin-900"
    bare = [word.split(" (")[0].split(" ON ")[0].split(" BEFORE ")[0] for word in words]
    numbers = [word.lstrip(".") for word in bare if re.fullmatch(r"\.?\d[\d.]*[SH]?", word)]
    named = [word for word in bare if not re.fullmatch(r"\.?\d[\d.]*[SH]?", word) and word != "NONE"]
    found = re.findall(r"(?<![\d/A-Z])\.?(\d[\d.]*[SH]?)(?![\d/A-Z])", mark)
    picture = {word for word in mark.split() if len(word) > 3} - _PICTURE_WORDS
    pictured = bool(picture) and any(picture <= set(re.findall(r"[A-Z]+", word)) for word in named)
    return any(number.rstrip(".") in numbers for number in found) or _bears(mark, named) or pictured


def _cautions(mark: str, claimed: Sequence[Standard], plate: Sequence[PlateMark]) -> tuple[str, ...]:
    said = [
        f"{item.mark}: {item.meaning}." + (f" {item.note[0].upper()}{item.note[1:]}." if item.note else "")
        for item in plate
    ]
    said += [f"{item.name}: {item.caution}." for item in claimed if item.caution]
    if len(claimed) > 1:
        said.append("The mark can be read in more than one way; a number alone never sets a fineness.")
    if not claimed and not plate:
        said.append("The mark is not held here; count nothing for it until a test has been made.")
    if re.search(r"\bWEIGHTED|REINFORCED|LOADED|FILLED|CEMENT", mark):
        said.append("Only a thin shell is silver: count the low end of the range.")
    return tuple(said)
