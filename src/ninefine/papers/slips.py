"""Slips for bags and labels for tubes: what is inside, and a code that names the heap to the program."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.catalog.kinds import Basis
from ninefine.papers.document import NOTHING, Cut, Document, Slip, Slips, Tells
from ninefine.papers.inventory import About
from ninefine.papers.words import say_much
from ninefine.papers.written import figure
from ninefine.worth.ounces import HeapOunces, Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """A heap to be labelled.

    Attributes:
        lot: its lot.
        goods: what it is, in words.
        held: how much.
        ounces: its fine ounces; none where its kind is not known.
        place: its location code.
        came: the day its lot came.
        code: the name by which the program finds it: `L17/us-dime-mercury/1921-D`.
    """

    lot: str
    goods: str
    held: Measured
    ounces: HeapOunces | None
    place: str
    came: date
    code: str


_NAMES = {Cut.BAG: ("bag-slips", "Slips for bags"), Cut.TUBE: ("tube-labels", "Labels for tubes")}


def slip_sheet(about: About, packed: Sequence[Packed], cut: Cut) -> Document:
    """Slips for some heaps, as many on a sheet as fit."""
    name, title = _NAMES[cut]
    slips = tuple(_slip(one, cut) for one in packed)
    return Document(name=name, title=title, on=about.on, book=about.book, blocks=(Slips(cut=cut, slips=slips),))


def _slip(one: Packed, cut: Cut) -> Slip:
    lines: list[tuple[str, Tells]] = []
    if one.held.count is not None or one.held.face is not None:
        lines.append((say_much(one.held), NOTHING))
    if one.ounces is not None:
        by = "scale" if one.ounces.gross_weighed else "as struck"
        lines.append((f"{figure(one.ounces.gross_g, 1)} g gross, {by}", NOTHING))
        lines.append((f"{_ounces(one.ounces)} ozt fine, trade", NOTHING))
    if one.place:
        lines.append((f"Place {one.place}", Tells.PLACES))
    if cut is Cut.BAG:
        lines.append((f"Came {one.came.isoformat()}", NOTHING))
        lines.append(("Packed ____________  Seal ____________", NOTHING))
    return Slip(name=one.lot, goods=one.goods, lines=tuple(lines), code=one.code)


def _ounces(ounces: HeapOunces) -> str:
    ozt: Decimal = ounces.on(Basis.TRADE).ozt
    return figure(ozt, 4)
