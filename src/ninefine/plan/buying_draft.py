"""Every straight stretch of every offer, and what it can hold: what a model of baskets is made from."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from ninefine.market.offers import Charged
from ninefine.plan.buying import Source
from ninefine.plan.buying_bill import Mode, modes, money_lines
from ninefine.plan.wishes import Wishes


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A mode that can be reached, and how many steps of each line it can hold: from `least` to `caps`."""

    mode: Mode
    caps: tuple[int, ...]
    least: tuple[int, ...]

    @property
    def source(self) -> Source:
        """The offer."""
        return self.mode.source


def drafts(found: Iterable[Source], spot: Decimal, wishes: Wishes) -> list[Draft]:
    """Every mode of every offer that some basket under these wishes can lie on."""
    return [draft for source in found for draft in _drafts(source, spot, wishes)]


def _drafts(source: Source, spot: Decimal, wishes: Wishes) -> Iterator[Draft]:
    none = (0,) * len(source.items)
    known: tuple[tuple[Fraction, ...], tuple[int, ...], bool] | None = None
    for mode in modes(source, spot):
        if known is None or known[0] is not mode.prices:
            caps = _caps(mode, wishes)
            sound = any(caps) and (not source.whole or caps == source.all_steps) and _reached(mode, caps, wishes)
            known = mode.prices, caps, sound
        if known[2] and _money_fits(mode, known[1]):
            yield Draft(mode=mode, caps=known[1], least=known[1] if source.whole else none)


def _caps(mode: Mode, wishes: Wishes) -> tuple[int, ...]:
    """The most steps of each line: what can be had, what the money reaches, the end of the mode's tier."""
    money = None if mode.source.whole else _most_goods(mode, wishes)
    caps = []
    for item, price in zip(mode.source.items, mode.prices, strict=True):
        end = mode.stretch[item.goods.content.counted_by][1]
        cap = item.most if end is None else min(item.most, ceil(end / item.step) - 1)
        caps.append(cap if money is None else min(cap, floor(money / price)))
    return tuple(caps)


def _most_goods(mode: Mode, wishes: Wishes) -> Fraction | None:
    """Cents that goods may cost before a discount, so that the bill is within what may be spent; none: any."""
    offer = mode.source.offer
    kept = 1 - Fraction(offer.discount_pct) / 100
    limits = [limit for limit in (wishes.budget, wishes.each) if limit is not None]
    if not limits or kept <= 0:
        return None
    return ((Fraction(min(limits)) + Fraction(offer.discount)) * 100 + 1) / kept


def _reached(mode: Mode, caps: tuple[int, ...], wishes: Wishes) -> bool:
    """Whether enough can be had, and paid for, to come to the mode's tiers."""
    cents = Fraction(0)
    for counted, (start, _) in mode.stretch.items():
        short = start
        lines = zip(mode.source.items, mode.prices, caps, strict=True)
        mine = [
            (price / item.step, item.step * cap)
            for item, price, cap in lines
            if item.goods.content.counted_by is counted
        ]
        for each, units in sorted(mine):
            taken = min(units, short)
            short -= taken
            cents += each * taken
        if short > 0:
            return False
    most = _most_goods(mode, wishes)
    # each line is rounded for itself
    return most is None or cents <= most + len(caps)


def _money_fits(mode: Mode, caps: tuple[int, ...]) -> bool:
    """Whether the goods can cost what free carriage or a tax line asks, and both lines can be kept at once."""
    lines = [line for line in money_lines(mode) if line.counts is Charged.GOODS]
    least = max((Fraction(line.at) for line in lines if line.over), default=Fraction(0))
    if any(least >= Fraction(line.at) for line in lines if not line.over):
        return False
    most = sum((price * cap for price, cap in zip(mode.prices, caps, strict=True)), Fraction(0)) / 100
    return most + 1 >= least
