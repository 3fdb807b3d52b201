"""Holdings on any date: the sentence, the ledger, the lots, and the shares by form, place and metal."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.holdings import Heap, Holdings, Lot
from ninefine.catalog.kinds import Basis, Form, Kind
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError
from ninefine.market.prices import Stamp, StampKind
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import HeapOunces, ounces_of
from ninefine.worth.stack import PileWorth, Stack, stack_of

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapLine:
    """A heap of a lot with its kind (none where the catalog no longer holds it) and its ounces."""

    heap: Heap
    kind: Kind | None
    ounces: HeapOunces | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """A lot still held, at least in part: what is left of it, what that cost, its ounces on one basis.

    `face` is that of its heaps which have one; `count` is none where any heap is not counted.

    `days` is how long it has been owned; none where nobody knows since when.
    """

    lot: Lot
    heaps: tuple[HeapLine, ...]
    ozt: Decimal
    basis: Decimal
    face: Decimal | None
    count: int | None
    days: int | None

    @property
    def cost(self) -> Decimal | None:
        """What is left of it cost; none where nobody knows."""
        return self.basis if self.lot.cost_known else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """What is held on a date.

    Attributes:
        on: the date asked for; none for now.
        basis: which ounces the figures count.
        stamps: the price of each metal held, with whose it is and how old; a metal without a price is missing.
        here: what lies here.
        awaited: what is paid for and on its way, counted apart.
        face_90: face dollars of constitutional coin held, where its face is known.
        cost_per_face_90: what those cost a face dollar, over the face whose cost is known.
    """

    on: date | None
    basis: Basis
    stamps: dict[str, Stamp]
    here: Stack
    awaited: Stack
    lots: int
    face_90: Decimal
    cost_per_face_90: Decimal | None

    @property
    def spots(self) -> dict[str, Decimal]:
        """Price per troy ounce by metal."""
        return {metal: stamp.per_ozt for metal, stamp in self.stamps.items()}


def summary(kit: Kit, *, on: date | None = None, basis: Basis = Basis.TRADE, spot: Decimal | None = None) -> Summary:
    """Count and value what is held.

    Args:
        kit: the kit.
        on: a past date, as the book knows it now; none for today.
        basis: which ounces to count.
        spot: a price of silver to use instead of the one on record.
    """
    return kit.keep(("summary", on, basis, spot), lambda: _summary(kit, on, basis, spot))


def _summary(kit: Kit, on: date | None, basis: Basis, spot: Decimal | None) -> Summary:
    held = kit.holdings(on)
    kind_of = kit.catalog().kind
    here = [heap for lot in held.lots.values() if not lot.awaited for heap in lot.heaps]
    coming = [heap for lot in held.lots.values() if lot.awaited for heap in lot.heaps]
    stamps = _stamps(kit, held, on, spot)
    spots = {metal: stamp.per_ozt for metal, stamp in stamps.items()}
    currency = kit.journal.currency
    stack = stack_of(here, kind_of, basis=basis, spots=spots, currency=currency)
    coin = [
        line.pile for line in stack.lines if line.pile.kind.form is Form.CONSTITUTIONAL and line.pile.face is not None
    ]
    face = sum((pile.face or ZERO for pile in coin), ZERO)
    costed = sum((pile.face or ZERO for pile in coin if pile.cost_known), ZERO)
    cost = sum((pile.basis for pile in coin), ZERO)
    return Summary(
        on=on,
        basis=basis,
        stamps=stamps,
        here=stack,
        awaited=stack_of(coming, kind_of, basis=basis, spots=spots, currency=currency),
        lots=sum(1 for lot in held.lots.values() if lot.heaps),
        face_90=face,
        cost_per_face_90=EXACT.divide(cost, costed) if costed else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsLine:
    """All that is held of one kind at one place and counted on one ounce basis, however it was measured."""

    kind: Kind
    place: str
    basis: Basis
    count: int | None
    face: Decimal | None
    ozt: Decimal


def goods_lines(stack: Stack) -> list[GoodsLine]:
    """The stack by kind and place, most ounces first; `count` and `face` are none where part of it is not so known."""
    groups: dict[tuple[str, str, Basis], list[PileWorth]] = {}
    for line in stack.lines:
        groups.setdefault((line.pile.kind.slug, line.pile.place, line.fine.basis), []).append(line)
    found = []
    for (_, place, basis), lines in groups.items():
        counts = [line.pile.count for line in lines]
        faces = [line.pile.face for line in lines]
        found.append(
            GoodsLine(
                kind=lines[0].pile.kind,
                place=place,
                basis=basis,
                count=None if None in counts else sum(count or 0 for count in counts),
                face=None if None in faces else sum((face or ZERO for face in faces), ZERO),
                ozt=sum((line.fine.ozt for line in lines), ZERO),
            )
        )
    return sorted(found, key=lambda line: (-line.ozt, line.kind.name, line.place))


def lot_lines(
    kit: Kit, *, on: date | None = None, basis: Basis = Basis.TRADE, first: int = 0, most: int = 50
) -> list[LotLine]:
    """Lots still held, newest first, `most` of them from the `first`."""
    held = kit.holdings(on)
    lots = [lot for lot in reversed(list(held.lots.values())) if lot.heaps]
    return [_lot_line(kit, lot, basis, on or kit.today()) for lot in lots[first : first + most]]


def lot_line(kit: Kit, name: str, *, on: date | None = None, basis: Basis = Basis.TRADE) -> LotLine:
    """One lot, sold out or not.

    Raises:
        NotFoundError: no such lot.
    """
    lots = kit.holdings(on).lots
    if name not in lots:
        raise NotFoundError(f"There is no lot {name[:40]!r}.", instead=list(lots)[-6:])
    return _lot_line(kit, lots[name], basis, on or kit.today())


def _lot_line(kit: Kit, lot: Lot, basis: Basis, today: date) -> LotLine:
    heaps = []
    for heap in lot.heaps:
        kind = kit.kind_or_none(heap.kind)
        heaps.append(HeapLine(heap=heap, kind=kind, ounces=None if kind is None else ounces_of(heap, kind)))
    faces = [line.heap.face for line in heaps if line.heap.face is not None]
    counts = [line.heap.count for line in heaps if line.heap.count is not None]
    return LotLine(
        lot=lot,
        heaps=tuple(heaps),
        ozt=sum((line.ounces.on(basis).ozt for line in heaps if line.ounces is not None), ZERO),
        basis=sum((heap.basis for heap in lot.heaps), ZERO),
        face=sum(faces, ZERO) if faces else None,
        count=sum(counts) if counts and len(counts) == len(heaps) else None,
        days=None if lot.acquired is None else (today - lot.acquired).days,
    )


def _stamps(kit: Kit, held: Holdings, on: date | None, spot: Decimal | None) -> dict[str, Stamp]:
    """Prices for the metals held; one given in words beats the one on record, and says so."""
    stamps: dict[str, Stamp] = {}
    metals = {"XAG"}
    for slug in {heap.kind for heap in held.heaps}:
        kind = kit.kind_or_none(slug)
        if kind is not None:
            metals.add(kind.metal)
    for metal in metals:
        try:
            stamps[metal] = kit.stamp(on, metal)
        except NotFoundError:
            continue
    if spot is not None:
        day = on or kit.today()
        stamps["XAG"] = Stamp(
            per_ozt=spot,
            metal="XAG",
            on=day,
            asked=day,
            whose="you",
            kind=StampKind.OWN,
            stale_days=0,
            stale=False,
            note="as asked for",
        )
    return stamps
