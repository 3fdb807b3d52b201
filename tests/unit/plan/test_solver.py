"""The door to the solver: exact rows, proof and bound, the judge who sends it back, ties settled, being stopped."""

import random
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest

from ninefine.plan import highs
from ninefine.plan.model import Aim, Model, Values
from ninefine.plan.solver import Patience, Progress, Proof, solve


def knapsack(prices: list[int], ounces: list[int], most: int, budget: int) -> tuple[Model, Aim, Aim]:
    """Whole amounts of several goods under a budget: the aim is ounces, then least spend."""
    model = Model()
    amounts = [model.unknown(most, name=f"goods {at}") for at in range(len(prices))]
    model.row(dict(zip(amounts, prices, strict=True)), most=budget, because="the budget")
    return model, Aim(terms=dict(zip(amounts, ounces, strict=True))), Aim(terms=dict(enumerate(prices)), up=False)


def every(model: Model) -> Iterator[tuple[int, ...]]:
    """All whole numbers within range that keep every row."""
    for values in product(*(range(one.low, one.high + 1) for one in model.unknowns)):
        if not model.broken(values):
            yield values


def test_rows_are_kept_in_whole_numbers_that_say_the_same() -> None:
    """24.60 a face dollar against 3,100 is no more than 126.016 face, and so no more than 126 whole."""
    model = Model()
    at = model.unknown(500)
    model.row({at: Decimal("24.60")}, most=Decimal(3100))

    row = model.rows[0]

    assert (row.terms, row.most) == ({at: 1}, 126)
    assert row.holds([126])
    assert not row.holds([127])


@pytest.mark.parametrize("seed", range(40))
def test_small_problems_equal_a_search_through_everything(seed: int) -> None:
    """Best value and least spend among equals, against trying every whole number."""
    dice = random.Random(seed)
    prices = [dice.randint(5, 60) for _ in range(4)]
    model, aim, then = knapsack(prices, [dice.randint(1, 25) for _ in range(4)], 5, dice.randint(40, 400))

    found = solve(model, aim, then)

    best = max(every(model), key=lambda values: (aim.of(values), -then.of(values)))
    assert found.proof is Proof.PROVEN
    assert found.settled
    assert found.values is not None
    assert (found.value, then.of(found.values)) == (aim.of(best), then.of(best))
    assert found.gap == 0


def test_fractions_of_an_ounce_are_told_apart() -> None:
    """Aims a billionth apart: the better one is found, and what it comes to is exact."""
    model = Model()
    one, other = model.choice("one"), model.choice("other")
    model.row({one: 1, other: 1}, most=1)
    better = Fraction(1) + Fraction(1, 10**7)

    found = solve(model, Aim(terms={one: 1, other: better}))

    assert found.values == (0, 1)
    assert found.value == better


def test_what_cannot_be_is_said_to_fit_nothing() -> None:
    model = Model()
    at = model.unknown(10)
    model.row({at: 2}, least=7, most=7)

    found = solve(model, Aim(terms={at: 1}))

    assert found.proof is Proof.NONE
    assert found.values is None


def test_a_judge_sends_the_solver_back_until_it_agrees() -> None:
    """The judge knows a rule that the model does not, no odd sums: each odd answer is ruled out, and on it goes."""
    model, aim, _ = knapsack([7, 11], [7, 11], 3, 33)
    seen: list[tuple[int, ...]] = []

    def judge(values: Values, settling: bool) -> bool:  # noqa: FBT001 - a judge's second argument
        assert not settling
        if aim.of(values) % 2 == 0:
            return True
        seen.append(tuple(values))
        model.forbid(values, [0, 1])
        return False

    found = solve(model, aim, judge=judge)

    sums = [7 * one + 11 * other for one, other in product(range(4), repeat=2)]
    assert found.value == max(total for total in sums if total <= 33 and total % 2 == 0)
    assert found.turned_down == len(seen) > 0
    assert len(set(seen)) == len(seen)


def test_a_judge_must_say_what_rules_an_answer_out() -> None:
    """A judge who turns down and adds nothing would be asked the same for ever; that is a defect, and it is told."""
    model, aim, _ = knapsack([7], [7], 3, 40)

    with pytest.raises(AssertionError, match="did not say"):
        solve(model, aim, judge=lambda _values, _settling: False)


@pytest.mark.parametrize("seed", range(10))
def test_ruling_out_takes_out_one_answer_and_no_other(seed: int) -> None:
    """After `forbid`, every other answer can still be had."""
    dice = random.Random(seed)
    model = Model()
    places = [model.unknown(dice.randint(1, 3), low=dice.randint(0, 1), name=str(at)) for at in range(3)]
    before = {values[:3] for values in every(model)}
    out = dice.choice(sorted(before))

    model.forbid(out, places)

    assert {values[:3] for values in every(model)} == before - {out}


def test_nothing_is_left_in_the_model_when_ties_are_settled() -> None:
    model, aim, then = knapsack([5, 6], [3, 3], 4, 20)
    size = model.size

    solve(model, aim, then)

    assert model.size == size


def hard(count: int, seed: int) -> tuple[Model, Aim, Aim]:
    """Amounts of nearly the same price an ounce with an exact sum to be met: hard to close."""
    dice = random.Random(seed)
    prices = [dice.randint(10**6, 2 * 10**6) for _ in range(count)]
    return knapsack(prices, [price + dice.randint(-9, 9) for price in prices], 3, sum(prices))


def test_a_watched_search_tells_its_bound_and_can_be_stopped() -> None:
    """Stopped after its first slice: the best so far, a bound that is no better than it, and no claim of proof."""
    model, aim, _ = hard(60, 3)
    told: list[Progress] = []

    found = solve(model, aim, patience=Patience(seconds=20, told=told.append, stop=lambda: True))

    assert len(told) == 1
    assert found.proof is Proof.SO_FAR
    assert found.value is not None
    assert found.bound is not None
    assert found.bound > found.value
    assert found.seconds < 15


def test_a_search_out_of_time_claims_nothing() -> None:
    model, aim, _ = hard(60, 3)

    found = solve(model, aim, patience=Patience(seconds=0))

    assert found.proof is Proof.NOT_FOUND
    assert found.values is None


def test_what_was_ruled_out_while_rows_were_made_simpler_is_found_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """As HiGHS has done now and then: with its presolve nothing fits, or the second best is said to be the best."""
    model, aim, _ = knapsack([3, 5], [4, 7], 3, 11)
    asked = highs.call

    def no_fit(model: Model, least: Mapping[int, float], seconds: float, *, presolve: bool, near: float) -> highs.Call:
        if presolve:
            return highs.Call(ended=highs.Ended.INFEASIBLE, values=None, bound=None)
        return asked(model, least, seconds, presolve=presolve, near=near)

    def second_best(
        model: Model, least: Mapping[int, float], seconds: float, *, presolve: bool, near: float
    ) -> highs.Call:
        if presolve:
            return highs.Call(ended=highs.Ended.OPTIMAL, values=(3, 0), bound=-12.0)
        return asked(model, least, seconds, presolve=presolve, near=near)

    for faulty in (no_fit, second_best):
        monkeypatch.setattr(highs, "call", faulty)
        found = solve(model, aim)

        assert found.proof is Proof.PROVEN
        assert (found.value, found.bound) == (Fraction(15), Fraction(15))
