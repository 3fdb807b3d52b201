"""Rolls and bags: how many pieces, what face, what they weigh, what silver is in them.

Counts of rolls: encyclopaedia article on bank rolls. Faces of bags: a table of bank bags, older practice.
"""

from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.denominations import DENOMINATIONS, Denomination
from ninefine.catalog.kinds import Form, Kind, fine_ozt_of
from ninefine.measure.mass import TROY_OUNCE_G
from ninefine.measure.numbers import EXACT, divide

#: Troy ounces that a thousand new pieces might differ from their weight in bulk: Act of 1873, sec. 37 (17 Stat. 430).
BULK_TOLERANCE_OZT = {
    "dime": Decimal("0.01"),
    "quarter": Decimal("0.02"),
    "half": Decimal("0.02"),
    "dollar": Decimal("0.02"),
}
_MIXED_BAG_FACE = Decimal(1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A roll or a bag.

    Attributes:
        name: roll or bag.
        count: pieces; none in a bag of mixed denominations.
        face: face value of the whole; none where a piece has none.
        gross_g: weight as struck, grams.
        unworn_ozt: fine troy ounces as struck.
        trade_ozt: fine troy ounces by the trade's convention; none where it has none.
        trade_gross_g: the weight at which the trade's convention would hold, grams.
        bulk_tolerance_ozt: what the law allowed the whole to differ when new; none where not held.
    """

    name: str
    count: int | None
    face: Decimal | None
    gross_g: Decimal
    unworn_ozt: Decimal
    trade_ozt: Decimal | None
    trade_gross_g: Decimal | None
    bulk_tolerance_ozt: Decimal | None = None


def denomination_of_kind(kind: Kind) -> Denomination | None:
    """The U.S. denomination of a coin; none for bullion, other countries' coin, and mixed heaps."""
    if kind.country != "US" or kind.form is Form.BULLION:
        return None
    return next((coin for coin in DENOMINATIONS if coin.name == kind.denomination), None)


def packs(kind: Kind) -> tuple[Pack, ...]:
    """The roll and the bag of a kind, where the trade knows them."""
    if kind.gross_g is None:
        return _mixed_bag(kind)
    coin = denomination_of_kind(kind)
    made = []
    if kind.roll and (kind.by_face or kind.form is Form.BULLION):
        made.append(_pack("roll", kind, kind.gross_g, kind.roll))
    if coin is not None and coin.bag_face and kind.by_face:
        made.append(_pack("bag", kind, kind.gross_g, int(coin.bag_face / coin.face)))
    return tuple(made)


def _pack(name: str, kind: Kind, gross_g: Decimal, count: int) -> Pack:
    coin = denomination_of_kind(kind)
    trade = None if kind.trade_ozt is None else kind.trade_ozt * count
    loose = BULK_TOLERANCE_OZT.get(coin.key) if coin is not None and _of_1873(kind) else None
    return Pack(
        name=name,
        count=count,
        face=None if kind.face is None else kind.face * count,
        gross_g=gross_g * count,
        unworn_ozt=fine_ozt_of(gross_g * count, kind.fineness),
        trade_ozt=trade,
        trade_gross_g=None if kind.form is Form.BULLION else _trade_gross(trade, kind.fineness),
        bulk_tolerance_ozt=None if loose is None else loose * count / 1000,
    )


def _of_1873(kind: Kind) -> bool:
    """Struck under the Act of 1873 or the dollar Act of 1878, whose bulk tolerance is held."""
    return kind.form is Form.CONSTITUTIONAL and kind.by_face


def _mixed_bag(kind: Kind) -> tuple[Pack, ...]:
    if kind.fine_ozt_per_face is None or not kind.fineness:
        return ()
    fine = EXACT.multiply(kind.fine_ozt_per_face, _MIXED_BAG_FACE)
    trade = None if kind.trade_ozt_per_face is None else kind.trade_ozt_per_face * _MIXED_BAG_FACE
    return (
        Pack(
            name="bag",
            count=None,
            face=_MIXED_BAG_FACE,
            gross_g=divide(EXACT.multiply(fine, TROY_OUNCE_G), kind.fineness),
            unworn_ozt=fine,
            trade_ozt=trade,
            trade_gross_g=_trade_gross(trade, kind.fineness),
        ),
    )


def _trade_gross(trade_ozt: Decimal | None, fineness: Decimal) -> Decimal | None:
    if trade_ozt is None or not fineness:
        return None
    return divide(EXACT.multiply(trade_ozt, TROY_OUNCE_G), fineness)
