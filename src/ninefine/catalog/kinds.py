"""Kinds and issues: what a piece is by its specification, and what was struck when and where."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ninefine.measure.mass import TROY_OUNCE_G
from ninefine.measure.numbers import EXACT


class Basis(StrEnum):
    """Which ounces a figure counts. Every ounce that is shown names its basis."""

    UNWORN = "unworn"
    """By specification, as struck."""
    TRADE = "trade"
    """By the worn-coin convention of the trade; as struck where the trade has none."""
    SCALE = "scale"
    """As weighed."""


class Form(StrEnum):
    """The form that metal is held in; shares of a stack are told by it."""

    CONSTITUTIONAL = "constitutional"
    OTHER_COIN = "other-coin"
    BULLION = "bullion"
    HOUSEHOLD = "household"
    NO_SILVER = "no-silver"


class Evidence(StrEnum):
    """What a row of reference data rests on, from strongest to weakest; always shown to the person."""

    LAW = "law"
    PUBLISHED = "published"
    TOTAL = "total"
    PART = "part"
    CONVENTION = "convention"
    DERIVED = "derived"
    MEMORY = "memory"
    OWN = "own"

    @property
    def sentence(self) -> str:
        """The evidence in words, for pages and papers."""
        return _EVIDENCE_WORDS[self]


_EVIDENCE_WORDS = {
    Evidence.LAW: "read in a statute or an official document",
    Evidence.PUBLISHED: "read in a published text",
    Evidence.TOTAL: "from memory; the series adds up to a published total",
    Evidence.PART: "read in part; the rest from memory",
    Evidence.CONVENTION: "common practice, no source",
    Evidence.DERIVED: "worked out from other rows",
    Evidence.MEMORY: "from memory, unverified",
    Evidence.OWN: "your own entry",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a piece is by its specification: a coin type, a bar size, a standard of silver.

    Attributes:
        slug: the name that entries of the book use.
        name: plain words.
        metal: ISO 4217 code: XAG, XAU, XPT, XPD.
        form: constitutional, other coin, bullion, household, or no silver.
        country: ISO 3166-1 code; empty where there is none (generic bars, standards).
        denomination: as struck, in words ("10 cents"); empty for bars and household silver.
        face: face value of one piece in the coin's own unit (U.S. dollars for U.S. coin); none where there is none.
        by_face: sold and counted by face value in the trade; pieces need not be told apart.
        first_year, last_year: span of issue; none where not dated or still struck.
        gross_g: weight of one piece as struck, grams; none where held by weight alone.
        fineness: parts of metal in one; zero for base metal.
        trade_ozt: fine troy ounces of one piece by the trade's convention; none where the trade has none.
        fine_ozt_per_face, trade_ozt_per_face: the same for one unit of face, for kinds counted by face.
        share_low, share_high: for household silver: the share of gross weight that is metal of that fineness.
        tolerance_g: what the law allowed one new piece to differ, grams.
        source, evidence: what the row rests on.
    """

    slug: str
    name: str
    metal: str = "XAG"
    form: Form
    country: str = ""
    denomination: str = ""
    face: Decimal | None = None
    by_face: bool = False
    first_year: int | None = None
    last_year: int | None = None
    gross_g: Decimal | None = None
    fineness: Decimal
    trade_ozt: Decimal | None = None
    fine_ozt_per_face: Decimal | None = None
    trade_ozt_per_face: Decimal | None = None
    share_low: Decimal = Decimal(1)
    share_high: Decimal = Decimal(1)
    tolerance_g: Decimal | None = None
    diameter_mm: Decimal | None = None
    thickness_mm: Decimal | None = None
    edge: str = ""
    composition: str = ""
    roll: int | None = None
    note: str = ""
    source: str
    evidence: Evidence

    @property
    def fine_ozt(self) -> Decimal | None:
        """Fine troy ounces of one piece as struck, at its low share of metal; none where it has no set weight."""
        if self.gross_g is None:
            return None if self.fineness else Decimal(0)
        return fine_ozt_of(self.gross_g, EXACT.multiply(self.fineness, self.share_low))


def fine_ozt_of(gross_g: Decimal, fineness: Decimal) -> Decimal:
    """Fine troy ounces in a gross weight in grams, to 40 digits."""
    return EXACT.divide(EXACT.multiply(gross_g, fineness), TROY_OUNCE_G)


def per_face_ozt(gross_g: Decimal, fineness: Decimal, face: Decimal) -> Decimal:
    """Fine troy ounces in one unit of face, to 40 digits, from the weight, fineness and face of one piece."""
    return fine_ozt_of(EXACT.divide(gross_g, face), fineness)


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """A kind struck in one year at one mint, perhaps a variety of it.

    `mintage` and `proofs` are pieces; none where none were struck, unrecorded, or counted in another row (`note` says).
    `rank` is key, semi-key or better where sorters look for it (common practice), with the reason in `look_for`.
    """

    kind: str
    year: int
    mint: str
    variety: str = ""
    mintage: int | None = None
    proofs: int | None = None
    rank: str = ""
    look_for: str = ""
    note: str = ""
    source: str
    evidence: Evidence

    @property
    def key(self) -> str:
        """The name that entries of the book use: `1921-D`, `1942-P:2 over 1`."""
        return f"{self.year}-{self.mint}" + (f":{self.variety}" if self.variety else "")

    @property
    def proof_only(self) -> bool:
        """Struck for collectors alone."""
        return self.mintage is None and self.proofs is not None
