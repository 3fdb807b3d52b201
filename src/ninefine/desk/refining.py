"""A refiner's settlement statement: read line by line, reckoned again, held against what was thought to be there."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Refined, RefinedLine
from ninefine.book.holdings import Heap
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.kit import Kit
from ninefine.desk.picks import read_pick, taken_of
from ninefine.errors import RangeError
from ninefine.measure.mass import TROY_OUNCE_G, read_mass
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, plain, read_positive
from ninefine.worth.ounces import HeapOunces, ounces_of

ZERO = Decimal(0)
HUNDRED = Decimal(100)
#: What a refiner takes off, in the order of a settlement statement.
FEES = ("treatment", "assay_fee", "freight", "fees")


@dataclass(frozen=True, slots=True, kw_only=True)
class Melted:
    """What was sent of one heap: how much, and its fine ounces as they were counted before."""

    heap: Heap
    amount: Amount
    ounces: HeapOunces


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """A settlement worked out and not yet booked.

    Attributes:
        entry: what would be booked.
        sent: what was sent, heap by heap.
        found_ozt: fine ounces by the refiner's weight and assay; none where the statement lacks one of them.
        payable_ozt: what of that he pays for; none as before.
        reckoned: what the statement's own figures come to before fees, to the cent; none where one is missing.
        off: proceeds as stated less as reckoned; none where they cannot be reckoned.
    """

    entry: Refined
    sent: tuple[Melted, ...]
    found_ozt: Decimal | None
    payable_ozt: Decimal | None
    reckoned: Decimal | None

    @property
    def off(self) -> Decimal | None:
        """Proceeds as stated less as reckoned; none where they cannot be reckoned."""
        return None if self.reckoned is None else self.entry.proceeds - self.reckoned

    @property
    def fees(self) -> Decimal:
        """All that the refiner takes off."""
        return sum(self.entry.fees.values(), ZERO)

    @property
    def net(self) -> Decimal:
        """What reaches the pocket."""
        return self.entry.proceeds - self.fees

    @property
    def trade_ozt(self) -> Decimal:
        """Fine ounces sent, by the trade's count."""
        return sum((one.ounces.trade for one in self.sent), ZERO)

    @property
    def scale_ozt(self) -> Decimal | None:
        """Fine ounces sent, by one's own scale; none where part of it was not weighed."""
        weighed = [one.ounces.scale for one in self.sent if one.ounces.scale is not None]
        return sum(weighed, ZERO) if len(weighed) == len(self.sent) else None

    @property
    def from_trade(self) -> Decimal | None:
        """How far the refiner's ounces lie from the trade's count, as a share of it: -0.02 is two per cent short."""
        if self.found_ozt is None or not self.trade_ozt:
            return None
        return EXACT.divide(self.found_ozt, self.trade_ozt) - 1


def read_settlement(kit: Kit, form: Mapping[str, str]) -> Settlement:
    """Read a settlement statement without booking it.

    Fields: `on`, `refiner`, `gross` and `melted` (weights, as `1461 g`), `assay` (`.899`, `899` or `89.9%`), `payable`
    (per cent), `per_ozt`, `proceeds` (what the payable silver came to; reckoned from the others if empty), the fees of
    `FEES`, `paper`, `note`; and for each heap n: `heap-n`, `amount-n` (all of it if empty).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the settlement")
    on = fields.past_day("on", kit.today())
    held = kit.holdings(on if on < kit.today() else None)
    numbers = numbers_of(form, "heap")
    picks = [read_pick(kit, fields, held, f"heap-{number}", f"amount-{number}") for number in numbers]
    sent = tuple(
        _melted(kit, fields, f"amount-{number}", pick)
        for number, pick in zip(numbers, picks, strict=True)
        if pick is not None
    )
    gross, melted = (fields.read(name, lambda text: read_mass(text).grams, None) for name in ("gross", "melted"))
    assay = fields.read("assay", read_assay, None)
    payable = fields.read("payable", partial(read_percent, what="payable"), None)
    per_ozt = fields.positive("per_ozt")
    fees = {name: fields.money(name) for name in FEES}
    found = _ounces(melted or gross, assay)
    payable_ozt = None if found is None else EXACT.divide(EXACT.multiply(found, payable or HUNDRED), HUNDRED)
    reckoned = None
    if payable_ozt is not None and per_ozt is not None:
        reckoned = cents(EXACT.multiply(payable_ozt, per_ozt), kit.journal.currency)
    proceeds = fields.money("proceeds", ZERO if reckoned is None else reckoned)
    if not fields.raw("proceeds") and reckoned is None:
        fields.fault("proceeds", "Say what the silver came to, or its weight, assay and price.")
    if not sent and fields.sound:
        fields.fault("heap-1", "Say which heap was melted.")
    fields.done()
    entry = Refined(
        on=on,
        refiner=fields.raw("refiner"),
        lines=tuple(_line(one, pick) for one, pick in zip(sent, picks, strict=True) if pick is not None),
        gross_g=gross,
        melted_g=melted,
        assay=assay,
        payable_pct=payable,
        per_ozt=per_ozt,
        proceeds=proceeds,
        fees={name.replace("_", " "): amount for name, amount in fees.items() if amount},
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )
    return Settlement(entry=entry, sent=sent, found_ozt=found, payable_ozt=payable_ozt, reckoned=reckoned)


def refine(kit: Kit, settlement: Settlement) -> Stored:
    """Book a settlement as it was worked out.

    Raises:
        BookError: the book has changed meanwhile and no longer holds the pieces.
    """
    return kit.journal.append(settlement.entry)


def read_assay(text: str) -> Decimal:
    """Read an assay as parts of one: `.899`, `0.899`, `899` (per mille) or `89.9%`.

    Raises:
        UnreadableError: not a number.
        RangeError: not above zero, or more than all.
    """
    said = text.strip()
    per_cent = said.endswith("%")
    value = read_positive(said.removesuffix("%").strip(), what="assay")
    if per_cent:
        value = EXACT.divide(value, HUNDRED)
    elif value > 1:
        value = EXACT.divide(value, Decimal(1000))
    if value > 1:
        raise RangeError(
            f"{said} is more than all of it.", expected="An assay is parts of one.", instead=(".899", "899")
        )
    return value


def read_percent(text: str, *, what: str) -> Decimal:
    """Read a per cent above zero and no more than a hundred; the sign may be written.

    Raises:
        UnreadableError: not a number.
        RangeError: outside that.
    """
    value = read_positive(text.strip().removesuffix("%").strip(), what=what)
    if value > HUNDRED:
        raise RangeError(f"{plain(value)} is more than a hundred per cent.")
    return value


def _melted(kit: Kit, fields: Fields, field: str, pick: tuple[Heap, Amount | None]) -> Melted:
    heap, amount = pick
    taken = taken_of(fields, field, heap, amount)
    return Melted(heap=heap, amount=taken, ounces=ounces_of(taken, kit.catalog().kind(heap.kind)))


def _line(one: Melted, pick: tuple[Heap, Amount | None]) -> RefinedLine:
    """A line of the entry; proceeds are shared by fine ounces, by scale where the heap was weighed."""
    weight = one.ounces.trade if one.ounces.scale is None else one.ounces.scale
    return RefinedLine(heap=one.heap.ref, amount=pick[1], weight=weight)


def _ounces(grams: Decimal | None, assay: Decimal | None) -> Decimal | None:
    if grams is None or assay is None:
        return None
    return EXACT.divide(EXACT.multiply(grams, assay), TROY_OUNCE_G)
