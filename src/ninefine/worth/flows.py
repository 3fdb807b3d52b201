"""Money into the silver and out of it, day by day: what returns are reckoned from.

What was paid is below zero, what came back above. Silver that came or went without money is taken in and out at its
worth on that day: a gift at its value at the gift, an inheritance at its value at death, else at the melt of the day;
so too an opening balance of which nobody knows the cost or the date. What was lost or stolen brought what was paid for
it, mostly nothing: the loss shows in the return. A return is no gain that a tax form asks for.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple

from ninefine.book.entries import (
    Amount,
    Bought,
    Credited,
    Fact,
    Given,
    Inherited,
    Lost,
    Opened,
    Refined,
    Sold,
    Swapped,
)
from ninefine.book.holdings import Disposal
from ninefine.book.how import Left
from ninefine.book.share import ZERO, rounded, unit_of
from ninefine.book.standing import Standing

#: The melt of some of a kind on a day; none where there is no price, or the kind is not known.
MeltOn = Callable[[date, str, Amount], Decimal | None]


class Moved(StrEnum):
    """What a flow is of; the value is said beside it."""

    BOUGHT = "bought"
    CREDITED = "paid back"
    SOLD = "sold"
    SWAPPED = "cash of a swap"
    REFINED = "refined"
    PAID = "paid for what was lost"
    GIVEN = "given"
    INHERITED = "inherited"
    HELD = "held before the book"
    GIVEN_AWAY = "given away"
    WORTH = "what is held is worth"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyFlow:
    """An amount on a day: below zero put in, above zero taken out.

    `estimated` is true where no money moved and the melt of the day stands for it.
    """

    on: date
    amount: Decimal
    what: Moved
    serial: int
    estimated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Flows:
    """Every flow, in order of days; and the entries that could not be counted, since no price is known of their day."""

    flows: tuple[MoneyFlow, ...]
    uncounted: tuple[int, ...]

    @property
    def put_in(self) -> Decimal:
        """All that was put in, as an amount above zero."""
        return -sum((flow.amount for flow in self.flows if flow.amount < 0), ZERO)

    @property
    def taken_out(self) -> Decimal:
        """All that came back."""
        return sum((flow.amount for flow in self.flows if flow.amount > 0), ZERO)

    @property
    def estimated(self) -> tuple[MoneyFlow, ...]:
        """The flows for which the melt of a day stands."""
        return tuple(flow for flow in self.flows if flow.estimated)

    @property
    def pairs(self) -> tuple[tuple[date, Decimal], ...]:
        """Day and amount, for a rate."""
        return tuple((flow.on, flow.amount) for flow in self.flows)


class _InKind(NamedTuple):
    """Silver that came or went without money. `came` is 1 or -1; `value` what it was worth, if that was said."""

    on: date
    serial: int
    what: Moved
    came: int
    value: Decimal | None
    kind: str
    amount: Amount


def flows_of(
    facts: Iterable[Standing], disposals: Sequence[Disposal], melt_on: MeltOn, *, currency: str = "USD"
) -> Flows:
    """The flows of a book.

    Args:
        facts: what stands, up to the day of the reckoning.
        disposals: what left by then.
        melt_on: gives the melt of some of a kind on a day.
        currency: the book's; money is rounded as the book rounds it.
    """
    unit = unit_of(currency)
    found: list[MoneyFlow] = []
    in_kind: list[_InKind] = []
    for _, serial, fact in facts:
        found += _money(serial, fact, unit)
        in_kind += _came(serial, fact)
    in_kind += [_gone(one) for one in disposals if one.left is Left.GIVEN_AWAY]
    uncounted: list[int] = []
    for one in in_kind:
        worth = melt_on(one.on, one.kind, one.amount) if one.value is None else rounded(one.value, unit)
        if worth is None:
            uncounted.append(one.serial)
        else:
            found.append(_flow(one.on, -one.came * worth, one.what, one.serial, estimated=one.value is None))
    return Flows(
        flows=tuple(sorted((flow for flow in found if flow.amount), key=lambda flow: (flow.on, flow.serial))),
        uncounted=tuple(dict.fromkeys(uncounted)),
    )


def _flow(on: date, amount: Decimal, what: Moved, serial: int, *, estimated: bool = False) -> MoneyFlow:
    return MoneyFlow(on=on, amount=amount, what=what, serial=serial, estimated=estimated)


def _money(serial: int, fact: Fact, unit: Decimal) -> Iterable[MoneyFlow]:
    """The money that moved by an entry."""

    def total(amounts: Iterable[Decimal]) -> Decimal:
        return sum((rounded(amount, unit) for amount in amounts), ZERO)

    if isinstance(fact, Bought):
        paid = total(line.price for line in fact.lines) + rounded(sum(fact.other_costs.values(), ZERO), unit)
        yield _flow(fact.on, -paid, Moved.BOUGHT, serial)
    elif isinstance(fact, Credited):
        yield _flow(fact.on, rounded(fact.amount, unit), Moved.CREDITED, serial)
    elif isinstance(fact, Sold):
        brought = total(line.proceeds for line in fact.lines) - rounded(fact.fees, unit)
        yield _flow(fact.on, brought, Moved.SOLD, serial)
    elif isinstance(fact, Swapped):
        cash = rounded(fact.cash, unit) - rounded(sum(fact.other_costs.values(), ZERO), unit)
        yield _flow(fact.on, cash, Moved.SWAPPED, serial)
    elif isinstance(fact, Refined):
        settled = rounded(fact.proceeds, unit) - rounded(sum(fact.fees.values(), ZERO), unit)
        yield _flow(fact.on, settled, Moved.REFINED, serial)
    elif isinstance(fact, Lost):
        yield _flow(fact.on, total(line.paid for line in fact.lines), Moved.PAID, serial)


def _came(serial: int, fact: Fact) -> Iterable[_InKind]:
    """Silver that came by an entry without money."""
    if isinstance(fact, Given):
        for line in fact.lines:
            yield _InKind(fact.on, serial, Moved.GIVEN, 1, line.value, line.kind, line.amount)
    elif isinstance(fact, Inherited):
        for left in fact.lines:
            day = fact.on if left.value is None else fact.valued_on or fact.died
            yield _InKind(day, serial, Moved.INHERITED, 1, left.value, left.kind, left.amount)
    elif isinstance(fact, Opened):
        for stood in fact.lines:
            day, cost = fact.on, None
            if stood.cost is not None and stood.acquired is not None:
                day, cost = stood.acquired, stood.cost
            yield _InKind(day, serial, Moved.HELD, 1, cost, stood.kind, stood.amount)


def _gone(disposal: Disposal) -> _InKind:
    return _InKind(disposal.on, disposal.serial, Moved.GIVEN_AWAY, -1, disposal.value, disposal.kind, disposal.amount)
