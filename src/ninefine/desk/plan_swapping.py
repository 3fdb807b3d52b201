"""Planning a change of form or metal: what it costs in premium and tax, and when it would have paid."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ninefine.book.entries import Amount
from ninefine.catalog.kinds import Basis, Kind
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.kit import Kit
from ninefine.desk.plan_typed import read_rates
from ninefine.desk.sale import SalePlan, read_sale
from ninefine.errors import Fault, Faults, NotFoundError
from ninefine.market.content import Content, content_of
from ninefine.market.quote import Quote
from ninefine.market.read_quote import read_quote
from ninefine.market.series import metal_name, monthly
from ninefine.measure.numbers import to_places
from ninefine.plan.selling import counts_short
from ninefine.plan.swap import Change, Given, RatioPast, Taken, change_of, ratio_past
from ninefine.plan.taxed import Rates, added_tax
from ninefine.worth.ways_out import goods_of

ZERO = Decimal(0)
SILVER, GOLD = "XAG", "XAU"
#: Fields that a sale of what is given takes as they are.
_OF_SALE = ("kind", "amount", "rule", "exit", "price", "fees")


@dataclass(frozen=True, slots=True, kw_only=True)
class Swapping:
    """A change that was worked out.

    Attributes:
        sale: the sale of what is given, as it would be booked. taken: the kind that comes.
        goods: what is given, heap by heap: its kind's name and how much.
        change: what it comes to. rates: the typed rates.
        past: how often gold stood so many times over silver, or more; none where metals are others.
        ask, bid, again: the words of the three quotes.
        guessed: which of them were not typed, and stand at spot.
    """

    sale: SalePlan
    goods: tuple[tuple[str, Amount], ...]
    given: Content
    taken: Kind
    change: Change
    rates: Rates
    past: RatioPast | None
    spots: tuple[Decimal, Decimal]
    quotes: Mapping[str, str]
    guessed: tuple[str, ...]

    @property
    def one_metal(self) -> bool:
        """Whether both are of one metal."""
        return self.taken.metal == SILVER

    @property
    def metal(self) -> str:
        """The metal that is taken, in words."""
        return metal_name(self.taken.metal)


def plan_swapping(kit: Kit, form: Mapping[str, str]) -> Swapping:
    """Work a change out.

    Fields: `kind`, `amount`, `rule` (which of one's own lots go, as in a sale) or `heap-1`, `amount-1`; `exit` or
    `price` (how it is sold); `take` (the kind that comes, in plain words); `ask` (what is asked for it: `spot+3`, `4%
    over`), `bid` (what would be paid for it on going back), `again` (what would be asked for the first goods on going
    back); `spot`, `other_spot` (of another metal); the rates of a plan of selling.

    Raises:
        Faults: every fault, each at its field.
        NotFoundError: no price is known.
    """
    fields = Fields(form, source="the swap")
    named = fields.read("take", lambda text: read_named(kit.catalog(), text), None, needed=True)
    quotes = {name: fields.read(name, read_quote, read_quote("spot")) for name in ("ask", "bid", "again")}
    rates = read_rates(kit, fields)
    spot = fields.positive("spot") or kit.spot_or_none()
    metal = SILVER if named is None else named.kind.metal
    other = spot if metal == SILVER else fields.positive("other_spot") or kit.spot_or_none(metal=metal)
    if not fields.raw("exit") and not fields.raw("price"):
        fields.fault("exit", "Say by which way out it is sold, or at what price.")
    if not fields.raw("amount") and not fields.raw("heap-1"):
        fields.fault("amount", "Say how much is given: 100 face.")
    fields.done()
    sale = _sale(kit, form, spot)
    if spot is None or other is None or named is None:
        raise NotFoundError(f"No price of {metal_name(metal)} is known for today.", instead=("give its spot",))
    taken = Taken(content=content_of(named.kind), ask=quotes["ask"], bid=quotes["bid"])
    given = _given(kit, sale, rates, quotes["again"])
    change = change_of(given, taken, (spot, other), rates.long)
    past = None
    if metal == GOLD and change.pays_at is not None:
        past = ratio_past(monthly(GOLD).points, monthly(SILVER).points, change.pays_at)
    return Swapping(
        sale=sale,
        goods=tuple((kit.catalog().kind(row.heap.kind).name, row.amount) for row in sale.rows),
        given=given.content,
        taken=named.kind,
        change=change,
        rates=rates,
        past=past,
        spots=(spot, other),
        quotes={name: fields.raw(name) or "spot" for name in quotes},
        guessed=tuple(name for name in quotes if not fields.raw(name)),
    )


def _sale(kit: Kit, form: Mapping[str, str], spot: Decimal | None) -> SalePlan:
    """The sale of what is given; its faults stand at the same fields here.

    Raises:
        Faults: those of a sale, or goods of several forms.
    """
    asked = {name: form.get(name, "") for name in _OF_SALE}
    asked |= {name: text for name, text in form.items() if name.partition("-")[0] in {"heap", "amount"} and "-" in name}
    if spot is not None:
        asked["spot"] = f"{spot:f}"
    sale = read_sale(kit, asked)
    if len({content_of(kit.catalog().kind(row.heap.kind)).names[-3:] for row in sale.rows}) > 1:
        wrong = "Give goods of one form at a time, so that they can be had again alike."
        raise Faults([Fault(where="kind", wrong=wrong)], source="the swap")
    return sale


def _given(kit: Kit, sale: SalePlan, rates: Rates, again: Quote) -> Given:
    goods = [goods_of(kit.catalog().kind(row.heap.kind), row.amount) for row in sale.rows]
    gains = {True: ZERO, False: ZERO}
    for row in sale.rows:
        net = row.proceeds - row.fees
        gains[counts_short(row.term, rates)] += net if row.gain is None else row.gain
    return Given(
        content=goods[0].content,
        units=sum((item.units for item in goods), Fraction(0)),
        ozt=sum((item.ozt(Basis.TRADE) for item in goods), Fraction(0)),
        net=sale.proceeds - sale.fees,
        tax=added_tax(gains[True], gains[False], rates),
        again=again,
    )


def ratio_points() -> tuple[tuple[date, Decimal], ...]:
    """Gold over silver by months' averages, for a picture: the month's first day and the ratio to four places."""
    silver = {point.first: point.per_ozt for point in monthly(SILVER).points}
    return tuple(
        (point.first, to_places(Fraction(point.per_ozt) / Fraction(silver[point.first]), 4))
        for point in monthly(GOLD).points
        if point.first in silver
    )
