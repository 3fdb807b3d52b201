"""What a tier and a limit on one offer take away together, held against linear programs solved by scipy's `linprog`."""

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import linprog

from ninefine.plan.buying_floors import BILL, UNITS, Bar, Bars

Floats = npt.NDArray[np.float64]
#: Lines of an offer, and offers of a draw.
LINES, OFFERS = 6, 40


def drawn(seed: int) -> tuple[Bars, Floats, Floats]:
    """Offers with a tier to reach and a limit to keep; what a step of each line is worth, and what each has at once."""
    draw = np.random.default_rng(seed)
    caps = draw.integers(5, 50, (OFFERS, LINES)).astype(float)
    cost = draw.uniform(8, 26, (OFFERS, LINES))
    worth = (cost - 15) * 0.002 + draw.uniform(-0.01, 0.01, (OFFERS, LINES))  # the dear lines are the good ones
    every = np.arange(OFFERS)
    least = draw.uniform(40, 110, OFFERS)
    floor = Bar(group=UNITS, most=False, rows=every, weights=np.ones((OFFERS, LINES)), amount=least)
    lid = Bar(group=BILL, most=True, rows=every, weights=cost, amount=least * draw.uniform(11, 19, OFFERS))
    return Bars(caps=caps, floors=(floor,), lid=lid), worth, draw.uniform(-0.2, 0.2, OFFERS)


def best(bars: Bars, worth: Floats, base: Floats, at: int) -> float | None:
    """The best of one offer cut as fine as need be; none where its tier and its limit cannot both be kept."""
    assert bars.lid is not None
    (floor,) = bars.floors
    found = linprog(
        -worth[at],
        A_ub=[-floor.weights[at], bars.lid.weights[at]],
        b_ub=[-floor.amount[at], bars.lid.amount[at]],
        bounds=[(0, cap) for cap in bars.caps[at]],
    )
    return None if found.status == 2 else float(base[at] - found.fun)


@pytest.mark.parametrize("seed", range(5))
def test_a_tier_and_a_limit_are_priced_together(seed: int) -> None:
    """No bound lies under the linear program's best, and where both can be kept it lies on it."""
    bars, worth, base = drawn(seed)
    bounds = bars.most(worth, base)
    found = [best(bars, worth, base, at) for at in range(OFFERS)]
    pressed = 0
    for bound, alone, one in zip(bounds, bars.most(worth, base, beside=False), found, strict=True):
        if one is not None:
            assert one - 1e-9 <= bound <= one + 1e-4
            pressed += alone > one + 1e-3
    assert pressed >= 5  # so many are not told by the tier or the limit alone


@pytest.mark.parametrize("seed", range(5))
def test_no_way_to_take_an_offer_adds_more_than_its_steps_lean_to(seed: int) -> None:
    """What a step leans to, and the lean itself, bound each way that keeps both; at the best they come to the bound."""
    bars, worth, base = drawn(seed)
    assert bars.lid is not None
    (floor,) = bars.floors
    leaning, lean = bars.leaning(worth, base)
    draw, kept = np.random.default_rng(seed + 100), 0
    for steps in (draw.integers(0, bars.caps.astype(int) + 1).astype(float) for _ in range(400)):
        units, bill = (steps * floor.weights).sum(axis=1), (steps * bars.lid.weights).sum(axis=1)
        keeps = (units >= floor.amount) & (bill <= bars.lid.amount)
        adds, leans = base + (steps * worth).sum(axis=1), lean + (steps * leaning).sum(axis=1)
        assert (adds[keeps] <= leans[keeps] + 1e-9).all()
        kept += int(keeps.sum())
    assert kept > 50
    most = lean + (np.maximum(leaning, 0) * bars.caps).sum(axis=1)
    sound = np.isfinite(bars.most(worth, base))
    assert most[sound] == pytest.approx(bars.most(worth, base)[sound], abs=2e-3)
