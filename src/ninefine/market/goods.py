"""Some goods: a kind and how much of it, what they hold, and limits on how much of them a seller or buyer takes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis, Kind
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.market.content import OUNCE_G, Content, content, content_of
from ninefine.market.terms import Terms
from ninefine.measure.money import METALS
from ninefine.measure.numbers import plain, read_positive, to_places

#: Finds what one unit of named goods holds; raises NotFoundError.
Resolve = Callable[[str], Content]


@dataclass(frozen=True, slots=True, kw_only=True)
class Goods:
    """Some goods and what a unit of them holds. `gross_g` is what they weighed on a scale, all together."""

    kind: str
    content: Content
    count: int | None = None
    face: Decimal | None = None
    gross_g: Decimal | None = None

    @property
    def units(self) -> Fraction:
        """How many units (face dollars, pieces, grams) there are.

        Raises:
            RangeError: the amount is not given in what these goods are counted by.
        """
        found = self.content.units(count=self.count, face=self.face, gross_g=self.gross_g)
        if not found:
            raise RangeError(
                f"How much of {self.content.name} is not said.",
                expected=f"It is counted by {self.content.counted_by}; say how many.",
            )
        return found

    @property
    def weighed(self) -> bool:
        """Whether a weight stands for these goods: the scale's, or the one stamped on bars, rounds and bullion coin."""
        return self.gross_g is not None or self.content.stamped

    def terms(self, spot: Decimal | None) -> Terms:
        """What a quote for these goods is turned with."""
        units = self.units
        scale = None
        if self.gross_g is not None:
            scale = Fraction(self.gross_g) / units
        elif self.content.stamped:
            scale = self.content.trade_ozt * OUNCE_G / self.content.fineness
        return Terms(content=self.content, spot=None if spot is None else Fraction(spot), units=units, scale_g=scale)

    def ozt(self, basis: Basis) -> Fraction:
        """Fine troy ounces of all of them.

        Raises:
            RangeError: by scale, where nothing was weighed.
        """
        return self.units * self.terms(None).ozt(basis)

    @property
    def gross_ozt(self) -> Fraction:
        """Gross troy ounces: weighed, or else what trade ounces suppose."""
        if self.gross_g is not None:
            return Fraction(self.gross_g) / OUNCE_G
        return self.units * self.content.trade_ozt / self.content.fineness

    @property
    def face_value(self) -> Fraction | None:
        """Face dollars of all of them; none where they have no face."""
        return None if self.content.face is None else self.units * self.content.face


def contents_with(kind_of: Callable[[str], Kind]) -> Resolve:
    """Find goods by the trade's own names first, then by a catalog's slugs.

    Args:
        kind_of: gives a kind by its slug, or raises NotFoundError.
    """

    def resolve(name: str) -> Content:
        try:
            return content(name)
        except NotFoundError:
            return content_of(kind_of(name))

    return resolve


@dataclass(frozen=True, slots=True, kw_only=True)
class Travel:
    """Miles there and back, and what a mile costs."""

    miles: Decimal
    per_mile: Decimal

    @property
    def cost(self) -> Decimal:
        """Dollars, unrounded."""
        return self.miles * self.per_mile

    def as_dict(self) -> dict[str, object]:
        """Plain values."""
        return {"miles": plain(self.miles), "per_mile": plain(self.per_mile)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A least or a most of something: face dollars, pieces, fine troy ounces (trade) or money."""

    amount: Decimal
    unit: str

    def __str__(self) -> str:
        return f"{plain(self.amount)} {self.unit}"


_UNITS = {
    "face": "face",
    "pieces": "pieces",
    "piece": "pieces",
    "coins": "pieces",
    "ozt": "ozt",
    "oz": "ozt",
    "ounces": "ozt",
    "usd": "money",
    "dollars": "money",
    "money": "money",
    "": "money",
}


def read_limit(text: str) -> Limit:
    """Read a limit: `500 face`, `50 ozt`, `20 pieces`, or a plain amount of money.

    Raises:
        UnreadableError: no number, or a unit that is none of these.
        RangeError: not above zero.
    """
    number, _, unit = text.strip().lower().removeprefix("$").strip().partition(" ")
    if unit.strip() not in _UNITS:
        raise UnreadableError(
            f"{text.strip()[:40]!r} is not a limit.",
            expected="A limit is an amount of face, pieces, ozt or money.",
            instead=("500 face", "50 ozt", "20 pieces", "1500"),
        )
    return Limit(amount=read_positive(number, what="limit"), unit=_UNITS[unit.strip()])


def check_spot(goods: Sequence[Goods], spot: Decimal, metal: str) -> None:
    """Make sure that a spot is one, and that it speaks of these goods.

    Raises:
        RangeError: not above zero, or goods of another metal.
    """
    if spot <= 0:
        raise RangeError(f"Spot is {spot}.", expected="Spot is dollars per fine troy ounce, more than zero.")
    for item in goods:
        if item.content.metal != metal:
            own, given = METALS[item.content.metal][1], METALS[metal][1]
            raise RangeError(
                f"{item.content.name} is {own}, and the spot is of {given}.",
                expected="Ounces of different metals do not add up; take each metal apart.",
            )


def measured(goods: Sequence[Goods], money: Decimal, unit: str) -> Fraction:
    """How much some goods are in the unit of a limit: face, pieces, ozt (trade) or money."""
    if unit == "money":
        return Fraction(money)
    if unit == "ozt":
        return sum((item.ozt(Basis.TRADE) for item in goods), Fraction(0))
    if unit == "face":
        return sum((item.face_value or Fraction(0) for item in goods), Fraction(0))
    return sum((item.units / item.content.piece for item in goods if item.content.piece), Fraction(0))


def under(least: Limit | None, goods: Sequence[Goods], money: Decimal, words: str) -> tuple[str, ...]:
    """What to say where some goods fall short of a least."""
    return _beside(least, goods, money, words, short=True)


def over(most: Limit | None, goods: Sequence[Goods], money: Decimal, words: str) -> tuple[str, ...]:
    """What to say where some goods pass a most."""
    return _beside(most, goods, money, words, short=False)


def _beside(limit: Limit | None, goods: Sequence[Goods], money: Decimal, words: str, *, short: bool) -> tuple[str, ...]:
    if limit is None:
        return ()
    held = measured(goods, money, limit.unit)
    if held == limit.amount or (held < limit.amount) is not short:
        return ()
    return (f"{words} {limit}; this is {plain(to_places(held, 2))}.",)
