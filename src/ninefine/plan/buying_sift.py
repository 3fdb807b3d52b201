"""What can be left out before a search begins, because no basket with it can be as good as one that is known.

Each offer is priced with one figure in the place of the limit: what a dollar is worth in ounces (or an ounce in
dollars). Then offers no longer compete, and what each could add at best is a short sum. All those sums together bound
every basket; so if a stretch of an offer, taken, brings the bound under a basket in hand, the best basket has no use
for it, and likewise for more steps of a poor line or fewer of a good one. Figures here are floating point, with a
margin far wider than its error; they only decide what is looked at. Needs numpy, so it is imported when a plan is made.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from copy import copy
from dataclasses import replace
from fractions import Fraction
from math import floor

import numpy as np
import numpy.typing as npt

from ninefine.market.exits import Exit
from ninefine.market.offers import Way
from ninefine.market.paid import bid_on
from ninefine.market.quote import per_unit
from ninefine.plan.buying import Item, travel_cost, trips
from ninefine.plan.buying_better import ROUNDING, ROUNDING_A_LINE, compete, likeness
from ninefine.plan.buying_bill import exempt_lines, grain, slopes
from ninefine.plan.buying_draft import Draft
from ninefine.plan.buying_floors import bars, money_span
from ninefine.plan.wishes import Goal, Wishes

Floats = npt.NDArray[np.float64]
#: Rounds of closing in on the best price of the limit; and within how much of another price, and in how many rounds,
#: it is looked for there first; how near to an end of that it is not to be trusted.
_ROUNDS, _AROUND, _ROUNDS_NEAR, _EDGE = 40, 0.05, 22, 1e-3
#: By which part of itself the price of the limit is moved to see what hangs on it.
_NUDGE = 1e-6
#: With more drafts than this, the best price of the limit is sought by bounds that are sooner told.
_FEW = 200
#: Wider than floating point's error on any sum here, in parts of the bound.
_MARGIN = 1e-9


class Sieve:
    """The bound over all drafts, and what each draft could add to it.

    Args:
        drafts: every mode of every offer.
        wishes: what is sought.
        way_out: what would be sold back to, where the least loss is sought.
        sets_matter: whether it matters for itself which offers a basket takes.

    Attributes:
        alike, doubts: when ways to take each draft compete; dollars by which its bill may be less than a straight line.
        compete: whether ways to take an offer compete by cost and ounces alone.
        sets_matter: as above, or by the wishes.
        names, must: the offers, and which must be in. offer_of: the offer of each draft.
        gains, uses, gain, use: for a step of each line of each draft, and for the draft itself, what it adds to the
            goal (ounces, or dollars not spent) and uses of the limit (dollars, or ounces below zero).
        limit, price: the limit, and what one of it is worth to the goal.
        always: what every basket takes away, whatever is in it.
        worth, values: what a step is worth at that price; what a draft could add at best.
        leaning, lean: the same as `worth`, with what a step does for the floor that presses most; and what that floor
            takes off, so that no way to take a draft adds more than `lean` and the `leaning` of its steps.
        adds: what each offer could add at best. spare: what all together add beyond as many sellers as are wished for.
        bound: no basket adds more.
        cost, fixed: dollars on the bill for a step of each line and beside, without travel.
        each: the most to one offer.
        seller_of, most_sellers: the seller of each draft; no more of them than that.
    """

    def __init__(
        self, drafts: Sequence[Draft], wishes: Wishes, way_out: Exit | None, *, sets_matter: bool = False
    ) -> None:
        self.drafts = tuple(drafts)
        self.alike = [likeness(draft, wishes) for draft in drafts]
        self.doubts = np.array([_doubt(draft, wishes.goal) for draft in drafts])
        self.compete = compete(wishes)
        self.sets_matter = sets_matter or wishes.sellers is not None or _shared(drafts, wishes)
        self._goal = wishes.goal
        self.spends = wishes.goal is Goal.MOST_SILVER
        self.limit = float(wishes.budget or 0) if self.spends else -float(wishes.weight or 0)
        self.always = -_always(way_out) if wishes.goal is Goal.LEAST_LOSS and way_out is not None else 0.0
        self.names = list(dict.fromkeys(draft.source.name for draft in drafts))
        number = {name: at for at, name in enumerate(self.names)}
        self.offer_of = np.array([number[draft.source.name] for draft in drafts])
        self.must = np.array([name in wishes.must for name in self.names])
        sellers = list(dict.fromkeys(draft.source.seller for draft in drafts))
        self.seller_of = np.array([sellers.index(draft.source.seller) for draft in drafts])
        self.most_sellers, self.each = wishes.sellers, wishes.each
        self._fill(wishes, way_out)
        self._settle()

    def _settle(self, near: float = 0.0) -> None:
        """Find the price of the limit, and what follows from it."""
        self._bars = bars(self.drafts, self.caps, self.cost, self.fixed, self.each)
        self.price = self._best_price(near)
        self.worth = self.gains - self.price * self.uses
        self.values = self._values_at(self.price)
        self.leaning, self.lean = self._bars.leaning(self.worth, self.gain - self.price * self.use)
        self.adds = self._adds(self.values)
        together = self._together(self.adds)
        self.spare = float(self.adds.sum()) - together if np.isfinite(together) else 0.0
        self.bound = self.price * self.limit + together + self.always

    def part(self, kept: Sequence[int], must: str = "") -> "Sieve":
        """The same question over some of the drafts, perhaps with an offer that must be in; at a price of its own."""
        part = copy(self)
        rows = np.array(kept, dtype=np.intp)
        if not kept:
            part.bound = -np.inf
            return part
        part.drafts = tuple(self.drafts[at] for at in kept)
        part.alike, part.doubts = [self.alike[at] for at in kept], self.doubts[rows]
        part.names = list(dict.fromkeys(draft.source.name for draft in part.drafts))
        number = {name: at for at, name in enumerate(part.names)}
        part.offer_of = np.array([number[draft.source.name] for draft in part.drafts], dtype=np.intp)
        known = {name for name, held in zip(self.names, self.must, strict=True) if held}
        part.must = np.array([name in known or name == must for name in part.names], dtype=np.bool_)
        part.gains, part.uses, part.caps = self.gains[rows], self.uses[rows], self.caps[rows]
        part.gain, part.use = self.gain[rows], self.use[rows]
        part.cost, part.fixed, part.seller_of = self.cost[rows], self.fixed[rows], self.seller_of[rows]
        held = set(part.seller_of[part.must[part.offer_of]].tolist())
        if self.most_sellers is not None and len(held) >= self.most_sellers:
            others = [at for at, seller in zip(kept, part.seller_of, strict=True) if seller not in held]
            if len(held) > self.most_sellers or others:
                chosen = set(kept).difference(others) if len(held) == self.most_sellers else ()
                return self.part(sorted(chosen), must)
        part._settle(self.price)  # noqa: SLF001 - its own kind
        return part

    def _fill(self, wishes: Wishes, way_out: Exit | None) -> None:
        """The drafts as tables: for a step of each line, what it gains and uses; and how many steps there can be."""
        self.width = width = max(len(draft.caps) for draft in self.drafts)
        shape = len(self.drafts), width
        cost, ounces, back, caps = (np.zeros(shape) for _ in range(4))
        fixed = np.zeros(len(self.drafts))
        alone = _alone(self.drafts, wishes)
        known: dict[tuple[str, Way, bool, bool], tuple[float, float, float]] = {}
        for at, draft in enumerate(self.drafts):
            mode, items = draft.mode, draft.source.items
            key = draft.source.name, mode.way, mode.free, mode.taxed
            if key not in known:
                known[key] = slopes(mode)
            taxed, exempt, base = known[key]
            rates = np.array([exempt if fine else taxed for fine in exempt_lines(draft.source)])
            count = len(items)
            cost[at, :count] = np.array([float(price) for price in mode.prices]) * rates / 100
            ounces[at, :count] = [float(item.ozt) for item in items]
            caps[at, :count] = draft.caps
            fixed[at] = base / 100 - self.doubts[at] - 1e-9
            if self._goal is Goal.LEAST_LOSS and way_out is not None:
                back[at, :count] = [_back(item, way_out, draft) for item in items]
        self.caps, self.cost, self.fixed = caps, cost, fixed
        whole = fixed + np.array([alone.get(draft.source.name, 0.0) for draft in self.drafts])
        nothing = np.zeros(len(fixed))
        if self._goal is Goal.MOST_SILVER:
            self.gains, self.uses, self.gain, self.use = ounces, cost, nothing, whole
        else:
            self.gains, self.uses, self.gain, self.use = back - cost, -ounces, -whole, nothing

    def bill_of(self, used: Floats, gained: Floats) -> tuple[Floats, Floats]:
        """Dollars and ounces of what uses so much of the limit and adds so much; what comes back counts as cost."""
        return (used, gained) if self.spends else (-gained, -used)

    def _values_at(self, price: float, *, beside: bool = True) -> Floats:
        """What each draft could add at best at a price of the limit."""
        return self._bars.most(self.gains - price * self.uses, self.gain - price * self.use, beside=beside)

    def _adds(self, values: Floats) -> Floats:
        """What each offer could add at best; nothing where it would take away, unless it must be in."""
        found = np.where(self.must, -np.inf, 0.0)
        np.maximum.at(found, self.offer_of, values)
        return found

    def _bound_at(self, price: float) -> float:
        few = len(self.drafts) <= _FEW
        return price * self.limit + self._together(self._adds(self._values_at(price, beside=few)))

    def _together(self, adds: Floats) -> float:
        """What the offers could add at best together, from no more sellers than are wished for."""
        if self.most_sellers is None:
            return float(adds.sum())
        seller = np.zeros(len(adds), dtype=np.intp)
        seller[self.offer_of] = self.seller_of
        by_seller = np.bincount(seller, weights=adds)
        held = np.zeros(len(by_seller), dtype=np.bool_)
        held[seller[self.must]] = True
        others = -np.sort(-by_seller[~held])[: max(0, self.most_sellers - int(held.sum()))]
        return float(by_seller[held].sum() + others.sum())

    def _best_price(self, near: float) -> float:
        """The price of the limit at which the bound is lowest, sought first near the price for a larger question."""
        if near > 0:
            low, high = near * (1 - _AROUND), near * (1 + _AROUND)
            found = self._lowest(low, high, _ROUNDS_NEAR)
            if low + (high - low) * _EDGE < found < high - (high - low) * _EDGE:
                return found
        some = self.uses != 0
        rates = np.abs(self.gains[some] / self.uses[some])
        return self._lowest(0.0, 2 * float(rates.max(initial=1e-9)), _ROUNDS)

    def _lowest(self, low: float, high: float, rounds: int) -> float:
        """The price between two others at which the bound is lowest. The bound is convex: golden section."""
        shrink = (5**0.5 - 1) / 2
        one, other = high - shrink * (high - low), low + shrink * (high - low)
        at_one, at_other = self._bound_at(one), self._bound_at(other)
        for _ in range(rounds):
            if at_one <= at_other:
                high, other, at_other = other, one, at_one
                one = high - shrink * (high - low)
                at_one = self._bound_at(one)
            else:
                low, one, at_one = one, other, at_other
                other = low + shrink * (high - low)
                at_other = self._bound_at(other)
        return one if at_one <= at_other else other

    def within(self, room: float) -> list[int]:
        """Drafts that take away no more than a room from the bound."""
        return [int(at) for at in np.flatnonzero(self.adds[self.offer_of] - self.values <= room + self.spare)]

    def most_of(self, name: str) -> float:
        """What an offer could add at best."""
        return float(self.adds[self.names.index(name)])

    def torn(self, among: Sequence[str]) -> str | None:
        """The offer among some whose best way to be taken changes where the price of the limit moves a little.

        Where there are several, the one that bends the bound most; none where nothing changes but steps of lines. With
        more sellers than are wished for, the offer that adds most.
        """
        if not among:
            return None
        if self.spare > 0:
            return max(among, key=self.most_of)
        sides = [self._best_ways(self.price * (1 + by)) for by in (-_NUDGE, _NUDGE)]
        bend = sides[0][0] + sides[1][0] - 2 * self.adds
        bend[(sides[0][1] == sides[1][1]) | ~np.isin(self.names, among)] = 0
        at = int(np.argmax(bend))
        return self.names[at] if bend[at] > 0 else None

    def _best_ways(self, price: float) -> tuple[Floats, npt.NDArray[np.intp]]:
        """What each offer could add at a price of the limit, and by which draft (-1: left)."""
        values = self._values_at(price)
        adds = self._adds(values)
        best = np.full(len(self.names), -1)
        reached = np.flatnonzero(values >= adds[self.offer_of])
        best[self.offer_of[reached]] = reached
        return adds, best

    def likely(self, count: int) -> list[Draft]:
        """Every draft of the offers that could add the most, so many offers of them, and of those that must be in."""
        best = np.full(len(self.names), -np.inf)
        np.maximum.at(best, self.offer_of, self.values)
        first = {int(at) for at in np.argsort(-best, kind="stable")[:count]} | {
            at for at, must in enumerate(self.must) if must
        }
        return [draft for draft, at in zip(self.drafts, self.offer_of, strict=True) if int(at) in first]

    def left(self, known: Fraction) -> list[Draft]:
        """Drafts that a basket at least as good as one that is known (ounces, or dollars) may use, cut to size."""
        goal = float(known) if self.spends else -float(known)
        margin = _MARGIN * max(abs(self.bound), abs(self.price * self.limit), 1.0)
        room = self.bound - goal + margin + self.spare
        found = []
        for at, draft in enumerate(self.drafts):
            best = float(self.adds[self.offer_of[at]])
            if best - float(self.values[at]) <= room:
                leaning = self.leaning[at]
                most = float(self.lean[at] + (np.maximum(leaning, 0) * self.caps[at]).sum())
                found.append(_cut(draft, leaning, room - (best - most) + margin))
        return found

    @property
    def reach(self) -> float:
        """No basket takes away more than this from the bound."""
        worst = np.minimum(self.worth, 0) * self.caps
        lows = self.gain - self.price * self.use + worst.sum(axis=1)
        return float(self.adds.sum() + np.maximum(-lows, 0).sum() + self.price * abs(self.limit)) * 2 + 1.0 + self.spare

    def spans(self, at: int) -> Iterator[tuple[list[float], float, float]]:
        """What a draft's steps must come to: units on its tiers' stretch, money on its side of each line.

        A line of money is let be crossed by what rounding may come to; the market tells in the end.
        """
        draft = self.drafts[at]
        mode, items = draft.mode, draft.source.items
        for counted, (start, end) in mode.stretch.items():
            units = [float(item.step) if item.goods.content.counted_by is counted else 0.0 for item in items]
            if start or end is not None:
                last = np.inf if end is None else float(end) - float(grain(draft.source, counted))
                yield units, float(start), last
        low, high = money_span(draft)
        if np.isfinite(high) or low > 0:
            slack = ROUNDING + ROUNDING_A_LINE * len(items)
            yield [float(price) / 100 for price in mode.prices], low - slack, high + slack


def _cut(draft: Draft, worth: Floats, room: float) -> Draft:
    """A draft with no more steps of a poor line, and no fewer of a good one, than the room under the bound allows."""
    if draft.source.whole:
        return draft
    caps, least = list(draft.caps), list(draft.least)
    for at, cap in enumerate(draft.caps):
        each = float(worth[at])
        steps = cap if abs(each) * cap <= room else floor(room / abs(each))
        if each < 0:
            caps[at] = min(cap, steps)
        else:
            least[at] = max(0, cap - steps)
    return replace(draft, caps=tuple(caps), least=tuple(least))


def _alone(drafts: Sequence[Draft], wishes: Wishes) -> dict[str, float]:
    """The miles of offers that share their trip with no other, in dollars; a shared trip is left out of the sums."""
    found = {draft.source.name: draft.source for draft in drafts}
    at = trips(found.values(), wishes)
    served = Counter(at.values())
    return {name: float(travel_cost(found[name].offer)) for name, trip in at.items() if served[trip] == 1}


def _shared(drafts: Sequence[Draft], wishes: Wishes) -> bool:
    """Whether offers share a trip, so that one may be the cheaper for the other."""
    at = trips({draft.source.name: draft.source for draft in drafts}.values(), wishes)
    return len(set(at.values())) < len(at)


def _doubt(draft: Draft, goal: Goal) -> float:
    """Dollars by which rounding to the cent may make a bill, less what comes back, less than its straight line."""
    mode, offer = draft.mode, draft.source.offer
    rounded = sum(price.denominator != 1 for price in mode.prices)
    rounded += bool(offer.discount_pct) + bool(offer.carriage is not None and offer.carriage.pct)
    rounded += bool(mode.way.surcharge_pct) + mode.taxed
    back = ROUNDING_A_LINE * len(draft.caps) if goal is Goal.LEAST_LOSS else 0.0
    return 0.006 * rounded * (1 + float(mode.way.surcharge_pct) / 100) + back


def _always(way_out: Exit) -> float:
    """What a way out takes off whatever is sold, in dollars: flat costs, travel, one parcel or as many as are set."""
    taken = float(way_out.costs) + (float(way_out.travel.cost) if way_out.travel is not None else 0.0)
    if way_out.parcels is not None:
        taken += (way_out.parcels.count or 1) * float(way_out.parcels.fee + way_out.parcels.postage)
    return max(0.0, taken - 4 * ROUNDING_A_LINE)


def _back(item: Item, way_out: Exit, draft: Draft) -> float:
    """What a step of a line brings back, in dollars: its bid less what is taken off in per cent."""
    quote = bid_on(way_out, item.goods)
    if quote is None:
        return 0.0
    kept = 1 - Fraction(way_out.fee_pct) / 100
    if way_out.payable_pct is not None:
        kept -= 1 - Fraction(way_out.payable_pct) / 100
    return float(per_unit(quote, item.goods.terms(draft.mode.spot)) * item.step * kept)
