"""Measured values with their uncertainty: propagation, repeats, coverage, what dominates."""

import random
from collections.abc import Callable
from math import inf, sqrt
from typing import Any

import numpy as np
import pytest
from uncertainties import ufloat

from ninefine.measure.reading import (
    Input,
    Part,
    Reading,
    coverage_factor,
    normal,
    propagate,
    rectangular,
    repeated,
    triangular,
)

#: Formulas made of arithmetic, as the bench's are; each takes a mapping of a, b, c, d.
FORMULAS: tuple[Callable[[Any], Any], ...] = (
    lambda v: v["a"] * (v["c"] - v["d"]) / (v["a"] - v["b"]) + v["d"],
    lambda v: v["a"] / v["b"] * v["c"] - v["d"],
    lambda v: (v["a"] + v["b"]) ** 2 / (v["c"] ** 3 + 5) + v["d"],
    lambda v: 1 / (v["a"] / v["c"] + v["b"] / (v["d"] + 20)),
    lambda v: v["a"] - v["a"] * v["b"] + v["c"] * v["d"] ** 0.5,
)


@pytest.mark.parametrize("seed", range(200))
def test_propagation_agrees_with_an_independent_library(seed: int) -> None:
    """The uncertainties package, by its own differentiation, on 200 random cases of five formulas."""
    drawn = random.Random(seed)
    values = {"a": drawn.uniform(20, 40), "b": drawn.uniform(2, 15), "c": drawn.uniform(1, 9), "d": drawn.uniform(1, 5)}
    us = {name: drawn.uniform(0, 0.1) * value for name, value in values.items()}
    formula = FORMULAS[seed % len(FORMULAS)]
    found = propagate(formula, [normal(name, values[name], us[name]) for name in values])
    reference = formula({name: ufloat(values[name], us[name]) for name in values})

    assert found.value == pytest.approx(reference.nominal_value, rel=1e-12)
    assert found.u == pytest.approx(reference.std_dev, rel=1e-9)


def test_an_input_used_twice_is_the_same_input() -> None:
    """A shared gain cancels in a ratio: a - a is exactly nothing."""
    inputs = [normal("a", 3.0, 0.5), normal("b", 2.0, 0.0)]

    assert propagate(lambda v: v["a"] - v["a"], inputs).u == 0
    assert propagate(lambda v: v["a"] / v["a"] * v["b"], inputs).u == pytest.approx(0, abs=1e-15)


def test_shares_sum_to_one_and_name_what_dominates() -> None:
    found = Reading(value=1, parts=(Part(name="a", u=3), Part(name="b", u=4), Part(name="a", u=1)))

    assert found.u == pytest.approx(sqrt(26))
    assert [name for name, _ in found.shares()] == ["b", "a"]
    assert [share for _, share in found.shares()] == pytest.approx([16 / 26, 10 / 26])
    assert found.dominant == "b"
    assert Reading(value=1).shares() == ()
    assert not Reading(value=1).dominant
    assert Reading(value=1).interval() == (1, 1)


def test_a_scaled_reading_keeps_its_relative_uncertainty() -> None:
    found = propagate(lambda v: v["a"], [normal("a", 2.0, 0.1)], "g").scaled(-1000, "mg")

    assert (found.value, found.unit) == (-2000, "mg")
    assert found.u == pytest.approx(100)


class TestRepeated:
    def test_one_reading_has_the_scales_usual_scatter_and_the_whole_last_digit(self) -> None:
        scatter, digit = repeated("weight", [2.47], step=0.01, spread=0.005)

        assert (scatter.value, scatter.dof) == (2.47, inf)
        assert scatter.u == pytest.approx(0.005)
        assert digit.u == pytest.approx(0.01 / sqrt(12))

    def test_readings_that_agree_do_not_make_it_exact(self) -> None:
        """A pooled spread (GUM 4.2.4): ten degrees of freedom of the scale's own, three of these readings."""
        scatter, _ = repeated("weight", [2.47] * 4, step=0.01, spread=0.005)
        usual = 0.005**2 + 0.01**2 / 12

        assert scatter.dof == 13
        assert scatter.u == pytest.approx(sqrt(10 * usual / 13 / 4), rel=0.01)

    def test_readings_that_scatter_widen_it(self) -> None:
        calm, _ = repeated("weight", [2.47, 2.48, 2.47], step=0.01, spread=0.005)
        wild, _ = repeated("weight", [2.40, 2.55, 2.47], step=0.01, spread=0.005)

        assert wild.u > 2 * calm.u

    def test_rounding_averages_away_only_where_readings_scatter(self) -> None:
        _, steady = repeated("weight", [2.47, 2.47], step=0.01, spread=0.0001)
        _, lively = repeated("weight", [2.47, 2.48], step=0.01, spread=0.01)

        assert steady.u == pytest.approx(0.01 / sqrt(12), rel=0.01)
        assert lively.u < 1e-9


@pytest.mark.parametrize("ratio", [0.0, 0.3, 1.0, 3.0])
@pytest.mark.parametrize("make", [rectangular, triangular])
def test_a_bounded_and_a_normal_spread_together_are_held_by_the_stated_factor(
    make: Callable[[str, float, float], Input], ratio: float
) -> None:
    """200,000 draws of each sum: 95% intervals hold 94 to 96%."""
    draws = np.random.default_rng(7)
    bounded = make("a", 0.0, 1.0)
    spread = draws.uniform(-1, 1, 200_000) if make is rectangular else draws.triangular(-1, 0, 1, 200_000)
    together = spread + ratio * bounded.u * draws.normal(size=200_000)
    found = propagate(lambda v: v["a"] + v["b"], [bounded, normal("b", 0.0, ratio * bounded.u)])

    assert 0.94 < float(np.mean(np.abs(together) < found.half_width())) < 0.96


def test_few_degrees_of_freedom_widen_the_interval() -> None:
    assert coverage_factor(0.95, dof=3) == pytest.approx(3.182, abs=1e-3)
    assert coverage_factor(0.95, dof=3, kurtosis=-1.2) < coverage_factor(0.95, dof=3)
