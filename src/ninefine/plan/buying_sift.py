"""What can be left out before a search begins, because no basket with it can be as good as one that is known.

Each offer is priced with one figure in the place of the limit: what a dollar is worth in ounces (or an ounce in
dollars). Then offers no longer compete, and what each could add at best is a short sum. All those sums together bound
every basket; so if a stretch of an offer, taken, brings the bound under a basket in hand, the best basket has no use
for it, and likewise for more steps of a poor line or fewer of a good one. Figures here are floating point, with a
margin far wider than its error; they only decide what is looked at. Needs numpy, so it is imported when a plan is made.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor

import numpy as np
import numpy.typing as npt

from ninefine.market.exits import Exit
from ninefine.market.offers import Charged, Taxed, Way
from ninefine.market.paid import bid_on
from ninefine.market.quote import per_unit
from ninefine.plan.buying import Item, travel_cost, trips
from ninefine.plan.buying_bill import exempt_lines, slopes
from ninefine.plan.buying_draft import Draft
from ninefine.plan.wishes import Goal, Wishes

Floats = npt.NDArray[np.float64]
#: Rounds of closing in on the best price of the limit.
_ROUNDS = 40
#: Wider than floating point's error on any sum here, in parts of the bound.
_MARGIN = 1e-9
#: Dollars that roundings to the cent can come to on one bill, and for each of its lines.
_ROUNDING, _ROUNDING_A_LINE = 0.05, 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class _Floor:
    """What some drafts ask at the least: units for a tier, or money for free carriage or a tax line."""

    rows: npt.NDArray[np.intp]
    weights: Floats
    least: Floats


class Sieve:
    """The bound over all drafts, and what each draft could add to it.

    Args:
        drafts: every mode of every offer.
        wishes: what is sought.
        way_out: what would be sold back to, where the least loss is sought.
    """

    def __init__(self, drafts: Sequence[Draft], wishes: Wishes, way_out: Exit | None) -> None:
        self._drafts = tuple(drafts)
        self._goal = wishes.goal
        self._limit = float(wishes.budget or 0) if wishes.goal is Goal.MOST_SILVER else -float(wishes.weight or 0)
        names = list(dict.fromkeys(draft.source.name for draft in drafts))
        self._names = names
        self._offer = np.array([names.index(draft.source.name) for draft in drafts])
        self._must = np.array([name in wishes.must for name in names])
        self._fill(wishes, way_out)
        self._floors = list(_floors(self._drafts, self._width))
        self._price = self._best_price()
        self._free, self._values = self._values_at(self._price)

    def _fill(self, wishes: Wishes, way_out: Exit | None) -> None:
        """The drafts as tables: for a step of each line, what it gains and uses; and how many steps there can be."""
        self._width = width = max(len(draft.caps) for draft in self._drafts)
        shape = len(self._drafts), width
        cost, ounces, back, caps = (np.zeros(shape) for _ in range(4))
        fixed = np.zeros(len(self._drafts))
        alone = _alone(self._drafts, wishes)
        known: dict[tuple[str, Way, bool, bool], tuple[float, float, float]] = {}
        for at, draft in enumerate(self._drafts):
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
            fixed[at] = base / 100 + alone.get(draft.source.name, 0.0) - _ROUNDING - _ROUNDING_A_LINE * count
            if self._goal is Goal.LEAST_LOSS and way_out is not None:
                back[at, :count] = [_back(item, way_out, draft) for item in items]
                fixed[at] -= _ROUNDING + _ROUNDING_A_LINE * count
        self._caps = caps
        if self._goal is Goal.MOST_SILVER:
            self._gains, self._uses, self._gain, self._use = ounces, cost, np.zeros(len(fixed)), fixed
        else:
            self._gains, self._uses, self._gain, self._use = back - cost, -ounces, -fixed, np.zeros(len(fixed))

    def _values_at(self, price: float) -> tuple[Floats, Floats]:
        """What each draft could add at best at a price of the limit: with no regard to what it asks, and with it."""
        worth = self._gains - price * self._uses
        base = self._gain - price * self._use
        free = base + (np.maximum(worth, 0) * self._caps).sum(axis=1)
        values = free.copy()
        for asked in self._floors:
            filled = _filled(worth[asked.rows], self._caps[asked.rows], asked)
            values[asked.rows] = np.minimum(values[asked.rows], base[asked.rows] + filled)
        return free, values

    def _adds(self, values: Floats) -> Floats:
        """What each offer could add at best; nothing where it would take away, unless it must be in."""
        found = np.where(self._must, -np.inf, 0.0)
        np.maximum.at(found, self._offer, values)
        return found

    def _bound_at(self, price: float) -> float:
        return price * self._limit + float(self._adds(self._values_at(price)[1]).sum())

    def _best_price(self) -> float:
        """The price of the limit at which the bound is lowest. The bound is convex: golden section."""
        some = self._uses != 0
        rates = np.abs(self._gains[some] / self._uses[some])
        low, high = 0.0, 2 * float(rates.max(initial=1e-9))
        shrink = (5**0.5 - 1) / 2
        one, other = high - shrink * (high - low), low + shrink * (high - low)
        at_one, at_other = self._bound_at(one), self._bound_at(other)
        for _ in range(_ROUNDS):
            if at_one <= at_other:
                high, other, at_other = other, one, at_one
                one = high - shrink * (high - low)
                at_one = self._bound_at(one)
            else:
                low, one, at_one = one, other, at_other
                other = low + shrink * (high - low)
                at_other = self._bound_at(other)
        return one if at_one <= at_other else other

    def likely(self, count: int) -> list[Draft]:
        """Every draft of the offers that could add the most, so many offers of them, and of those that must be in."""
        best = np.full(len(self._names), -np.inf)
        np.maximum.at(best, self._offer, self._values)
        first = {int(at) for at in np.argsort(-best, kind="stable")[:count]} | {
            at for at, must in enumerate(self._must) if must
        }
        return [draft for draft, at in zip(self._drafts, self._offer, strict=True) if int(at) in first]

    def left(self, known: Fraction) -> list[Draft]:
        """Drafts that a basket at least as good as one that is known (ounces, or dollars) may use, cut to size."""
        adds = self._adds(self._values)
        bound = self._price * self._limit + float(adds.sum())
        goal = float(known) if self._goal is Goal.MOST_SILVER else -float(known)
        margin = _MARGIN * max(abs(bound), abs(self._price * self._limit), 1.0)
        room = bound - goal + margin
        worth = self._gains - self._price * self._uses
        found = []
        for at, draft in enumerate(self._drafts):
            best = float(adds[self._offer[at]])
            if best - float(self._values[at]) <= room:
                found.append(_cut(draft, worth[at], room - (best - float(self._free[at])) + margin))
        return found


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


def _back(item: Item, way_out: Exit, draft: Draft) -> float:
    """What a step of a line brings back, in dollars: its bid less what is taken off in per cent."""
    quote = bid_on(way_out, item.goods)
    if quote is None:
        return 0.0
    kept = 1 - Fraction(way_out.fee_pct) / 100
    if way_out.payable_pct is not None:
        kept -= 1 - Fraction(way_out.payable_pct) / 100
    return float(per_unit(quote, item.goods.terms(draft.mode.spot)) * item.step * kept)


def _floors(drafts: Sequence[Draft], width: int) -> Iterator[_Floor]:
    """What the drafts ask at the least, of one kind at a time."""
    by_kind: dict[str, list[tuple[int, list[float], float]]] = {}
    for at, draft in enumerate(drafts):
        for kind, weights, least in _asks(draft):
            by_kind.setdefault(kind, []).append((at, weights + [0.0] * (width - len(weights)), least))
    for asked in by_kind.values():
        yield _Floor(
            rows=np.array([at for at, _, _ in asked]),
            weights=np.array([weights for _, weights, _ in asked]),
            least=np.array([least for _, _, least in asked]),
        )


def _asks(draft: Draft) -> Iterator[tuple[str, list[float], float]]:
    mode, items = draft.mode, draft.source.items
    for counted, (start, _) in mode.stretch.items():
        if start:
            units = [float(item.step) if item.goods.content.counted_by is counted else 0.0 for item in items]
            yield str(counted), units, float(start)
    carriage, rule = draft.source.offer.carriage, draft.source.offer.tax
    lines: list[float] = []
    if mode.free and carriage is not None and carriage.free_from is not None:
        lines.append(float(carriage.free_from))
    if rule is not None and rule.threshold is not None and rule.counts is Charged.GOODS:
        over = mode.taxed is (rule.taxed is Taxed.FROM)
        if rule.taxed is not Taxed.ALWAYS and over:
            lines.append(float(rule.threshold))
    if lines:
        prices = [float(price) / 100 for price in mode.prices]
        yield "money", prices, max(lines) - _ROUNDING_A_LINE * len(prices)


def _filled(worth: Floats, caps: Floats, asked: _Floor) -> Floats:
    """All that is worth having, then the least bad until the floor is reached, cut as fine as need be."""
    good = worth > 0
    total = np.where(good, worth * caps, 0).sum(axis=1)
    reached = np.where(good, asked.weights * caps, 0).sum(axis=1)
    rest = ~good & (asked.weights > 0)
    each = np.where(rest, worth / np.where(asked.weights > 0, asked.weights, 1), -np.inf)
    order = np.argsort(-each, axis=1, kind="stable")
    amounts = np.take_along_axis(np.where(rest, asked.weights * caps, 0), order, axis=1)
    prices = np.take_along_axis(np.where(rest, each, 0), order, axis=1)
    short = np.maximum(asked.least - reached, 0)
    before = np.cumsum(amounts, axis=1) - amounts
    taken = np.clip(short[:, None] - before, 0, amounts)
    enough = taken.sum(axis=1) >= short - 1e-9 * np.maximum(1.0, asked.least)
    return np.where(enough, total + (taken * prices).sum(axis=1), -np.inf)
