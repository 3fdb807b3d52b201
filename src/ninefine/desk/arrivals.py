"""Arrivals: what is on its way, counting a parcel against what was ordered, weighing, claiming, being paid back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Credited, Received, ReceivedLine, Weighed, WeighedLine
from ninefine.book.holdings import Heap, Lot
from ninefine.catalog.kinds import Kind
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import heap_name, read_heap
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError
from ninefine.measure.mass import read_mass
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import ounces_of

#: The measures of an amount, in the order in which goods are compared by them, and their words.
MEASURES = {"face": "face", "count": "pieces", "gross_g": "g"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """Lots bought together and still on their way."""

    serial: int
    bought: date
    seller: str
    lots: tuple[Lot, ...]
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """A weighed heap against its specification and against the trade's count.

    `from_spec` and `from_trade` are shares of one: -0.0222 is 2.22% light.
    """

    heap: Heap
    kind: Kind
    nominal_g: Decimal
    scale_g: Decimal
    scale_ozt: Decimal
    trade_ozt: Decimal
    from_spec: Decimal
    from_trade: Decimal

    @property
    def trade_from_spec(self) -> Decimal:
        """Where the trade's count stands against specification: -0.0116 for small coin."""
        return EXACT.divide(1 + self.from_spec, 1 + self.from_trade) - 1


def parcels(kit: Kit) -> tuple[Parcel, ...]:
    """What has been paid for and not yet received, oldest first."""
    waiting: dict[int, list[Lot]] = {}
    for lot in kit.holdings().lots.values():
        if lot.awaited:
            waiting.setdefault(lot.serial, []).append(lot)
    return tuple(
        Parcel(
            serial=serial,
            bought=lots[0].came,
            seller=lots[0].seller,
            lots=tuple(lots),
            days=(kit.today() - lots[0].came).days,
        )
        for serial, lots in waiting.items()
    )


def read_receipt(kit: Kit, form: Mapping[str, str]) -> Received:
    """Read a receipt form. Fields: `on`, `place`, `claim`, `note`, and for each line n: `lot-n`, `counted-n`.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the count")
    on = fields.past_day("on", kit.today())
    claim = fields.money("claim")
    held, catalog = kit.holdings(), kit.catalog()
    lines = []
    numbers = sorted({name.removeprefix("lot-") for name in form if name.startswith("lot-")})
    for number in numbers:
        if not fields.raw(f"counted-{number}") and len(numbers) > 1:
            continue
        lot = fields.read(f"lot-{number}", partial(lot_named, held.lots), None, needed=True)
        if lot is not None:
            reader = partial(read_amount, kind=catalog.kind(lot.kind))
            counted = fields.read(f"counted-{number}", reader, None, needed=True)
            if counted is not None:
                lines.append(ReceivedLine(lot=lot.name, amount=counted))
    if not lines and fields.sound:
        fields.fault("counted-1", "Say what was counted of at least one lot.")
    fields.done()
    return Received(on=on, lines=tuple(lines), place=fields.raw("place"), claim=claim, note=fields.raw("note"))


def parcel(kit: Kit, serial: int) -> Parcel:
    """One parcel on its way, by the entry that bought it.

    Raises:
        NotFoundError: nothing of that entry is on its way.
    """
    found = parcels(kit)
    for one in found:
        if one.serial == serial:
            return one
    raise NotFoundError(
        f"Nothing of entry {serial} is on its way.",
        expected="It was received already, or never bought so.",
        instead=[f"entry {one.serial}" for one in found[:4]],
    )


def receive(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a parcel as counted.

    Raises:
        Faults: every fault of the form.
        BookError: the lot was received before, or has been sorted or sold since.
    """
    return kit.journal.append(read_receipt(kit, form))


def short_by(ordered: Amount, counted: Amount) -> Decimal | None:
    """How much less came than was ordered (negative: more): in face, else pieces, else grams; none if neither fits."""
    for name in MEASURES:
        if both_know(ordered, counted, name):
            return Decimal(getattr(ordered, name)) - Decimal(getattr(counted, name))
    return None


def both_know(one: Amount, other: Amount, name: str) -> bool:
    """Whether two amounts can be compared by a measure."""
    return getattr(one, name) is not None and getattr(other, name) is not None


def claims(kit: Kit) -> tuple[Lot, ...]:
    """Lots on which something is claimed of the seller and not yet paid, oldest first."""
    return kit.keep("claims", lambda: tuple(lot for lot in kit.holdings().lots.values() if lot.claim))


def claimed(kit: Kit) -> Decimal:
    """All that is claimed of sellers and not yet paid."""
    return sum((lot.claim for lot in claims(kit)), Decimal(0))


def credit(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book money that a seller paid back. Fields: `on`, `lots` (names parted by commas), `amount`, `note`.

    Raises:
        Faults: every fault of the form.
        BookError: more than the lots still cost.
    """
    fields = Fields(form, source="the credit")
    on = fields.past_day("on", kit.today())
    amount = fields.money("amount", needed=True)
    none: tuple[Lot, ...] = ()
    lots = fields.read("lots", partial(_lots, kit.holdings().lots), none, needed=True)
    if fields.sound and amount == 0:
        fields.fault("amount", "A credit of nothing changes nothing.")
    fields.done()
    return kit.journal.append(
        Credited(on=on, lots=tuple(lot.name for lot in lots), amount=amount, note=fields.raw("note"))
    )


def weigh(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book weights on the scale.

    Fields: `on`, `readability` (as `0.1 g`), `note`, and for each line n: `heap-n`, `weight-n`.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the weighing")
    on = fields.past_day("on", kit.today())
    step = fields.read("readability", lambda text: read_mass(text).grams, None)
    held = kit.holdings()
    lines = []
    for number in sorted({name.removeprefix("heap-") for name in form if name.startswith("heap-")}):
        if not fields.raw(f"weight-{number}") and fields.raw("heap-2"):
            continue
        heap = fields.read(f"heap-{number}", partial(read_heap, held), None, needed=True)
        grams = fields.read(f"weight-{number}", lambda text: read_mass(text).grams, None, needed=True)
        if heap is not None and grams is not None:
            lines.append(WeighedLine(heap=heap.ref, gross_g=grams))
    if not lines and fields.sound:
        fields.fault("weight-1", "Give the weight of at least one heap.")
    fields.done()
    return kit.journal.append(Weighed(on=on, lines=tuple(lines), readability_g=step, note=fields.raw("note")))


def wear_of(heap: Heap, kind: Kind) -> Wear | None:
    """A weighed heap against specification and trade count; none where it was not weighed or has no nominal weight."""
    if heap.gross_g is None or not kind.fineness:
        return None
    unweighed = ounces_of(Amount(count=heap.count, face=heap.face), kind) if heap.count or heap.face else None
    weighed = ounces_of(heap, kind)
    if unweighed is None or weighed.scale is None or not unweighed.gross_g:
        return None
    return Wear(
        heap=heap,
        kind=kind,
        nominal_g=unweighed.gross_g,
        scale_g=heap.gross_g,
        scale_ozt=weighed.scale,
        trade_ozt=unweighed.trade,
        from_spec=EXACT.divide(heap.gross_g, unweighed.gross_g) - 1,
        from_trade=EXACT.divide(weighed.scale, unweighed.trade) - 1,
    )


def wears(kit: Kit, *, first: int = 0, most: int | None = None) -> tuple[Wear, ...]:
    """Weighed heaps against their specification, newest lot first, `most` of them from the `first`."""
    held = kit.keep("weighed", lambda: tuple(heap for heap in reversed(kit.holdings().heaps) if _has_wear(kit, heap)))
    wanted = held[first : None if most is None else first + most]
    found = (wear_of(heap, kit.catalog().kind(heap.kind)) for heap in wanted)
    return tuple(wear for wear in found if wear is not None)


def _has_wear(kit: Kit, heap: Heap) -> bool:
    if heap.gross_g is None or (heap.count is None and heap.face is None):
        return False
    kind = kit.kind_or_none(heap.kind)
    return kind is not None and wear_of(heap, kind) is not None


def weighable(kit: Kit) -> tuple[tuple[str, Heap], ...]:
    """Heaps that lie here and were not weighed yet, with their names."""
    held = kit.holdings()
    return tuple(
        (heap_name(heap), heap) for heap in held.heaps if heap.gross_g is None and not held.lots[heap.lot].awaited
    )


def lot_named(lots: Mapping[str, Lot], text: str) -> Lot:
    """A lot by its name.

    Raises:
        NotFoundError: no such lot.
    """
    lot = lots.get(text.strip())
    if lot is None:
        raise NotFoundError(f"There is no lot {text.strip()[:40]!r}.", instead=list(lots)[-6:])
    return lot


def _lots(lots: Mapping[str, Lot], text: str) -> tuple[Lot, ...]:
    return tuple(lot_named(lots, name) for name in text.split(",") if name.strip())
