"""What rolls and bags should weigh, and from how many on the scale shows clad pieces among them: a table to hang up."""

from dataclasses import dataclass
from decimal import Decimal
from math import sqrt

from ninefine.assay.hidden import shows_from, sort_of
from ninefine.assay.wear import loss_of
from ninefine.catalog.kinds import Kind
from ninefine.catalog.rolls import packs
from ninefine.desk.bench_tries import likely_strangers
from ninefine.desk.kit import Kit
from ninefine.measure.numbers import to_places

#: Rolls that a household checks most: their kinds.
CHECKED = ("us-dime-90", "us-quarter-90", "us-half-90", "us-half-40", "us-dollar-90", "us-five-cent-wartime")
#: The scale that the table supposes, grams.
_SCALE_U = 0.05
_NEARLY_ALL = 2.576


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRow:
    """A roll or a bag.

    Attributes:
        kind: of what.
        pack: roll or bag.
        count: pieces.
        unworn_g: grams as struck.
        trade_g: grams by the trade's count; none where it has none.
        low_g, high_g: between which 99 of 100 such packs weigh.
        clad_g: what one clad piece in it takes off; none where clad has no place in it.
        shows_from: clad pieces from which on the weight shows them; none where not even all would.
    """

    kind: Kind
    pack: str
    count: int
    unworn_g: Decimal
    trade_g: Decimal | None
    low_g: Decimal
    high_g: Decimal
    clad_g: Decimal | None
    shows_from: int | None


def pack_rows(kit: Kit) -> tuple[PackRow, ...]:
    """The table, roll and bag of each kind."""
    return kit.keep("pack rows", lambda: tuple(_rows(kit)))


def _rows(kit: Kit) -> list[PackRow]:
    kinds = [kind for kind in map(kit.kind_or_none, CHECKED) if kind is not None]
    counted = [(kind, pack.name, pack.count) for kind in kinds for pack in packs(kind)]
    return [_row(kit, kind, name, count) for kind, name, count in counted if count is not None]


def _row(kit: Kit, kind: Kind, pack: str, count: int) -> PackRow:
    own, loss = sort_of(kind), loss_of(kind)
    spread = _NEARLY_ALL * own.mean_g * count * sqrt(loss.roll**2 + loss.piece**2 / count)
    clad = next((sort_of(one) for one in likely_strangers(kit, kind)), None)
    told = next(one for one in packs(kind) if one.name == pack)
    return PackRow(
        kind=kind,
        pack=pack,
        count=count,
        unworn_g=told.gross_g,
        trade_g=told.trade_gross_g,
        low_g=_grams(own.mean_g * count - spread),
        high_g=_grams(own.mean_g * count + spread),
        clad_g=None if clad is None else to_places(Decimal(repr(own.mean_g - clad.mean_g)), 2),
        shows_from=None if clad is None or count > 500 else shows_from(count, own, clad, _SCALE_U),
    )


def _grams(value: float) -> Decimal:
    return to_places(Decimal(repr(value)), 1)
