"""What may be asked back of a seller for pieces that are not what was sold: their price, less the melt of what is kept.

Wear is never claimed here: coin that is sold by face is paid for by face.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from ninefine.book.entries import Amount
from ninefine.book.holdings import Lot
from ninefine.catalog.kinds import Basis, Kind
from ninefine.desk.arrivals import MEASURES, both_know, lot_named
from ninefine.desk.counting import line_price
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.kit import Kit
from ninefine.desk.picks import read_goods
from ninefine.errors import NotFoundError
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import Fine, ounces_of


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongPieces:
    """Pieces that came in place of what was sold.

    Attributes:
        kind, amount: what they are and how many.
        share: how much of the goods they were passed for, in the claim's measure.
        price: what that share was paid, to the cent.
        fine: their own fine ounces, by scale where weighed; none where they hold no silver.
        credit: the melt of those that are kept, to the cent; zero where they go back.
    """

    kind: Kind
    amount: Amount
    share: Decimal
    price: Decimal
    fine: Fine | None
    credit: Decimal

    @property
    def claim(self) -> Decimal:
        """What these pieces add to the claim."""
        return self.price - self.credit


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A claim worked out and not booked: `receive` books its sum, `credit` the money when it comes.

    `each` is the price of one face dollar (or piece, or gram: `measure` says which), without carriage and the like.
    """

    lot: Lot
    measure: str
    each: Decimal
    lines: tuple[WrongPieces, ...]

    @property
    def total(self) -> Decimal:
        """What is asked back; may be negative where what is kept is worth more than was paid."""
        return sum((line.claim for line in self.lines), Decimal(0))


def work_out(kit: Kit, form: Mapping[str, str]) -> Claim:
    """Work out a claim on a lot.

    Fields: `lot`; `spot` (silver by the ounce, for what is kept; the price on record if empty); and for each kind of
    wrong pieces n: `kind-n`, `amount-n`, `kept-n` (`yes` where they are kept at melt).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the claim")
    lot = fields.read("lot", partial(lot_named, kit.holdings().lots), None, needed=True)
    spot = fields.positive("spot")
    lines: list[WrongPieces] = []
    measure, each = ("", Decimal(0)) if lot is None else _price(kit, lot)
    for number in numbers_of(form, "kind", "amount"):
        goods = read_goods(kit, fields, number)
        if lot is None or goods is None:
            continue
        named, amount = goods
        if not both_know(lot.ordered, amount, measure):
            fields.fault(f"amount-{number}", f"Lot {lot.name} was sold by {MEASURES[measure]}; say how much of it.")
            continue
        metal_spot = (
            spot if spot is not None and named.kind.metal == "XAG" else kit.spot_or_none(metal=named.kind.metal)
        )
        kept = fields.raw(f"kept-{number}") == "yes"
        if kept and metal_spot is None:
            fields.fault("spot", "No price is known to credit what is kept at.")
            continue
        share = Decimal(getattr(amount, measure))
        currency = kit.journal.currency
        price = cents(EXACT.multiply(each, share), currency)
        lines.append(_wrong(named.kind, amount, share, price, metal_spot if kept else None, currency))
    if not lines and fields.sound:
        fields.fault("kind-1", "Say at least one kind of pieces that are not what was sold.")
    fields.done()
    if lot is None:
        raise NotFoundError("No lot was named.")
    return Claim(lot=lot, measure=MEASURES[measure], each=each, lines=tuple(lines))


def _price(kit: Kit, lot: Lot) -> tuple[str, Decimal]:
    """The measure that a lot was sold by, and the price of one of it, unrounded, without shared costs."""
    measure = next(name for name in MEASURES if getattr(lot.ordered, name) is not None)
    return measure, EXACT.divide(line_price(kit, lot), Decimal(getattr(lot.ordered, measure)))


def _wrong(
    kind: Kind, amount: Amount, share: Decimal, price: Decimal, spot: Decimal | None, currency: str
) -> WrongPieces:
    """`spot` is none for pieces that go back."""
    fine = ounces_of(amount, kind).on(Basis.SCALE) if kind.fineness else None
    credit = Decimal(0) if fine is None or spot is None else cents(EXACT.multiply(fine.ozt, spot), currency)
    return WrongPieces(kind=kind, amount=amount, share=share, price=price, fine=fine, credit=credit)
