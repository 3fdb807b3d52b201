"""Wishes that no basket keeps: the fewest of them that clash, and how far each of those would have to give."""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from ninefine.plan.buying import Basket
from ninefine.plan.buying_beside import without
from ninefine.plan.buying_draft import drafts
from ninefine.plan.buying_model import BasketModel
from ninefine.plan.buying_plan import Market, found_for
from ninefine.plan.solver import Patience, Proof, solve
from ninefine.plan.wishes import Goal, Wish, Wishes


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearest:
    """How far one wish would have to give for the others to be kept.

    Attributes:
        needs: the nearest figure that fits: dollars, ounces, per cent, sellers; none where it can only be dropped.
        basket: a basket that keeps all the rest.
    """

    wish: Wish
    needs: Decimal | None
    basket: Basket


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """The fewest wishes that clash: without any one of them a basket can be had. Empty where nothing is to be had.

    `sure`: every question on the way was answered; else the time ran out for some, and there may be fewer.
    """

    wishes: tuple[Wish, ...]
    nearest: tuple[Nearest, ...]
    sure: bool = True


def clash(over: Market, wishes: Wishes, *, patience: Patience | None = None) -> Clash:
    """Find out why no basket keeps some wishes, by leaving out one after the other."""
    sold_back = wishes.sold_back or wishes.goal is Goal.LEAST_LOSS
    rest, kept, sure = replace(wishes, sold_back=sold_back), list(wishes.asked()), True
    for wish in wishes.asked():
        looser = without(rest, wish)
        fits = _any(over, looser, patience)
        sure = sure and fits is not None
        if fits is False:  # it clashes without this one too, so this one is not needed for the clash
            rest = looser
            kept.remove(wish)
    nearest = [found for wish in kept if (found := _nearest(over, rest, wish, patience)) is not None]
    if not kept:
        return Clash(wishes=(), nearest=(), sure=sure)
    return Clash(wishes=tuple(kept), nearest=tuple(nearest), sure=sure)


def _any(over: Market, wishes: Wishes, patience: Patience | None) -> bool | None:
    """Whether any basket keeps some wishes; none where the time ran out."""
    plan = found_for(over, replace(wishes, goal=Goal.LEAST_SPEND), patience=patience)
    return None if plan.proof is Proof.NOT_FOUND else plan.basket is not None


def _nearest(over: Market, wishes: Wishes, wish: Wish, patience: Patience | None) -> Nearest | None:
    free = replace(without(wishes, wish), goal=Goal.LEAST_SPEND)
    first = found_for(over, free, patience=patience).basket
    if first is None:
        return None
    if wish is Wish.SHARE_LEAST or wish is Wish.SHARE_MOST:
        return _nearest_share(over, free, wish, first, patience)
    if wish is Wish.SELLERS:
        return _nearest_sellers(over, free, wishes, patience)
    if wish is Wish.EACH:
        return _nearest_each(over, free, wishes, first, patience)
    if wish is Wish.WEIGHT:
        most = found_for(over, replace(free, goal=Goal.MOST_SILVER), patience=patience).basket or first
        return Nearest(wish=wish, needs=Decimal(floor(most.ozt * 10_000)) / 10_000, basket=most)
    return Nearest(wish=wish, needs=first.spend if wish is Wish.BUDGET else None, basket=first)


def _nearest_share(over: Market, free: Wishes, wish: Wish, first: Basket, patience: Patience | None) -> Nearest:
    """The share that comes nearest: from each basket found, one that lies beyond its share, until none does."""
    up, best = wish is Wish.SHARE_LEAST, first
    found, _ = over.sources(free)
    every = drafts(found, over.spot, free)
    # what a basket costs matters here for its limits alone, and so the cost need not be said to the cent
    by_weight = replace(free, goal=Goal.MOST_SILVER)
    while True:
        share = best.constitutional_ozt / best.ozt
        made = BasketModel(every, over.spot, by_weight, known=over.known)
        answer = solve(made.model, made.share_aim(share, up=up), judge=made.judge, patience=patience)
        if answer.values is None or not answer.value or answer.proof is not Proof.PROVEN:
            break
        best = made.basket(made.picks(answer.values))
    per_cent = best.constitutional_ozt / best.ozt * 10_000
    return Nearest(wish=wish, needs=Decimal(floor(per_cent) if up else ceil(per_cent)) / 100, basket=best)


def _nearest_sellers(over: Market, free: Wishes, wishes: Wishes, patience: Patience | None) -> Nearest | None:
    """The fewest sellers with whom the rest can be kept."""
    for sellers in range((wishes.sellers or 0) + 1, len(over.offers) + 1):
        plan = found_for(over, replace(free, sellers=sellers), patience=patience)
        if plan.basket is not None:
            return Nearest(wish=Wish.SELLERS, needs=Decimal(sellers), basket=plan.basket)
    return None


def _nearest_each(over: Market, free: Wishes, wishes: Wishes, first: Basket, patience: Patience | None) -> Nearest:
    """The least that must be let go to one offer, to the cent, by halving."""
    best = first
    low = int((wishes.each or Decimal(0)) * 100)
    high = _largest(best)
    while high - low > 1:
        middle = (low + high) // 2
        plan = found_for(over, replace(free, each=Decimal(middle) / 100), patience=patience)
        if plan.basket is None:
            low = middle
        else:
            best, high = plan.basket, _largest(plan.basket)
    return Nearest(wish=Wish.EACH, needs=Decimal(high) / 100, basket=best)


def _largest(basket: Basket) -> int:
    """What the basket's largest invoice comes to, in cents."""
    return max(int(Fraction(invoice.landed.total) * 100) for invoice in basket.invoices)
