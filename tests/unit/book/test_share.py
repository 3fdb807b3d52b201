"""Sharing money: the parts sum to the whole, and none passes its bounds."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.book.share import part_of, share, unit_of
from ninefine.measure.money import spread

CENT = Decimal("0.01")
totals = st.decimals(min_value=-100000, max_value=100000, places=2)
weights = st.lists(st.decimals(min_value=0, max_value=10000, places=2), min_size=1, max_size=60)


@given(totals, weights)
def test_the_parts_sum_to_the_whole(total: Decimal, weights: list[Decimal]) -> None:
    assert sum(share(total, weights, CENT)) == total


@given(totals, weights)
def test_no_part_is_more_than_a_cent_and_a_half_off_its_exact_share(total: Decimal, weights: list[Decimal]) -> None:
    exact = weights if any(weights) else [Decimal(1)] * len(weights)

    for part, weight in zip(share(total, weights, CENT), exact, strict=True):
        assert abs(part - total * weight / sum(exact)) <= CENT * Decimal("1.5")


@given(weights, st.data())
def test_a_credit_takes_no_more_of_any_heap_than_its_basis(weights: list[Decimal], data: st.DataObject) -> None:
    total = data.draw(st.decimals(min_value=0, max_value=max(sum(weights, Decimal(0)), CENT), places=2))
    if total > sum(weights):
        return

    assert all(0 <= part <= weight for part, weight in zip(share(total, weights, CENT), weights, strict=True))


def test_ninety_nine_dollars_forty_off_a_hundred_heaps_of_a_dollar_leaves_none_below_zero() -> None:
    """Each exact share is 0.994; to round each to 0.99 leaves forty cents, which one heap of a dollar cannot bear."""
    parts = share(Decimal("99.40"), [Decimal("1.00")] * 100, CENT)

    assert (sum(parts), min(parts), max(parts)) == (Decimal("99.40"), Decimal("0.99"), Decimal("1.00"))


def test_half_a_dollar_over_a_hundred_lines_gives_fifty_of_them_a_cent() -> None:
    parts = share(Decimal("0.50"), [Decimal(1)] * 100, CENT)

    assert sorted(parts) == [Decimal(0)] * 50 + [CENT] * 50


@given(totals, st.lists(st.decimals(min_value="0.01", max_value=10000, places=2), min_size=2, max_size=3))
def test_few_lines_share_as_the_measure_of_money_does(total: Decimal, weights: list[Decimal]) -> None:
    """With up to three lines no more than a cent is left over, and the rule is that of `measure.money.spread`."""
    assert share(total, weights, CENT) == spread(total, weights)


def test_zero_weights_share_evenly_and_a_zero_weight_beside_others_gets_nothing() -> None:
    assert share(Decimal("1.00"), [Decimal(0)] * 3, CENT) == [Decimal("0.34"), Decimal("0.33"), Decimal("0.33")]
    assert share(Decimal("1.00"), [Decimal(0), Decimal(7)], CENT) == [Decimal(0), Decimal("1.00")]


@pytest.mark.parametrize(("currency", "unit"), [("USD", "0.01"), ("JPY", "1"), ("KWD", "0.001")])
def test_the_smallest_unit_is_the_currencys(currency: str, unit: str) -> None:
    """ISO 4217: dollars have two places, yen none, Kuwaiti dinars three."""
    assert unit_of(currency) == Decimal(unit)
    assert sum(share(Decimal(1000), [Decimal(1)] * 3, Decimal(unit))) == 1000


def test_a_part_is_rounded_half_up() -> None:
    assert part_of(Decimal("0.05"), 1, 2, CENT) == Decimal("0.03")
