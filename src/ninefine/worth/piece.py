"""One piece off the heap, and what it is worth as metal: its melt, and what each buyer of metal bids for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from ninefine.book.entries import Amount
from ninefine.catalog.kinds import Basis, Kind
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.exits import Exit
from ninefine.market.paid import pays
from ninefine.measure.money import METALS, cents
from ninefine.measure.numbers import EXACT
from ninefine.worth.band import Band
from ninefine.worth.ounces import Fine, ounces_of
from ninefine.worth.span import ZERO
from ninefine.worth.ways_out import goods_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece, as far as it has been told.

    Attributes:
        name: what to call it on a list: a number, a flip's label.
        kind, issue: what it is; `issue` as `Issue.key` writes it, empty where not told apart.
        band: its grade; none where nobody has looked.
        gross_g: grams on a scale, where weighed.
        rank, look_for: key, semi-key or better, and what to check before believing it, as the catalog says.
        wanted: why the person wants it themself, such as a gap in a set; empty where they do not.
    """

    name: str
    kind: Kind
    issue: str = ""
    band: Band | None = None
    gross_g: Decimal | None = None
    rank: str = ""
    look_for: str = ""
    wanted: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalBid:
    """What a buyer of metal would pay for one more piece in a heap."""

    exit: Exit
    net: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class AsMetal:
    """What a piece is worth in the heap.

    Attributes:
        fine: its fine troy ounces and their basis: by scale where weighed, else by the trade.
        melt: at spot, to the cent.
        bids: best first; empty where nobody that was set down buys it.
        face: its face value, where it holds no metal and so is worth that.
        cautions: what to know before leaning on these.
    """

    fine: Fine
    melt: Decimal
    bids: tuple[MetalBid, ...]
    face: Decimal | None
    cautions: tuple[str, ...]


def as_metal(piece: Piece, exits: Sequence[Exit], spots: Mapping[str, Decimal], currency: str = "USD") -> AsMetal:
    """What a piece is worth as metal.

    A bid is what an exit pays for one more piece of a heap: its price less its per cents and its charge by weight. Flat
    costs, parcels, travel and limits are the whole heap's, and stand the same with the piece or without it.

    Raises:
        RangeError: its metal has no price, or it is of a kind that must be weighed and was not.
    """
    kind = piece.kind
    mounted = piece.band is not None and "mounted" in piece.band.flaws
    amount = Amount(count=1, gross_g=None if mounted else piece.gross_g)
    fine = ounces_of(amount, kind).on(Basis.SCALE)
    cautions = ["The mount's weight is not the piece's: it is counted by the trade's ounces."] if mounted else []
    if not kind.fineness:
        words = f"{kind.name}: no silver in it, so it stands at its face."
        return AsMetal(fine=fine, melt=ZERO, bids=(), face=kind.face or ZERO, cautions=(words, *cautions))
    if kind.metal not in spots:
        raise RangeError(
            f"There is no price of {METALS[kind.metal][1]}, so {piece.name} has no melt.",
            expected="Give one in money for a fine troy ounce.",
        )
    bids = []
    for way in exits:
        try:
            paid = pays(_at_the_margin(way), [goods_of(kind, amount)], spots[kind.metal], metal=kind.metal)
        except NotFoundError:
            continue
        except RangeError as error:
            cautions.append(f"{way.name} has no bid for it: {error}")
            continue
        bids.append(MetalBid(exit=way, net=paid.net))
    return AsMetal(
        fine=fine,
        melt=cents(EXACT.multiply(fine.ozt, spots[kind.metal]), currency),
        bids=tuple(sorted(bids, key=lambda bid: -bid.net)),
        face=None,
        cautions=tuple(cautions),
    )


def _at_the_margin(way: Exit) -> Exit:
    """An exit with everything left out that does not grow with one more piece."""
    treatment = None if way.treatment is None else replace(way.treatment, minimum=ZERO)
    return replace(way, parcels=None, costs=ZERO, travel=None, minimum=None, capacity=None, treatment=treatment)
