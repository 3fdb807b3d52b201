"""How am I doing: cost an ounce, gain by way out, yearly return, constant dollars, the same money otherwise.

Nothing here is a tax figure: an average cost an ounce is no basis, and a return is no gain that a form asks for.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap, Lot
from ninefine.book.standing import standing
from ninefine.catalog.kinds import Basis
from ninefine.desk.book_settings import settings
from ninefine.desk.fields import Fields
from ninefine.desk.holdings import Summary, summary
from ninefine.desk.kit import Kit
from ninefine.desk.sheets import guide
from ninefine.desk.tables import exits
from ninefine.errors import NotFoundError
from ninefine.market.prices import Stamp
from ninefine.market.read_quote import read_quote
from ninefine.market.series import PriceIndex, consumer_prices
from ninefine.measure.days import read_day
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, to_places
from ninefine.worth.beside import Constant, Rounds, deflated, in_constant, rounds_instead
from ninefine.worth.evens import ExitGain, exit_gains
from ninefine.worth.flows import Flows, MoneyFlow, flows_of
from ninefine.worth.history import Point, history, month_ends
from ninefine.worth.ounces import ounces_of
from ninefine.worth.rate import YEAR, Rate, money_weighted
from ninefine.worth.stack import Share
from ninefine.worth.swing import Swing, swing
from ninefine.worth.ways_out import stack_ways_out

ZERO = Decimal(0)
#: What silver is valued by where no way out is named.
MELT = "melt"
#: From so many years a span is told in years.
_LONG = 2
#: Fields of what is asked.
ASKED = ("on", "spot", "by", "ask", "bid")
#: What is said wherever a cost an ounce is shown.
NO_BASIS = "A cost an ounce is no tax basis: that goes lot by lot, or by the method of your place."


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance:
    """How the silver has done up to a day.

    Attributes:
        now: what is held on that day, with its prices.
        worth: what it is worth: melt by trade, what is on its way included; or what a way out would pay. None where
            nothing is priced.
        valued_by: `melt`, or the way out's name.
        forms: silver by form, with its cost an ounce over the ounces whose cost is known.
        exits: what each way out would gain, and the spot at which it would pay back the cost.
        flows: money in and out, without what is held now.
        rate: the yearly money-weighted return; none where there is none.
        real_rate: the same in constant dollars; none where the index does not apply.
        constant: money put in less money taken out, in dollars of the day's year (the index's last, where it does not
            reach so far); none as before.
        rounds: the same money in one-ounce rounds on the same days; none where no ask was typed.
        move: what a tenth more of spot moves; none without a price of silver.
    """

    now: Summary
    worth: Decimal | None
    valued_by: str
    forms: tuple[Share, ...]
    exits: tuple[ExitGain, ...]
    flows: Flows
    rate: Rate | None
    real_rate: Rate | None
    constant: Constant | None
    rounds: Rounds | None
    move: Swing | None

    @property
    def valued(self) -> str:
        """What the worth is of, in words."""
        if not self.now.awaited.lines:
            return "what is held"
        return "what is held or on its way" if self.valued_by == MELT else "what is held, without what is on its way,"

    @property
    def net_put_in(self) -> Decimal:
        """Money put in less money taken out: what would be there had it all stayed cash."""
        return self.flows.put_in - self.flows.taken_out

    @property
    def gain(self) -> Decimal | None:
        """Worth less what was put in on balance: against all in cash. None where nothing is priced."""
        return None if self.worth is None else self.worth - self.net_put_in

    @property
    def real_gain(self) -> Decimal | None:
        """Worth less what was put in on balance, in constant dollars; none where the index does not apply."""
        return None if self.worth is None or self.constant is None else self.worth - self.constant.amount

    @property
    def over_rounds(self) -> Decimal | None:
        """Worth less what the same money would be worth in one-ounce rounds; none where either is not known."""
        return None if self.worth is None or self.rounds is None else self.worth - self.rounds.worth

    @property
    def cost_per_ozt(self) -> Decimal | None:
        """Cost of an ounce of silver over those whose cost is known; no tax basis."""
        costed = self.now.here.ozt() - self.now.here.uncosted_ozt()
        cost = sum((share.basis for share in self.forms), ZERO)
        return EXACT.divide(cost, costed) if costed else None


def performance(kit: Kit, form: Mapping[str, str] | None = None) -> Performance:
    """Reckon how the silver has done.

    Fields: `on` (a past day), `spot` (a price of silver to use instead of the one on record), `by` (a way out that
    values what is held; melt if empty), `ask` and `bid` (rules for one-ounce rounds, as `spot+3`; the book's own
    settings if empty, and spot for a bid that nobody set).

    Raises:
        Faults: every fault of the form.
        NotFoundError: no such way out.
    """
    asked = {name: (form or {}).get(name, "").strip() for name in ASKED}
    return kit.keep(("performance", *asked.values()), lambda: _performance(kit, asked))


def _performance(kit: Kit, form: Mapping[str, str]) -> Performance:
    fields = Fields(form, source="the reckoning")
    asked = fields.read("on", read_day, None)
    if asked is not None and asked > kit.today():
        fields.fault("on", "This day has not come yet.")
    spot = fields.positive("spot")
    settled = settings(kit)
    ask = fields.read("ask", read_quote, None)
    bid = fields.read("bid", read_quote, None)
    fields.done()
    if ask is None and settled.ask:
        ask = read_quote(settled.ask)
    if bid is None:
        bid = read_quote(settled.bid or "spot")
    on = None if asked is None or asked >= kit.today() else asked
    now = summary(kit, on=on, basis=Basis.TRADE, spot=spot)
    day, currency = on or kit.today(), kit.journal.currency
    flows = _flows(kit, on)
    worth = _worth(kit, now, on, fields.raw("by"))
    ends = () if worth is None else ((day, worth),)
    index = consumer_prices() if currency == "USD" else None

    def spot_on(asked_day: date) -> Decimal | None:
        return spot if spot is not None and asked_day == day else kit.spot_or_none(asked_day)

    rounds = None
    if ask is not None and spot_on(day) is not None:
        rounds = rounds_instead(flows.flows, ask=ask, bid=bid, spot_on=spot_on, today=day, currency=currency)
    put_in = tuple((flow.on, -flow.amount) for flow in flows.flows)
    return Performance(
        now=now,
        worth=worth,
        valued_by=fields.raw("by") or MELT,
        forms=now.here.by_form(),
        exits=exit_gains(now.here, exits(kit, on), now.spots),
        flows=flows,
        rate=money_weighted((*flows.pairs, *ends)),
        real_rate=None if index is None else money_weighted(deflated((*flows.pairs, *ends), index, max(index.means))),
        constant=None if index is None else _constant(put_in, index, day, currency),
        rounds=rounds,
        move=_move(kit, on, now),
    )


def _constant(put_in: tuple[tuple[date, Decimal], ...], index: PriceIndex, day: date, currency: str) -> Constant:
    """Dated sums in dollars of the day's own year, as its worth is; of the nearest year that the index holds."""
    year = min(max(day.year, min(index.means)), max(index.means))
    return in_constant(put_in, index, year=year, currency=currency)


def _flows(kit: Kit, on: date | None) -> Flows:
    def find() -> Flows:
        held = kit.holdings(on)
        facts = [fact for fact in standing(kit.journal.records()) if on is None or fact[0] <= on]
        return flows_of(facts, held.disposals, lambda *what: _melt_on(kit, *what), currency=kit.journal.currency)

    return kit.keep(("flows", on), find)


def _melt_on(kit: Kit, on: date, slug: str, amount: Amount) -> Decimal | None:
    """The melt of some of a kind by trade on a day; none where there is no price, or the kind is not known."""
    kind = kit.kind_or_none(slug)
    if kind is None:
        return None
    price = kit.spot_or_none(on, kind.metal)
    if price is None:
        return None
    return cents(EXACT.multiply(ounces_of(amount, kind).trade, price), kit.journal.currency)


def _worth(kit: Kit, now: Summary, on: date | None, by: str) -> Decimal | None:
    """What is held, by melt with what is on its way, or by what a way out would pay for what is here."""
    if by:
        found = [way for way in exits(kit, on) if way.name == by]
        if not found:
            raise NotFoundError(f"There is no way out {by[:40]!r}.", instead=[way.name for way in exits(kit, on)])
        return stack_ways_out(now.here, found, now.spots)[0].net
    here, coming = now.here.melt(), now.awaited.melt()
    if here is None and coming is None:
        return None
    return (here or ZERO) + (coming or ZERO)


def _move(kit: Kit, on: date | None, now: Summary) -> Swing | None:
    stamp = now.stamps.get("XAG")
    if stamp is None:
        return None
    heaps = [heap for lot in kit.holdings(on).lots.values() if not lot.awaited for heap in lot.heaps]
    return swing(
        heaps, kit.catalog().kind, lambda heap: _collected(kit, heap), spot=stamp.per_ozt, currency=kit.journal.currency
    )


def _collected(kit: Kit, heap: Heap) -> Decimal | None:
    """The lowest price that the person's sheets list for an issue, for all pieces of it; none where they list none."""
    if not heap.issue or heap.count is None:
        return None
    curves = guide(kit).curves.get((heap.kind, heap.issue, False))
    return None if not curves else curves[0].rows[0].low * heap.count


def worth_by_month(kit: Kit, *, first: date | None = None, last: date | None = None) -> tuple[Point, ...]:
    """The stack at the end of each month, from the first that came to a day (today), each with its own day's price."""
    lots = kit.holdings().lots.values()
    begin = first or min((lot.came for lot in lots), default=None)
    end = min(last or kit.today(), kit.today())
    if begin is None or begin > end:
        return ()
    stops = month_ends(begin, end)

    def stamp_on(day: date, metal: str) -> Stamp | None:
        try:
            return kit.stamp(day, metal)
        except NotFoundError:
            return None

    return kit.keep(
        ("worth by month", begin, end),
        lambda: tuple(
            history(
                kit.journal.records(),
                stops,
                kind_of=kit.catalog().kind,
                stamp_on=stamp_on,
                currency=kit.journal.currency,
            )
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LotInConstant:
    """What a lot cost, and that in constant dollars of a year."""

    lot: str
    on: date
    cost: Decimal
    constant: Constant


def lots_in_constant(kit: Kit, *, year: int | None = None) -> tuple[LotInConstant, ...]:
    """What each lot that is still held in part cost, in constant dollars.

    Lots whose cost or date nobody knows are left out, and so is everything in a book that is not in dollars.

    Raises:
        NotFoundError: the year is outside the index.
    """
    if kit.journal.currency != "USD":
        return ()
    found = (lot_in_constant(kit, lot, year=year) for lot in kit.holdings().lots.values() if lot.heaps)
    return tuple(one for one in found if one is not None)


def lot_in_constant(kit: Kit, lot: Lot, *, year: int | None = None) -> LotInConstant | None:
    """What a lot cost, in constant dollars of a year, the index's last where none is said; none as above.

    Raises:
        NotFoundError: the year is outside the index.
    """
    if kit.journal.currency != "USD" or not lot.cost_known or lot.acquired is None:
        return None
    constant = in_constant([(lot.acquired, lot.cost)], consumer_prices(), year=year)
    return LotInConstant(lot=lot.name, on=lot.acquired, cost=lot.cost, constant=constant)


def rate_words(rate: Rate | None) -> str:
    """A yearly return in words: `8.12% a year`; what to know where there is none, or several."""
    if rate is None:
        return "no yearly return can be told"
    years = to_places(Fraction(rate.days, YEAR), 1)
    span = f"{years} years" if years >= _LONG else f"{rate.days} days"
    words = f"{to_places(rate.yearly * 100, 2)}% a year over {span}"
    if rate.others:
        others = ", ".join(f"{to_places(other * 100, 2)}%" for other in rate.others)
        words += f" (money went in and out so often that {others} fits as well)"
    return words


def flow_words(flow: MoneyFlow) -> str:
    """What a flow is of, in words."""
    return f"{flow.what.value}, at the melt of the day" if flow.estimated else flow.what.value
