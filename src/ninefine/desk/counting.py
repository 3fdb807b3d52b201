"""A count set against what was ordered: what is short, and what that share of the price comes to."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.entries import Amount, Bought
from ninefine.book.holdings import Lot
from ninefine.desk.arrivals import MEASURES, both_know, read_receipt, short_by
from ninefine.desk.kit import Kit
from ninefine.desk.records import standing
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What came of one lot against what was ordered.

    Attributes:
        short: how much less came (negative: more), in the first measure that both know; none where they share none.
        measure: that measure: face, pieces or grams.
        price: what the lot's line itself cost, without carriage and the like.
        share: the price of what did not come, to the cent: what one would claim. Zero where nothing is short.
    """

    lot: Lot
    counted: Amount
    short: Decimal | None
    measure: str
    price: Decimal
    share: Decimal


def compare_count(kit: Kit, form: Mapping[str, str]) -> tuple[Compared, ...]:
    """Set a count against what was ordered, without booking it; the form is that of `read_receipt`.

    Raises:
        Faults: every fault, each at its field.
    """
    counted = read_receipt(kit, form)
    lots = kit.holdings().lots
    return tuple(_compared(kit, lots[line.lot], line.amount) for line in counted.lines)


def _compared(kit: Kit, lot: Lot, counted: Amount) -> Compared:
    measure = next((name for name in MEASURES if both_know(lot.ordered, counted, name)), "")
    short = short_by(lot.ordered, counted)
    price = line_price(kit, lot)
    share = Decimal(0)
    if short is not None and short > 0:
        ordered = Decimal(getattr(lot.ordered, measure))
        share = cents(EXACT.divide(EXACT.multiply(price, short), ordered), kit.journal.currency)
    return Compared(lot=lot, counted=counted, short=short, measure=MEASURES.get(measure, ""), price=price, share=share)


def line_price(kit: Kit, lot: Lot) -> Decimal:
    """What the line of a purchase itself cost, as it stands today; the lot's whole cost where it was not bought."""
    fact = standing(kit, lot.serial)
    lines = fact.lines if isinstance(fact, Bought) else ()
    return next((line.price for line in lines if line.lot == lot.name), lot.cost)
