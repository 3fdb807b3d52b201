"""Baskets over offers: equal to trying everything, never a cent over, wishes kept, and what was said of them."""

import random

import pytest

from baskets_made import SPOT, best_by_trying, shop, small_offer, small_wishes
from ninefine.plan.buying import broken_wishes
from ninefine.plan.buying_plan import best_basket, market
from ninefine.plan.solver import Proof
from ninefine.plan.wishes import Goal


@pytest.mark.parametrize("seed", range(300))
def test_small_baskets_equal_trying_every_one(seed: int) -> None:
    """The best value, and the least spend for it, to the cent; nothing found exactly where nothing fits."""
    dice = random.Random(seed)
    offers = [small_offer(dice, name) for name in "ABC"[: dice.choice([2, 3])]]
    goal = (Goal.MOST_SILVER, Goal.LEAST_SPEND, Goal.LEAST_LOSS)[seed % 3]
    wishes, way_out = small_wishes(dice, offers, goal), shop(dice)

    plan = best_basket(market(offers, SPOT, way_out=way_out), wishes)

    best = best_by_trying(offers, wishes, way_out)
    if best is None:
        assert plan.proof is Proof.NONE
        assert plan.basket is None
    else:
        assert plan.proof is Proof.PROVEN
        assert plan.basket is not None
        assert not broken_wishes(plan.basket, wishes)
        assert (plan.value, plan.basket.spend) == best
        assert plan.gap == 0
