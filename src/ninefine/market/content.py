"""What one unit of some goods holds: fine ounces on each basis, gross grams, face and pieces. Exact fractions.

Coin sold by face is counted in face dollars, bars and rounds in pieces, household silver in grams. Nothing here needs
the catalog: the few ways in which U.S. coin is quoted are written out, so that a quote answers at once; any other kind
comes in through `content_of`.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.catalog.kinds import Basis, Form, Kind
from ninefine.errors import NotFoundError, RangeError
from ninefine.measure.mass import GRAIN_G, TROY_OUNCE_G
from ninefine.measure.money import METALS

OUNCE_G = Fraction(TROY_OUNCE_G)


class CountedBy(StrEnum):
    """In what goods are counted, and so what one unit of them is."""

    FACE = "face"
    PIECE = "piece"
    GRAM = "gram"

    @property
    def unit(self) -> str:
        """One unit, in words."""
        return "face dollar" if self is CountedBy.FACE else str(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """What one unit of some goods holds.

    Attributes:
        name: plain words.
        counted_by: what a unit is: one face dollar, one piece or one gram.
        metal: ISO 4217 code.
        unworn_ozt: fine troy ounces of a unit by specification.
        trade_ozt: the same by the trade's worn-coin convention.
        gross_g: gross grams of a unit by specification.
        fineness: parts of metal in one.
        face: face dollars in a unit; none where there is no face.
        piece: units in one piece: 1/10 for dimes counted by face; none where pieces differ.
        roll: pieces in a bank roll; none where there is none.
        stamped: bought and sold by the weight stamped on it (bars, rounds, bullion coin), which stands for a scale's.
        names: what a bid may call these goods, narrowest first: `us-dime-mercury`, `dimes`, `90`, `constitutional`,
            `silver`.
    """

    name: str
    counted_by: CountedBy
    metal: str = "XAG"
    unworn_ozt: Fraction
    trade_ozt: Fraction
    gross_g: Fraction
    fineness: Fraction
    face: Fraction | None = None
    piece: Fraction | None = None
    roll: int | None = None
    stamped: bool = False
    names: tuple[str, ...] = ()

    def ozt(self, basis: Basis) -> Fraction:
        """Fine troy ounces of one unit, unworn or by the trade.

        Raises:
            RangeError: on the scale's basis, which a specification cannot know.
        """
        if basis is Basis.SCALE:
            raise RangeError(
                f"{self.name} has not been weighed.",
                expected="Ounces by scale need a weight.",
                instead=("trade", "unworn"),
            )
        return self.trade_ozt if basis is Basis.TRADE else self.unworn_ozt

    def units(
        self, *, count: int | None = None, face: Decimal | None = None, gross_g: Decimal | None = None
    ) -> Fraction | None:
        """How many units an amount comes to, from whichever part of it the unit is counted by; none if not known."""
        if self.counted_by is CountedBy.GRAM:
            return None if gross_g is None else Fraction(gross_g)
        if self.counted_by is CountedBy.FACE and face is not None:
            return Fraction(face)
        if count is not None and self.piece is not None:
            return count * self.piece
        if face is not None and self.face:
            return Fraction(face) / self.face
        return None


def by_face(name: str, *, gross_g: Fraction, fineness: str, trade: str = "", piece: str = "") -> Content:
    """U.S. coin counted by face: grams per face dollar, fineness, the trade's ounces per face dollar."""
    unworn = gross_g * Fraction(fineness) / OUNCE_G
    return Content(
        name=name,
        counted_by=CountedBy.FACE,
        unworn_ozt=unworn,
        trade_ozt=Fraction(trade) if trade else unworn,
        gross_g=gross_g,
        fineness=Fraction(fineness),
        face=Fraction(1),
        piece=Fraction(piece) if piece else None,
        roll=ROLLS.get(piece),
    )


def by_piece(name: str, *, fine_ozt: Fraction, fineness: Fraction) -> Content:
    """Rounds and bars counted one by one, sold by the fine ounces stamped on them."""
    return Content(
        name=name,
        counted_by=CountedBy.PIECE,
        unworn_ozt=fine_ozt,
        trade_ozt=fine_ozt,
        gross_g=fine_ozt * OUNCE_G / fineness,
        fineness=fineness,
        piece=Fraction(1),
        stamped=True,
    )


def by_gram(name: str, *, fineness: Fraction) -> Content:
    """Silver sold by weight: a unit is one gram gross."""
    fine = fineness / OUNCE_G
    return Content(
        name=name,
        counted_by=CountedBy.GRAM,
        unworn_ozt=fine,
        trade_ozt=fine,
        gross_g=Fraction(1),
        fineness=fineness,
    )


#: Face of a piece -> pieces in a bank roll (the five-cent roll holds $2; encyclopaedia article on bank rolls).
ROLLS = {"0.05": 40, "0.10": 50, "0.25": 40, "0.50": 20, "1": 20}

# Grams and fineness by the Coinage Act of 1873 (12.5 g the half and in proportion), the Act of 18 January 1837 (412.5
# grains the dollar), the Coinage Act of 1965 (11.5 g the half of .400) and the Act of 27 March 1942 (wartime five
# cents, .350). The trade's 0.715, 0.765 and 0.295 ozt a face dollar: common practice, no source.
_SMALL = by_face("90% dimes, quarters and halves", gross_g=Fraction(25), fineness="0.9", trade="0.715")
_CONTENTS = {
    "90": _SMALL,
    "dimes": replace(_SMALL, name="90% dimes", piece=Fraction(1, 10), roll=50),
    "quarters": replace(_SMALL, name="90% quarters", piece=Fraction(1, 4), roll=40),
    "halves": replace(_SMALL, name="90% halves", piece=Fraction(1, 2), roll=20),
    "dollars": by_face(
        "90% dollars", gross_g=Fraction("412.5") * Fraction(GRAIN_G), fineness="0.9", trade="0.765", piece="1"
    ),
    "40": by_face("40% halves", gross_g=Fraction(23), fineness="0.4", trade="0.295", piece="0.50"),
    "war": by_face("wartime five cents", gross_g=Fraction(100), fineness="0.35", piece="0.05"),
    "ozt": by_piece("1 ozt pieces", fine_ozt=Fraction(1), fineness=Fraction("0.999")),
    "sterling": by_gram("sterling by weight", fineness=Fraction("0.925")),
}
_ALIASES = {
    "90%": "90",
    "mixed": "90",
    "mixed 90": "90",
    "dime": "dimes",
    "quarter": "quarters",
    "half": "halves",
    "dollar": "dollars",
    "40%": "40",
    "40% halves": "40",
    "nickels": "war",
    "war nickels": "war",
    "war nickel": "war",
    "rounds": "ozt",
    "round": "ozt",
    "1 ozt": "ozt",
    "1 oz": "ozt",
    "us-90": "90",
    "us-dime-90": "dimes",
    "us-quarter-90": "quarters",
    "us-half-90": "halves",
    "us-dollar-90": "dollars",
    "us-half-40": "40",
    "us-five-cent-wartime": "war",
}
_FAMILIES = {
    "90": ("constitutional", "silver"),
    "dimes": ("90", "constitutional", "silver"),
    "quarters": ("90", "constitutional", "silver"),
    "halves": ("90", "constitutional", "silver"),
    "dollars": ("constitutional", "silver"),
    "40": ("other-coin", "silver"),
    "war": ("other-coin", "silver"),
    "ozt": ("bullion", "silver"),
    "sterling": ("household", "silver"),
}
_SMALL_NAMES = {Decimal("0.10"): "dimes", Decimal("0.25"): "quarters", Decimal("0.50"): "halves"}


def content_names() -> tuple[str, ...]:
    """The names that `content` reads, without their other spellings."""
    return tuple(_CONTENTS)


def content(name: str) -> Content:
    """What one unit of goods quoted by a plain name holds: `90`, `dollars`, `40`, `war`, `ozt`, `sterling`.

    Raises:
        NotFoundError: another name.
    """
    word = plain_name(name)
    found = _CONTENTS.get(word)
    if found is None:
        raise NotFoundError(
            f"{name.strip()[:40]!r} is not a way that coin is quoted.",
            expected="Goods are named as the trade quotes them, or by a kind of the catalog.",
            instead=content_names(),
        )
    return replace(found, names=(word, *_FAMILIES[word]))


def plain_name(name: str) -> str:
    """One spelling for a name of goods: `90%` and `us-90` are `90`; a name not known here stays as typed, in small."""
    word = " ".join(name.lower().split())
    return _ALIASES.get(word, word)


def content_of(kind: Kind) -> Content:
    """What one unit of a catalog kind holds.

    Raises:
        RangeError: the kind holds no metal.
    """
    if not kind.fineness:
        raise RangeError(f"{kind.name} holds no metal, so it has no price by the ounce.")
    # a weighted candlestick is sterling for a twentieth of its weight: what is not metal is not paid for
    fineness = Fraction(kind.fineness) * Fraction(kind.share_low)
    if kind.by_face and kind.fine_ozt_per_face is not None:
        return _face_content(kind, fineness)
    if kind.gross_g is None:
        return replace(by_gram(kind.name, fineness=fineness), metal=kind.metal, names=_names_of(kind))
    gross = Fraction(kind.gross_g)
    unworn = gross * fineness / OUNCE_G
    return Content(
        name=kind.name,
        counted_by=CountedBy.PIECE,
        metal=kind.metal,
        unworn_ozt=unworn,
        trade_ozt=unworn if kind.trade_ozt is None else Fraction(kind.trade_ozt),
        gross_g=gross,
        fineness=fineness,
        face=Fraction(kind.face) if kind.face is not None and kind.country == "US" else None,
        piece=Fraction(1),
        roll=kind.roll,
        stamped=kind.form is Form.BULLION,
        names=_names_of(kind),
    )


def _face_content(kind: Kind, fineness: Fraction) -> Content:
    """A kind counted by face; where its weight is set, the exact fraction stands for the 40 digits of the record."""
    if kind.gross_g is not None and kind.face is not None:
        gross = Fraction(kind.gross_g) / Fraction(kind.face)
        unworn = gross * fineness / OUNCE_G
    else:
        unworn = Fraction(kind.fine_ozt_per_face or 0)
        gross = unworn * OUNCE_G / fineness
    trade = kind.trade_ozt_per_face
    return Content(
        name=kind.name,
        counted_by=CountedBy.FACE,
        metal=kind.metal,
        unworn_ozt=unworn,
        trade_ozt=unworn if trade is None else Fraction(trade),
        gross_g=gross,
        fineness=fineness,
        face=Fraction(1),
        piece=Fraction(kind.face) if kind.face is not None else None,
        roll=kind.roll,
        names=_names_of(kind),
    )


def _names_of(kind: Kind) -> tuple[str, ...]:
    """What a bid may call a catalog kind, narrowest first; the wide names of forms are for silver alone."""
    metal = METALS[kind.metal][1]
    if kind.metal != "XAG":
        return kind.slug, metal
    family = plain_name(kind.slug)
    if family not in _FAMILIES:
        family = _family(kind)
    names = (kind.slug, family, *_FAMILIES.get(family, (kind.form.value, metal)))
    return tuple(dict.fromkeys(name for name in names if name))


def _family(kind: Kind) -> str:
    """The trade's name for a kind's way of being quoted; empty where it has none."""
    if kind.country == "US" and kind.by_face and kind.face is not None and kind.gross_g is not None:
        if kind.fineness == Decimal("0.9"):
            return "dollars" if kind.face == 1 else _SMALL_NAMES.get(kind.face, "")
        return {Decimal("0.4"): "40", Decimal("0.35"): "war"}.get(kind.fineness, "")
    if kind.form is Form.BULLION and kind.trade_ozt == 1:
        return "ozt"
    return "sterling" if kind.form is Form.HOUSEHOLD and kind.fineness == Decimal("0.925") else ""
