"""What a quote is turned with: the goods, spot, how much is on offer, what it weighs."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError
from ninefine.market.content import OUNCE_G, Content

#: Face of the piece that an `each` names.
PIECE_FACES = {
    "war nickel": Fraction(1, 20),
    "dime": Fraction(1, 10),
    "quarter": Fraction(1, 4),
    "half": Fraction(1, 2),
    "silver dollar": Fraction(1),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a quote is turned with: the goods, spot, how much is on offer, and what it weighs.

    Attributes:
        content: what one unit holds.
        spot: dollars per fine troy ounce of the metal; none where no form struck on it is asked for.
        units: how many units are on offer, for a flat price.
        scale_g: gross grams of one unit as weighed.
    """

    content: Content
    spot: Fraction | None = None
    units: Fraction | None = None
    scale_g: Fraction | None = None

    def ozt(self, basis: Basis) -> Fraction:
        """Fine troy ounces of one unit.

        Raises:
            RangeError: by scale, where nothing was weighed.
        """
        if basis is Basis.SCALE and self.scale_g is not None:
            return self.scale_g * self.content.fineness / OUNCE_G
        return self.content.ozt(basis)

    def need_spot(self) -> Fraction:
        """Spot.

        Raises:
            RangeError: none was given.
        """
        if self.spot is None or self.spot <= 0:
            raise RangeError(
                "There is no spot to strike this on.", expected="Give spot in dollars per troy ounce, more than zero."
            )
        return self.spot

    def need_units(self) -> Fraction:
        """How many units are on offer.

        Raises:
            RangeError: not known.
        """
        if not self.units:
            raise RangeError("A flat price needs to know how much it is for.", expected="Give the face or the count.")
        return self.units

    def need_face(self) -> Fraction:
        """Face dollars in one unit.

        Raises:
            RangeError: the goods have no face.
        """
        if not self.content.face:
            raise RangeError(
                f"{self.content.name} have no face value to price by.", instead=("spot+2.10", "36.10 each", "5% over")
            )
        return self.content.face

    def need_piece(self, piece: str) -> Fraction:
        """Units in one piece: of the coin named, or of the goods themselves.

        Raises:
            RangeError: no coin was named and the goods are of several sizes.
        """
        if piece:
            return PIECE_FACES[piece] / self.need_face()
        if self.content.piece is None:
            raise RangeError(
                f"{self.content.name}: pieces differ in size, so a price each needs its coin.",
                instead=("2.30 a dime", "5.75 a quarter", "11.50 a half"),
            )
        return self.content.piece


def terms(
    content: Content,
    *,
    spot: Decimal | None = None,
    units: Fraction | Decimal | None = None,
    scale_g: Decimal | Fraction | None = None,
) -> Terms:
    """Terms from plain figures: spot in dollars per troy ounce, `scale_g` the gross grams of all the units."""
    count = None if units is None else Fraction(units)
    each = Fraction(scale_g) / count if scale_g is not None and count else None
    return Terms(content=content, spot=None if spot is None else Fraction(spot), units=count, scale_g=each)
