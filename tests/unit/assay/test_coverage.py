"""Stated 95% intervals hold the truth in 93 to 97% of 2,000 simulated cases, on each path from instrument to figure.

Simulated instruments err as the model says: a gain found with a check weight that is itself off, readings that scatter
before they are rounded, a scale not quite straight, salts in the water, a thermometer that is off, a wet thread.
"""

from collections.abc import Callable

import numpy as np
import pytest

from ninefine.assay.gravity import Way, Wet, gravity
from ninefine.assay.heap_weight import FINENESS_WITHIN, weigh_heap
from ninefine.assay.instruments import Calipers, CheckWeight, Scale, Thermometer
from ninefine.assay.water import PULL_G_PER_MM, air_density, water_density
from ninefine.catalog.shelf import load_catalog
from ninefine.measure.reading import Reading

CASES = 2000
QUARTERS = load_catalog().kind("us-quarter-90")
OUNCE = 31.1034768
Random = np.random.Generator


class Simulated:
    """A scale with a true gain of its own, checked once with a weight that may be off."""

    def __init__(self, draws: Random, step: float, check: float, within: float) -> None:
        self.draws, self.step = draws, step
        self.gain = 1 + draws.uniform(-0.003, 0.003)
        shown = self._rounded(self.gain * (check + draws.uniform(-within, within)) + draws.normal(0, step / 2))
        self.scale = Scale(
            step_g=step, linear_g=step, drift_g=step, check=CheckWeight(grams=check, within_g=within, shown_g=shown)
        )

    def _rounded(self, grams: float) -> float:
        return round(grams / self.step) * self.step

    def show(self, grams: float, times: int = 1) -> list[float]:
        """What it shows for a true weight; how bent it is, and its zero, stay for one weighing."""
        bent = self.draws.uniform(-self.step, self.step) + self.draws.uniform(-self.step, self.step)
        return [self._rounded(self.gain * (grams + bent) + self.draws.normal(0, self.step / 2)) for _ in range(times)]


def held(case: Callable[[Random], tuple[Reading, float]]) -> float:
    """In what part of the cases the stated interval holds the truth."""
    draws = np.random.default_rng(20_250_101)
    hits = 0
    for _ in range(CASES):
        reading, truth = case(draws)
        low, high = reading.interval()
        hits += low <= truth <= high
    return hits / CASES


@pytest.mark.parametrize("times", [1, 3])
def test_a_piece_weighed(times: int) -> None:
    def case(draws: Random) -> tuple[Reading, float]:
        truth = draws.uniform(2, 32)
        one = Simulated(draws, 0.01, 50, 0.01)
        return one.scale.weigh([one.show(truth, times)]), truth

    assert 0.93 <= held(case) <= 0.97


def test_something_weighed_in_portions() -> None:
    def case(draws: Random) -> tuple[Reading, float]:
        parts = [draws.uniform(20, 60) for _ in range(4)]
        one = Simulated(draws, 0.1, 200, 0.05)
        return one.scale.weigh([one.show(part) for part in parts]), sum(parts)

    assert 0.93 <= held(case) <= 0.97


def test_a_scale_that_was_never_checked() -> None:
    def case(draws: Random) -> tuple[Reading, float]:
        truth, gain = draws.uniform(2, 32), 1 + draws.uniform(-0.002, 0.002)
        shown = round(truth / gain + draws.uniform(-0.01, 0.01) + draws.normal(0, 0.005), 2)
        return Scale(step_g=0.01).weigh([[shown]]), truth

    assert 0.93 <= held(case) <= 0.97


@pytest.mark.parametrize("portions", [1, 3])
def test_fine_ounces_of_a_heap(portions: int) -> None:
    def case(draws: Random) -> tuple[Reading, float]:
        grams = [draws.uniform(100, 900) for _ in range(portions)]
        fineness = 0.9 + draws.uniform(-FINENESS_WITHIN, FINENESS_WITHIN)
        one = Simulated(draws, 0.1, 500, 0.2)
        found = weigh_heap(one.scale, [one.show(part) for part in grams], QUARTERS, count=None)
        return found.fine_ozt, sum(grams) * fineness / OUNCE

    assert 0.93 <= held(case) <= 0.97


@pytest.mark.parametrize(("way", "times"), [(Way.HUNG, 1), (Way.HUNG, 3), (Way.LOWERED, 1)])
def test_density_by_water(way: Way, times: int) -> None:
    def case(draws: Random) -> tuple[Reading, float]:
        mass, truth, celsius = draws.uniform(12, 60), draws.uniform(8.5, 11.5), draws.uniform(15, 26)
        one = Simulated(draws, 0.01, 50, 0.01)
        thermometer = Thermometer(step_c=1, error_c=1)
        read = round(celsius + draws.uniform(-1, 1))
        air = air_density(float(read)) + draws.uniform(-7e-5, 7e-5)
        water = water_density(celsius) + draws.uniform(0, 0.0005)
        pull = PULL_G_PER_MM * 0.2 * draws.uniform(0, 1)
        dry, lost = mass * (1 - air / truth), mass / truth * (water - air)
        shown = dry - lost + pull if way is Way.HUNG else lost - pull
        wet = Wet(way=way, shown_g=one.show(shown, times), celsius=read, thread_mm=0.2)
        return gravity(one.scale, one.show(dry, times), wet, thermometer), truth

    assert 0.93 <= held(case) <= 0.97


@pytest.mark.parametrize("places", [1, 4])
def test_a_size_by_calipers(places: int) -> None:
    def case(draws: Random) -> tuple[Reading, float]:
        truth, off = draws.uniform(1, 40), draws.uniform(-0.03, 0.03)
        shown = [round(truth + off + draws.normal(0, 0.01), 2) for _ in range(places)]
        return Calipers().measure("diameter", shown), truth

    assert 0.93 <= held(case) <= 0.97
