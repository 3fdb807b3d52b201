"""What a stretch of an offer asks at the least: units for a tier, money for free carriage or a tax line; and its price.

A floor that is not reached by what is worth having for itself must be filled with the least bad. Needs numpy.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ninefine.market.offers import Charged, Taxed
from ninefine.plan.buying_better import ROUNDING, ROUNDING_A_LINE
from ninefine.plan.buying_draft import Draft

Floats = npt.NDArray[np.float64]
_MONEY = "money"


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """What some drafts ask at the least: units for a tier, or (`money`) dollars for free carriage or a tax line."""

    money: bool
    rows: npt.NDArray[np.intp]
    weights: Floats
    least: Floats


def floors(drafts: Sequence[Draft], width: int) -> Iterator[Floor]:
    """What the drafts ask at the least, of one kind at a time."""
    by_kind: dict[str, list[tuple[int, list[float], float]]] = {}
    for at, draft in enumerate(drafts):
        for kind, weights, least in _asks(draft):
            by_kind.setdefault(kind, []).append((at, weights + [0.0] * (width - len(weights)), least))
    for kind, asked in by_kind.items():
        yield Floor(
            money=kind == _MONEY,
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
    low, _ = money_span(draft)
    if low > 0:
        prices = [float(price) / 100 for price in mode.prices]
        yield _MONEY, prices, low - ROUNDING - ROUNDING_A_LINE * len(prices)


def money_span(draft: Draft) -> tuple[float, float]:
    """Between which sums the goods lie, before a discount, on a draft's side of free carriage and of the tax line."""
    mode, offer = draft.mode, draft.source.offer
    low, high = 0.0, float("inf")
    carriage, rule = offer.carriage, offer.tax
    if carriage is not None and carriage.free_from is not None:
        if mode.free:
            low = float(carriage.free_from)
        else:
            high = float(carriage.free_from)
    if (
        rule is not None
        and rule.threshold is not None
        and rule.counts is Charged.GOODS
        and rule.taxed is not Taxed.ALWAYS
    ):
        if mode.taxed is (rule.taxed is Taxed.FROM):
            low = max(low, float(rule.threshold))
        else:
            high = min(high, float(rule.threshold))
    # what a discount takes off is counted on the side that shuts nothing out: it only lowers what the lines see
    share = 1 - float(offer.discount_pct) / 100
    return low, (high + float(offer.discount)) / share if share > 0 else float("inf")


def filled(worth: Floats, caps: Floats, asked: Floor) -> Floats:
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


def floor_prices(worth: Floats, caps: Floats, asked: Floor) -> Floats:
    """What a unit of each floor is worth: what the last line that must be taken for it loses by the unit."""
    good = worth > 0
    reached = np.where(good, asked.weights * caps, 0).sum(axis=1)
    rest = ~good & (asked.weights > 0) & (caps > 0)
    each = np.where(rest, worth / np.where(asked.weights > 0, asked.weights, 1), -np.inf)
    order = np.argsort(-each, axis=1, kind="stable")
    amounts = np.take_along_axis(np.where(rest, asked.weights * caps, 0), order, axis=1)
    ratios = np.take_along_axis(np.where(rest, each, 0), order, axis=1)
    short = asked.least - reached
    taken = (np.cumsum(amounts, axis=1) < short[:, None]).sum(axis=1)
    last = np.minimum(taken, worth.shape[1] - 1)
    found = -np.take_along_axis(ratios, last[:, None], axis=1)[:, 0]
    return np.where(short > 0, np.maximum(found, 0), 0)
