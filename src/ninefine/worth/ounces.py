"""Fine ounces of a heap, on each ounce basis, always saying which one a figure counts."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from ninefine.catalog.kinds import Basis, Kind, fine_ozt_of
from ninefine.errors import RangeError
from ninefine.measure.mass import TROY_OUNCE_G
from ninefine.measure.numbers import EXACT


class Measured(Protocol):
    """Anything that says how much there is: a heap, an amount, a pile of heaps."""

    @property
    def count(self) -> int | None:
        """Pieces, where counted."""

    @property
    def face(self) -> Decimal | None:
        """Face value, where known."""

    @property
    def gross_g(self) -> Decimal | None:
        """Grams on a scale, where weighed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fine:
    """Fine troy ounces with the basis that they were counted on (which may differ from the one asked for)."""

    ozt: Decimal
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapOunces:
    """A heap's fine troy ounces on every basis that can be told.

    `scale` is none until the heap has been weighed. Household silver is held by weight alone: its three figures are
    the scale's, at the low end of its share of metal; `high` is the other end.
    """

    unworn: Decimal
    trade: Decimal
    scale: Decimal | None
    high: Decimal
    gross_g: Decimal
    gross_weighed: bool

    def on(self, basis: Basis) -> Fine:
        """The figure on a basis; an unweighed heap asked for by scale is counted by trade, and says so."""
        if basis is Basis.UNWORN:
            return Fine(ozt=self.unworn, basis=Basis.UNWORN)
        if basis is Basis.SCALE and self.scale is not None:
            return Fine(ozt=self.scale, basis=Basis.SCALE)
        return Fine(ozt=self.trade, basis=Basis.TRADE)


def ounces_of(held: Measured, kind: Kind) -> HeapOunces:
    """Fine ounces of a heap, a pile or an amount by its kind's specification.

    Raises:
        RangeError: there is no measure by which its kind has a weight (a bar of no set size and no scale weight).
    """
    scale = None
    high = None
    if held.gross_g is not None:
        scale = fine_ozt_of(held.gross_g, kind.fineness * kind.share_low)
        high = fine_ozt_of(held.gross_g, kind.fineness * kind.share_high)
    pieces = _pieces(held, kind)
    if pieces is not None and kind.gross_g is not None and kind.fine_ozt is not None:
        unworn = EXACT.multiply(pieces, kind.fine_ozt)
        trade = unworn if kind.trade_ozt is None else EXACT.multiply(pieces, kind.trade_ozt)
        nominal = EXACT.multiply(pieces, kind.gross_g)
    elif held.face is not None and kind.fine_ozt_per_face and kind.fineness:
        unworn = EXACT.multiply(held.face, kind.fine_ozt_per_face)
        trade = EXACT.multiply(held.face, kind.trade_ozt_per_face or kind.fine_ozt_per_face)
        nominal = EXACT.divide(EXACT.multiply(unworn, TROY_OUNCE_G), kind.fineness)
    elif kind.fineness == 0:
        unworn = trade = nominal = Decimal(0)
    elif scale is not None and held.gross_g is not None:
        unworn = trade = scale
        nominal = held.gross_g
    else:
        raise RangeError(
            f"{kind.name}: this holding has no weight.",
            expected="A kind of no set size is counted by the scale: weigh it, or enter its stamped weight.",
        )
    return HeapOunces(
        unworn=unworn,
        trade=trade,
        scale=scale,
        high=high if high is not None else trade,
        gross_g=held.gross_g if held.gross_g is not None else nominal,
        gross_weighed=held.gross_g is not None,
    )


def _pieces(held: Measured, kind: Kind) -> Decimal | None:
    if held.count is not None:
        return Decimal(held.count)
    if held.face is not None and kind.face:
        return EXACT.divide(held.face, kind.face)
    return None
