"""The problem of a basket in whole numbers: every offer's bill, the wishes, and a judge who holds both to the cent."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from ninefine.market.exits import Exit
from ninefine.market.goods import Goods, Limit, measured
from ninefine.market.offers import Charged
from ninefine.plan.buying import Basket, Known, Pick, Source, broken_wishes, judged, travel_cost, trips
from ninefine.plan.buying_back import Back
from ninefine.plan.buying_bill import Bill, Mode, Sum, bends, bill, grain, money_lines, roughly
from ninefine.plan.buying_cents import Exactly, TooFineError, highest, lowest, terms_of, whole_cents
from ninefine.plan.buying_draft import Draft
from ninefine.plan.model import Aim, Model, Values
from ninefine.plan.wishes import Goal, Wishes


@dataclass(kw_only=True)
class Stretch:
    """One mode of an offer among the unknowns.

    Attributes:
        taken: whether it is chosen.
        steps: steps of each line, all nothing where it is not chosen.
        cost: cents paid to the offer, said as roughly or as exactly as has been needed so far.
        exact: whether rounding is said exactly; `never`: it cannot be.
    """

    mode: Mode
    taken: int
    steps: tuple[int, ...]
    cost: Sum
    exact: bool
    never: bool = False


class BasketModel:
    """A model of what may be bought, its aims, and what its values mean.

    Args:
        found: every stretch of every offer that is looked at.
        spot: dollars per fine troy ounce.
        wishes: what the basket is to be.
        way_out: what it would be sold back to, for the least loss.
        known: invoices that were worked out before.
    """

    def __init__(
        self,
        found: Sequence[Draft],
        spot: Decimal,
        wishes: Wishes,
        *,
        way_out: Exit | None = None,
        known: Known | None = None,
    ) -> None:
        self.model = Model()
        self.sources = tuple({draft.source.name: draft.source for draft in found}.values())
        self.spot = spot
        self.wishes = wishes
        self.way_out = way_out
        self.known = known or Known(spot)
        self.aside: list[Basket] = []
        self.stretches = [self._stretch(draft) for draft in found]
        self._travel = self._add_travel()
        seeks_loss = wishes.goal is Goal.LEAST_LOSS and way_out is not None
        self._back = Back(self.model, way_out, spot) if seeks_loss and way_out is not None else None
        if self._back is not None:
            for stretch in self.stretches:
                self._back.add(stretch.mode.source.items, stretch.taken, stretch.steps)
            self._back.close()
        self._bind()

    # making the model

    def _stretch(self, draft: Draft) -> Stretch:
        """A mode among the unknowns."""
        mode, source = draft.mode, draft.source
        taken = self.model.choice(source.name)
        steps = tuple(
            self.model.unknown(cap, name=f"{source.name}, {item.goods.content.name}")
            for item, cap in zip(source.items, draft.caps, strict=True)
        )
        for at, cap, least in zip(steps, draft.caps, draft.least, strict=True):
            self.model.row({at: 1, taken: -cap}, most=0, because=f"{source.name} has no more")
            if least:
                self.model.row({at: 1, taken: -least}, least=0, because=f"{source.name} is of use from here on")
        self.model.row({**dict.fromkeys(steps, 1), taken: -1}, least=0, because="an offer taken is not empty")
        self._reach(mode, taken, steps)
        found = bill(mode, [Sum(terms={at: Fraction(1)}) for at in steps], roughly)
        self._lines(mode, taken, steps, found)
        cost = whole_cents(self.model, found.total, taken)
        stretch = Stretch(mode=mode, taken=taken, steps=steps, cost=cost, exact=found.total.whole, never=bends(source))
        self._limit_each(stretch)
        return stretch

    def _reach(self, mode: Mode, taken: int, steps: Sequence[int]) -> None:
        """The basket lies on the mode's stretch of every tier."""
        for counted, (start, end) in mode.stretch.items():
            terms = {
                at: item.step
                for at, item in zip(steps, mode.source.items, strict=True)
                if item.goods.content.counted_by is counted
            }
            if start:
                self.model.row({**terms, taken: -start}, least=0, because="a tier")
            if end is not None:
                step = grain(mode.source, counted)
                last = (ceil(end / step) - 1) * step
                self.model.row({**terms, taken: -last}, most=0, because="a tier")

    def _lines(self, mode: Mode, taken: int, steps: Sequence[int], found: Bill) -> None:
        """Which side of the tax line and of free carriage the sale lies on; the seller's least and most.

        A sum said roughly is let over a line wherever the truth might be.
        """
        offer = mode.source.offer
        for line in money_lines(mode):
            held = found.net if line.counts is Charged.GOODS else found.looked_at
            self._side(held, taken, Fraction(line.at) * 100, over=line.over)
        if offer.discount:
            self._side(found.net, taken, Fraction(0), over=True)
        for limit, over in ((offer.minimum, True), (offer.stock, False)):
            if limit is not None:
                self._limit(mode, taken, steps, found.net, limit, over=over)

    def _side(self, amount: Sum, taken: int, line: Fraction, *, over: bool) -> None:
        """A sum of whole cents reaches a line, or stays a cent under it."""
        if over:
            terms = terms_of(highest(amount), taken)
            terms[taken] = terms.get(taken, Fraction(0)) - ceil(line)
            self.model.row(terms, least=0, because="a line of money")
        else:
            terms = terms_of(lowest(amount), taken)
            terms[taken] = terms.get(taken, Fraction(0)) - (ceil(line) - 1)
            self.model.row(terms, most=0, because="a line of money")

    def _limit(self, mode: Mode, taken: int, steps: Sequence[int], net: Sum, limit: Limit, *, over: bool) -> None:
        amount = Fraction(limit.amount)
        if limit.unit == "money":
            self._side(net, taken, amount * 100 if over else amount * 100 + 1, over=over)
            return
        terms: dict[int, Fraction] = {
            at: measured([item.goods], Decimal(0), limit.unit) / item.goods.units * item.step
            for at, item in zip(steps, mode.source.items, strict=True)
        }
        terms[taken] = -amount
        if over:
            self.model.row(terms, least=0, because="the seller's least")
        else:
            self.model.row(terms, most=0, because="what the seller has")

    def _limit_each(self, stretch: Stretch) -> None:
        """No more to one offer than may go to one; and no more than the whole budget, which keeps the search short."""
        limits = [limit for limit in (self.wishes.each, self.wishes.budget) if limit is not None]
        if limits:
            terms = terms_of(lowest(stretch.cost), stretch.taken)
            terms[stretch.taken] = terms.get(stretch.taken, Fraction(0)) - Fraction(min(limits)) * 100
            self.model.row(terms, most=0, because="the most to one offer")

    def _add_travel(self) -> dict[int, int]:
        """Cents for the miles: an unknown for each trip, no less than any offer's that it serves."""
        found: dict[int, int] = {}
        at = trips(self.sources, self.wishes)
        for stretch in self.stretches:
            source = stretch.mode.source
            if source.name in at:
                trip = at[source.name]
                members = [one for one in self.sources if at.get(one.name) == trip]
                if trip not in found:
                    most = max(travel_cost(one.offer) for one in members)
                    found[trip] = self.model.unknown(int(most * 100), name="a trip")
                cents = int(travel_cost(source.offer) * 100)
                self.model.row({found[trip]: 1, stretch.taken: -cents}, least=0, because="a trip")
        return found

    def _bind(self) -> None:
        """Rows over all offers: one mode each, the wishes, and something bought."""
        wishes, model = self.wishes, self.model
        taken = {source.name: self._taken(source) for source in self.sources}
        for name, choices in taken.items():
            if name in wishes.must:
                model.row(dict.fromkeys(choices, 1), least=1, most=1, because=f"{name} must be in")
            else:
                model.row(dict.fromkeys(choices, 1), most=1, because="one way to take an offer")
        for name in wishes.must - taken.keys():
            model.row({}, least=1, because=f"{name} must be in")
        model.row({at: 1 for choices in taken.values() for at in choices}, least=1, because="something is bought")
        if wishes.budget is not None:
            model.row(self._spend(), most=Fraction(wishes.budget) * 100, because="the budget")
        if wishes.weight is not None:
            model.row(self._ounces(), least=Fraction(wishes.weight), because="the weight wanted")
        for share, least in ((wishes.share_least, True), (wishes.share_most, False)):
            if share is not None:
                terms = self._share(Fraction(share) / 100)
                model.row(terms, least=0 if least else None, most=None if least else 0, because="the share")
        if wishes.sellers is not None:
            self._limit_sellers(wishes.sellers, taken)

    def _limit_sellers(self, most: int, taken: dict[str, list[int]]) -> None:
        chosen: dict[str, int] = {}
        for source in self.sources:
            if source.seller not in chosen:
                chosen[source.seller] = self.model.choice(source.seller)
            terms: dict[int, int] = {**dict.fromkeys(taken[source.name], 1), chosen[source.seller]: -1}
            self.model.row(terms, most=0, because="a seller")
        self.model.row(dict.fromkeys(chosen.values(), 1), most=most, because="the most sellers")

    def _taken(self, source: Source) -> list[int]:
        return [stretch.taken for stretch in self.stretches if stretch.mode.source is source]

    def rule_out(self, names: frozenset[str]) -> None:
        """No basket takes exactly these offers."""
        terms = {at: -1 if source.name in names else 1 for source in self.sources for at in self._taken(source)}
        here = sum(1 for source in self.sources if source.name in names)
        if here == len(names):
            self.model.row(terms, least=1 - here, because="another set of offers")

    @property
    def unit(self) -> int:
        """What one of the goal's own units (an ounce, a dollar) is in the first aim's."""
        return 1 if self.wishes.goal is Goal.MOST_SILVER else 100

    def hold(self, aim: Aim, value: Fraction) -> None:
        """From here on no basket is worse by an aim than this."""
        because = "as good as the best found"
        if aim.up:
            self.model.row(aim.terms, least=value, because=because)
        else:
            self.model.row(aim.terms, most=value, because=because)

    def no_dearer(self, basket: Basket) -> None:
        """No basket spends more than this one: for the search among its equals."""
        self.model.row(self._spend(), most=Fraction(basket.spend) * 100, because="no more than a basket in hand")

    # what is sought

    def _ounces(self) -> dict[int, Fraction]:
        return {
            at: item.ozt
            for stretch in self.stretches
            for at, item in zip(stretch.steps, stretch.mode.source.items, strict=True)
        }

    def _share(self, share: Fraction) -> dict[int, Fraction]:
        return {
            at: item.ozt * (int(item.constitutional) - share)
            for stretch in self.stretches
            for at, item in zip(stretch.steps, stretch.mode.source.items, strict=True)
        }

    def _spend(self) -> dict[int, Fraction]:
        terms: dict[int, Fraction] = {trip: Fraction(1) for trip in self._travel.values()}
        for stretch in self.stretches:
            for at, factor in terms_of(lowest(stretch.cost), stretch.taken).items():
                terms[at] = terms.get(at, Fraction(0)) + factor
        return terms

    def share_aim(self, share: Fraction, *, up: bool) -> Aim:
        """Constitutional ounces over a share of all ounces: above nothing where a basket holds more than that share."""
        return Aim(terms=self._share(share), up=up)

    def aims(self) -> tuple[Aim, Aim]:
        """What is sought first, and among equals."""
        ounces = Aim(terms=self._ounces())
        spend = Aim(terms=self._spend(), up=False)
        if self.wishes.goal is Goal.MOST_SILVER:
            return ounces, spend
        if self.wishes.goal is Goal.LEAST_SPEND or self._back is None:
            return spend, ounces
        loss = self._spend()
        for at, factor in self._back.terms().items():
            loss[at] = loss.get(at, Fraction(0)) - factor
        return Aim(terms=loss, up=False), spend

    # what values mean

    def picks(self, values: Values) -> tuple[Pick, ...]:
        """What is taken of each offer."""
        return tuple(
            Pick(
                source=stretch.mode.source,
                steps=tuple(values[at] for at in stretch.steps),
                way=stretch.mode.way.name,
            )
            for stretch in self.stretches
            if values[stretch.taken]
        )

    def basket(self, picks: Sequence[Pick]) -> Basket:
        """Picks, worked out by the market."""
        return judged(picks, self.spot, self.wishes, self.way_out, known=self.known)

    def judge(self, values: Values, _settling: bool) -> bool:  # noqa: FBT001 - the solver's own order of arguments
        """Whether a basket stands, while the goal is sought."""
        return self._stands(values, settling=False)

    def settle(self, values: Values, _settling: bool) -> bool:  # noqa: FBT001 - the solver's own order of arguments
        """Whether a basket stands, while the least spend among equals is sought."""
        return self._stands(values, settling=True)

    def _stands(self, values: Values, *, settling: bool) -> bool:
        """Whether a basket stands: by the market it keeps every wish and, where money is sought, costs what is claimed.

        If not, the bills in it are said exactly from here on; where they are already, the basket is ruled out, and kept
        aside if it fits, to be held against what is found in the end.
        """
        basket = self.basket(self.picks(values))
        fits = not broken_wishes(basket, self.wishes)
        money = settling or self.wishes.goal is not Goal.MOST_SILVER
        if fits and not (money and self._claims(values) != self._true(basket)):
            return True
        rough = [one for one in self.stretches if values[one.taken] and not one.exact and not one.never]
        said = [self._say_exactly(stretch) for stretch in rough]
        if not any(said) and not (self._back is not None and self._back.say_exactly(values)):
            if fits:
                self._put_aside(basket, settling=settling)
            bought = [at for stretch in self.stretches if values[stretch.taken] for at in stretch.steps]
            self.model.forbid(values, [*(stretch.taken for stretch in self.stretches), *bought])
        return False

    def _put_aside(self, basket: Basket, *, settling: bool) -> None:
        """Keep a basket whose cost no sum says exactly; from here on only baskets as good are looked for."""
        self.aside.append(basket)
        if not settling:
            self.hold(self.aims()[0], self._true(basket))
        elif self.wishes.goal is Goal.MOST_SILVER:
            self.no_dearer(basket)

    def _claims(self, values: Values) -> Fraction:
        """What the model says that money comes to: spent, less what comes back where that is sought."""
        spent = sum((factor * values[at] for at, factor in self._spend().items()), Fraction(0))
        if self._back is None:
            return spent
        return spent - sum((factor * values[at] for at, factor in self._back.terms().items()), Fraction(0))

    def _true(self, basket: Basket) -> Fraction:
        back = basket.back.net if self._back is not None and basket.back is not None else Decimal(0)
        return (Fraction(basket.spend) - Fraction(back)) * 100

    def _say_exactly(self, stretch: Stretch) -> bool:
        """Say every rounding of a bill by an unknown of its own, and hold its lines and its cost to that.

        Says whether that could be done.
        """
        steps = [Sum(terms={at: Fraction(1)}) for at in stretch.steps]
        try:
            found = bill(stretch.mode, steps, Exactly(self.model, stretch.taken))
        except TooFineError:
            stretch.never = True
            return False
        self._lines(stretch.mode, stretch.taken, stretch.steps, found)
        terms = terms_of(stretch.cost, stretch.taken)
        for at, factor in terms_of(found.total, stretch.taken).items():
            terms[at] = terms.get(at, Fraction(0)) - factor
        self.model.row(terms, least=0, because="a bill to the cent")
        stretch.exact = True
        return True


def has_bid(way_out: Exit, goods: Goods) -> bool:
    """Whether a way out buys some goods at all."""
    return way_out.bid_for(goods.content) is not None
