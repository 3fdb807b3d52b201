"""What a stretch of an offer asks: units for a tier, money for free carriage or a tax line, no more than may go to one.

A least that is not reached by what is worth having for itself must be filled with the least bad; a most that it passes
leaves out the least good. Either has its price; where an offer has both they are priced together. Needs numpy.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import numpy.typing as npt

from ninefine.market.offers import Charged
from ninefine.plan.buying_better import ROUNDING, ROUNDING_A_LINE
from ninefine.plan.buying_bill import money_lines
from ninefine.plan.buying_draft import Draft

Floats = npt.NDArray[np.float64]
#: What a bar is counted in. Of bars of one group no two press on one line, so what they press adds up.
UNITS, GOODS, BILL = range(3)
#: Less than this is nothing that presses.
_NOTHING = 1e-12
#: Closing in on the price of a lid: how far it is looked for, at how many points at once, in how many rounds.
_FARTHEST, _POINTS, _ROUNDS = 32, 17, 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What some drafts must come to at the least, or (`most`) at the most.

    Attributes:
        group: units of a tier, dollars of goods, or dollars of the bill.
        rows, weights, amount: which drafts, what a step of each line counts, and the least or most.
    """

    group: int
    most: bool
    rows: npt.NDArray[np.intp]
    weights: Floats
    amount: Floats

    def among(self, rows: npt.NDArray[np.intp], times: int) -> "Bar":
        """The same for some of the drafts, which are numbered anew, and all that so many times over."""
        _, here, there = np.intersect1d(self.rows, rows, return_indices=True)
        return Bar(
            group=self.group,
            most=self.most,
            rows=(np.arange(times)[:, None] * len(rows) + there).ravel(),
            weights=np.tile(self.weights[here], (times, 1)),
            amount=np.tile(self.amount[here], times),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """All that the drafts ask: `floors` of units and of money, and a `lid` on the bill where there is one.

    `caps`: how many steps of each line a draft can hold.
    """

    caps: Floats
    floors: tuple[Bar, ...]
    lid: Bar | None

    def most(self, worth: Floats, base: Floats, *, beside: bool = True) -> Floats:
        """What each draft could add at best: `base`, and its steps by their `worth`, with what it asks.

        Without `beside` the lid is never asked for beside a floor, which is soon done and bounds less.
        """
        alone: Floats = base + self._free(worth) - self._pressed(worth).max(axis=0)
        tilt = self._tilt(worth) if beside else None
        if self.lid is None or tilt is None:
            return alone
        worth, base = _tilted(worth, base, self.lid, tilt)
        both: Floats = base + self._free(worth) - self._pressed(worth, lid=False).max(axis=0)
        return np.minimum(alone, both)

    def leaning(self, worth: Floats, base: Floats) -> tuple[Floats, Floats]:
        """What is asked, priced so that it is just kept: a step's worth with that, and what it adds to the base.

        Of units, goods and the bill it is what presses a draft most; the bill beside a floor where both press.
        """
        tilt = self._tilt(worth)
        only_floors = np.zeros(len(base), dtype=np.bool_)
        if self.lid is not None and tilt is not None:
            worth, base = _tilted(worth, base, self.lid, tilt)
            only_floors = tilt > 0
        pressed = self._pressed(worth)
        pressed[BILL, only_floors] = 0
        leaning, lean = np.stack([worth] * 3), np.stack([base] * 3)
        for bar in self._all():
            prices = _bar_prices(worth[bar.rows], self.caps[bar.rows], bar)
            prices = np.where(np.isfinite(pressed[bar.group, bar.rows]), -prices if bar.most else prices, 0.0)
            leaning[bar.group, bar.rows] += prices[:, None] * bar.weights
            lean[bar.group, bar.rows] -= prices * bar.amount
        most, every = pressed.argmax(axis=0), np.arange(len(base))
        return leaning[most, every], lean[most, every]

    def _all(self, *, lid: bool = True) -> tuple[Bar, ...]:
        return self.floors if self.lid is None or not lid else (*self.floors, self.lid)

    def _free(self, worth: Floats) -> Floats:
        """What the steps could add with no regard to what is asked."""
        free: Floats = np.einsum("ij,ij->i", np.maximum(worth, 0), self.caps)
        return free

    def _pressed(self, worth: Floats, *, lid: bool = True) -> Floats:
        """What each group takes away from that, a row each."""
        found = np.zeros((3, len(worth)))
        for bar in self._all(lid=lid):
            mine, caps = worth[bar.rows], self.caps[bar.rows]
            found[bar.group, bar.rows] += (np.maximum(mine, 0) * caps).sum(axis=1) - reached(mine, caps, bar)
        return found

    def _tilt(self, worth: Floats) -> Floats | None:
        """The price of the lid that leaves a draft least, where it has a floor too; else nothing.

        Either may press only once the other is kept, so neither alone tells what both take away.
        """
        if self.lid is None:
            return None
        pressed = self._pressed(worth).max(axis=0)
        floored = np.zeros(len(worth), dtype=np.bool_)
        for bar in self.floors:
            floored[bar.rows] = True
        rows = np.flatnonzero(floored & (pressed > _NOTHING) & np.isfinite(pressed))
        if not len(rows):
            return None
        many = Bars(
            caps=np.tile(self.caps[rows], (_POINTS, 1)),
            floors=tuple(bar.among(rows, _POINTS) for bar in self.floors),
            lid=None,
        )
        lid, mine = self.lid.among(rows, _POINTS), np.tile(worth[rows], (_POINTS, 1))
        low, each = np.zeros(len(rows)), np.arange(len(rows))
        high = _FARTHEST * (np.abs(worth) / np.where(self.lid.weights > 0, self.lid.weights, np.inf))[rows].max(axis=1)
        for _ in range(_ROUNDS):
            # a convex function is lowest next to the lowest of some points along it
            points = low + (high - low) * np.linspace(0, 1, _POINTS)[:, None]
            tilted = _tilted(mine, np.zeros(points.size), lid, points.ravel())
            lowest = many.most(*tilted).reshape(points.shape).argmin(axis=0)
            low, high = points[np.maximum(lowest - 1, 0), each], points[np.minimum(lowest + 1, _POINTS - 1), each]
            best = points[lowest, each]
        found = np.zeros(len(worth))
        found[rows] = best
        return found


def _tilted(worth: Floats, base: Floats, lid: Bar, tilt: Floats) -> tuple[Floats, Floats]:
    """What steps and base are worth with a price on the bill."""
    return worth - tilt[:, None] * lid.weights, base + tilt * lid.amount


def bars(drafts: Sequence[Draft], caps: Floats, cost: Floats, fixed: Floats, each: Decimal | None) -> Bars:
    """What the drafts ask, of one kind at a time.

    Args:
        drafts: the stretches.
        caps: how many steps of each line there can be.
        cost: dollars on the bill for a step of each line.
        fixed: dollars that each bill has beside, at the least, without travel.
        each: the most that may go to one offer.
    """
    width = cost.shape[1]
    by_kind: dict[tuple[int, str], list[tuple[int, list[float], float]]] = {}
    for at, draft in enumerate(drafts):
        for group, kind, weights, least in _asks(draft):
            by_kind.setdefault((group, kind), []).append((at, weights + [0.0] * (width - len(weights)), least))
    floors = tuple(
        Bar(
            group=group,
            most=False,
            rows=np.array([at for at, _, _ in asked]),
            weights=np.array([weights for _, weights, _ in asked]),
            amount=np.array([least for _, _, least in asked]),
        )
        for (group, _), asked in by_kind.items()
    )
    lid = None
    if each is not None and drafts:
        lid = Bar(group=BILL, most=True, rows=np.arange(len(drafts)), weights=cost, amount=float(each) - fixed)
    return Bars(caps=caps, floors=floors, lid=lid)


def _asks(draft: Draft) -> Iterator[tuple[int, str, list[float], float]]:
    """What a draft must come to at the least. The end of a tier and the far side of a line are left to the lists."""
    mode, items = draft.mode, draft.source.items
    for counted, (start, _) in mode.stretch.items():
        if start:
            units = [float(item.step) if item.goods.content.counted_by is counted else 0.0 for item in items]
            yield UNITS, str(counted), units, float(start)
    low, _ = money_span(draft)
    if low > 0:
        prices = [float(price) / 100 for price in mode.prices]
        yield GOODS, "", prices, low - ROUNDING - ROUNDING_A_LINE * len(prices)


def money_span(draft: Draft) -> tuple[float, float]:
    """Between which sums the goods lie, before a discount, on a draft's side of free carriage and of the tax line."""
    offer = draft.source.offer
    lines = [line for line in money_lines(draft.mode) if line.counts is Charged.GOODS]
    low = max((float(line.at) for line in lines if line.over), default=0.0)
    high = min((float(line.at) for line in lines if not line.over), default=float("inf"))
    # what a discount takes off is counted on the side that shuts nothing out: it only lowers what the lines see
    share = 1 - float(offer.discount_pct) / 100
    return low, (high + float(offer.discount)) / share if share > 0 else float("inf")


def reached(worth: Floats, caps: Floats, bar: Bar) -> Floats:
    """What the lines add at best when they keep a bar, cut as fine as need be; nothing at all where they cannot."""
    good = worth > 0
    total = np.where(good, worth * caps, 0).sum(axis=1)
    amounts, ratios, gap = _by_ratio(worth, caps, bar)
    before = np.cumsum(amounts, axis=1) - amounts
    taken = np.clip(gap[:, None] - before, 0, amounts)
    enough = taken.sum(axis=1) >= gap - 1e-9 * np.maximum(1.0, np.abs(bar.amount))
    return np.where(enough, total - (taken * ratios).sum(axis=1), -np.inf)


def _bar_prices(worth: Floats, caps: Floats, bar: Bar) -> Floats:
    """What a unit of each bar is worth: what the last line that it forces in, or out, loses by the unit."""
    amounts, ratios, gap = _by_ratio(worth, caps, bar)
    taken = (np.cumsum(amounts, axis=1) < gap[:, None]).sum(axis=1)
    last = np.minimum(taken, worth.shape[1] - 1)
    found = np.take_along_axis(ratios, last[:, None], axis=1)[:, 0]
    return np.where(gap > 0, np.maximum(found, 0), 0)


def _by_ratio(worth: Floats, caps: Floats, bar: Bar) -> tuple[Floats, Floats, Floats]:
    """The lines that a bar may force in (or out), the least loss by the unit first: how much of each, what it loses.

    And how much must be forced: what a least is short of by what is worth having, or what that passes a most by.
    """
    good = worth > 0
    wanted = np.where(good, bar.weights * caps, 0).sum(axis=1)
    moved = (good if bar.most else ~good) & (bar.weights > 0) & (caps > 0)
    each = np.where(moved, np.abs(worth) / np.where(bar.weights > 0, bar.weights, 1), np.inf)
    order = np.argsort(each, axis=1, kind="stable")
    amounts = np.take_along_axis(np.where(moved, bar.weights * caps, 0), order, axis=1)
    ratios = np.take_along_axis(np.where(moved, each, 0), order, axis=1)
    gap = wanted - bar.amount if bar.most else bar.amount - wanted
    return amounts, ratios, np.maximum(gap, 0)
