"""Lines of a list whose money is far from what the silver in them was worth that day.

Often it is a price for one read as one for all, or a tube counted as a piece. Nothing is refused for it: some coin is
dear, and some was a bargain.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from ninefine.book.entries import Bought, Opened, Sold
from ninefine.book.said import Amount
from ninefine.desk.amounts import say_amount
from ninefine.desk.bring_facts import Booked
from ninefine.desk.kit import Kit
from ninefine.measure.numbers import EXACT, plain, to_places
from ninefine.worth.ounces import ounces_of

#: Money for silver beyond these parts of its melt is looked at twice (common sense, no source).
LEAST, MOST = Decimal("0.4"), Decimal(4)


def doubts(kit: Kit, booked: Booked) -> Iterator[tuple[int, str]]:
    """Words about lines that are far from the melt of their day, with the number of each."""
    fact = booked.fact
    if isinstance(fact, Bought):
        (line,) = fact.lines
        yield from _doubt(kit, booked.lines[0], fact.on, (line.kind, line.amount, line.price))
    elif isinstance(fact, Sold) and len(fact.lines) == 1:
        (sold,) = fact.lines
        if sold.amount is not None:
            yield from _doubt(kit, booked.lines[0], fact.on, (sold.heap.kind, sold.amount, sold.proceeds))
    elif isinstance(fact, Opened):
        for number, held in zip(booked.lines, fact.lines, strict=True):
            if held.cost is not None and held.acquired is not None and held.how in {"", "bought"}:
                yield from _doubt(kit, number, held.acquired, (held.kind, held.amount, held.cost))


def _doubt(kit: Kit, number: int, on: date, goods: tuple[str, Amount, Decimal]) -> Iterator[tuple[int, str]]:
    slug, amount, money = goods
    kind, spot = kit.kind_or_none(slug), kit.spot_or_none(on)
    if kind is None or kind.metal != "XAG" or not kind.fineness or spot is None:
        return
    melt = EXACT.multiply(ounces_of(amount, kind).trade, spot)
    if melt and not LEAST * melt <= money <= MOST * melt:
        share = plain(to_places(EXACT.divide(money * 100, melt), 0))
        words = f"{say_amount(amount)} of {kind.name} for {money} is {share}% of melt at {spot} an ounce that day"
        yield number, f"{words}. Is it the money for all of them, and are they counted piece by piece?"
