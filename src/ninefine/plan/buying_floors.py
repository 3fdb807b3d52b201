"""What a stretch of an offer asks: units for a tier, money for free carriage or a tax line, no more than may go to one.

A least that is not reached by what is worth having for itself must be filled with the least bad; a most that it passes
leaves out the least good. Either has its price. Needs numpy.
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


def bars(drafts: Sequence[Draft], cost: Floats, fixed: Floats, each: Decimal | None) -> Iterator[Bar]:
    """What the drafts ask, of one kind at a time.

    Args:
        drafts: the stretches.
        cost: dollars on the bill for a step of each line.
        fixed: dollars that each bill has beside, at the least, without travel.
        each: the most that may go to one offer.
    """
    width = cost.shape[1]
    by_kind: dict[tuple[int, str], list[tuple[int, list[float], float]]] = {}
    for at, draft in enumerate(drafts):
        for group, kind, weights, least in _asks(draft):
            by_kind.setdefault((group, kind), []).append((at, weights + [0.0] * (width - len(weights)), least))
    for (group, _), asked in by_kind.items():
        yield Bar(
            group=group,
            most=False,
            rows=np.array([at for at, _, _ in asked]),
            weights=np.array([weights for _, weights, _ in asked]),
            amount=np.array([least for _, _, least in asked]),
        )
    if each is not None and drafts:
        yield Bar(group=BILL, most=True, rows=np.arange(len(drafts)), weights=cost, amount=float(each) - fixed)


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


def bar_prices(worth: Floats, caps: Floats, bar: Bar) -> Floats:
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
