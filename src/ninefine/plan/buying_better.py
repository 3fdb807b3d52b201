"""Ways to take an offer that are never the best, because another way costs no more and holds no less.

Two ways to take an offer compete only through what they cost and hold, if they are the same to everything else that a
basket must keep: the tier that they lie on, the seller's least and most, the shares that were wished for. Then the one
that costs more and holds no more can be left out. It is let stand where the better one might break a line of money
(free carriage, a tax line, a seller's least) that the dearer one keeps, and where rounding to the cent could turn the
order round. The same goes for baskets in the making that take the same offers.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import numpy.typing as npt

from ninefine.market.goods import measured
from ninefine.market.offers import Charged
from ninefine.plan.buying_bill import bends, exempt_lines, money_lines
from ninefine.plan.buying_draft import Draft
from ninefine.plan.wishes import Goal, Wishes

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
Marks = npt.NDArray[np.bool_]

#: Dollars that roundings to the cent can come to on one bill, and for each of its lines.
ROUNDING, ROUNDING_A_LINE = 0.05, 0.01
#: Two sums of ounces nearer than this are the same sum; so are two of dollars, or two counts.
_SAME_OZT, _SAME = 1e-10, 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """When two ways to take one draft compete through cost and silver alone.

    Attributes:
        comparable: false where no two of them do.
        marks: what must be equal: for a step of each line, one row for each thing counted.
        floor, ceiling: between these sums of goods, before any discount, a way surely keeps every line of money.
        limits: the seller's least and most of what is no money: for a step of each line, and between which sums.
    """

    comparable: bool
    marks: Floats
    floor: float
    ceiling: float
    limits: tuple[tuple[Floats, float, float], ...]

    def stands(self, steps: Places, goods: Floats) -> Marks:
        """Which ways (a row of steps each, and the dollars of their goods) surely keep all that is asked."""
        found = (goods >= self.floor) & (goods <= self.ceiling)
        for weights, least, most in self.limits:
            amount = steps @ weights
            found &= (amount > least + _SAME) & (amount < most - _SAME)
        return found


def compete(wishes: Wishes) -> bool:
    """Whether ways to take an offer compete by cost and ounces alone, whatever they are made of."""
    return wishes.goal is not Goal.LEAST_LOSS and wishes.share_least is None and wishes.share_most is None


def likeness(draft: Draft, wishes: Wishes) -> Likeness:
    """When two ways to take a draft compete."""
    floor, ceiling = _span(draft)
    exempt = exempt_lines(draft.source)
    straight = not bends(draft.source) and not draft.source.whole
    # of two bills at one rate the dearer holds dearer goods, so what is under a line for it is under it for the other
    same_rate = all(exempt) or not any(exempt)
    return Likeness(
        comparable=straight and (same_rate or ceiling == float("inf")),
        marks=np.array(_marks(draft, wishes), dtype=np.float64).reshape(-1, len(draft.caps)),
        floor=floor,
        ceiling=ceiling if straight else -1.0,
        limits=tuple(_limits(draft)),
    )


def _marks(draft: Draft, wishes: Wishes) -> list[list[float]]:
    """What must be equal, for a step of each line."""
    items = draft.source.items
    rows = []
    for counted, (start, end) in draft.mode.stretch.items():
        if start or end is not None:
            rows.append([float(item.step) if item.goods.content.counted_by is counted else 0.0 for item in items])
    rows += [list(weights) for weights, _, _ in _limits(draft)]
    if not compete(wishes):
        rows.append([float(item.ozt) for item in items])
        rows.append([float(item.ozt) if item.constitutional else 0.0 for item in items])
    if wishes.goal is Goal.LEAST_LOSS:
        # what is sold back is the same where the pieces are: what each kind brings may depend on all that is sent
        names = list(dict.fromkeys(item.goods.content.names for item in items))
        rows += [[float(item.step) if item.goods.content.names == name else 0.0 for item in items] for name in names]
    return rows


def _limits(draft: Draft) -> Iterator[tuple[Floats, float, float]]:
    offer = draft.source.offer
    for limit, short in ((offer.minimum, True), (offer.stock, False)):
        if limit is not None and limit.unit != "money":
            each = [measured([one.goods], Decimal(0), limit.unit) / one.goods.units for one in draft.source.items]
            weights = np.array([float(one * item.step) for one, item in zip(each, draft.source.items, strict=True)])
            yield (weights, float(limit.amount), np.inf) if short else (weights, -np.inf, float(limit.amount))


def _span(draft: Draft) -> tuple[float, float]:
    """Sums of goods before any discount between which a draft surely lies on its side of every line of money."""
    offer = draft.source.offer
    over = [0.0] if offer.discount else []
    under: list[float] = []
    for line in money_lines(draft.mode):
        if line.over:
            over.append(float(line.at))  # what is held against a line is never less than the goods
        else:
            under.append(float(line.at) if line.counts is Charged.GOODS else -1.0)
    if offer.minimum is not None and offer.minimum.unit == "money":
        over.append(float(offer.minimum.amount))
    if offer.stock is not None and offer.stock.unit == "money":
        under.append(float(offer.stock.amount))
    slack = ROUNDING + ROUNDING_A_LINE * len(draft.caps)
    share = 1 - float(offer.discount_pct) / 100
    floor = -1.0
    if over:
        floor = (max(over) + float(offer.discount)) / share + slack if share > 0 else float("inf")
    return floor, min(under) - slack if under else float("inf")


def counted(steps: Places, marks: Floats) -> Places:
    """What must be equal of some ways (a row of steps each): a column for each thing counted."""
    return np.rint(steps @ marks.T / _SAME).astype(np.intp)


def undominated(marks: Places, cost: Floats, ozt: Floats, sure: Marks, doubt: float) -> Marks:
    """Which of some ways no other betters: none with equal marks, sure to stand, costs no more and holds no less.

    Args:
        marks: what must be equal, a row for each way.
        cost: dollars of each.
        ozt: fine ounces of each.
        sure: ways that surely stand; others better nothing.
        doubt: dollars by which a way must cost less to be sure not to cost more.
    """
    count = len(cost)
    spent = np.rint(cost / _SAME).astype(np.intp)
    held = np.unique(np.rint(ozt / _SAME_OZT), return_inverse=True)[1].astype(np.intp)
    order = np.lexsort((-held, spent, *marks.T))
    keys, spent, held = marks[order], spent[order], held[order]
    fresh = np.zeros(count, dtype=np.bool_)
    fresh[1:] = (keys[1:] != keys[:-1]).any(axis=1)
    group = np.cumsum(fresh)
    # groups are laid end to end, so far apart that nothing of one reaches into the next
    held = held + group * (count + 1)
    best = np.maximum.accumulate(np.where(sure[order], held, -1))
    if doubt:
        apart = round(doubt / _SAME) + 1
        along = spent + group * (int(np.ptp(spent)) + apart + 1)
        before = np.searchsorted(along, along - apart, side="right") - 1
    else:
        before = np.arange(count) - 1
    reached = np.where(before >= 0, best[np.maximum(before, 0)], -1)
    kept = np.empty(count, dtype=np.bool_)
    kept[order] = held > reached
    return kept
