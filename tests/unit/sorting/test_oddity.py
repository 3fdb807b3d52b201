"""How odd a table is: pooling, the choice of a test, refusals, effect and power."""

import math
from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.errors import RangeError
from ninefine.sorting.catching import gone_to_tell, left_share, odd_count, pieces_to_catch, power_to_catch
from ninefine.sorting.chances import pieces_until, split
from ninefine.sorting.effect import effect_between, effect_of, least_told, pieces_to_tell, power_of, thinned
from ninefine.sorting.gauge import MOST_LISTED, Gauge, drawn, listed
from ninefine.sorting.oddity import How, Statistic, chi_square, likelihood_ratio, pools_of

#: A law is a law however long it takes.
slow_machine = settings(deadline=None)

expectations = st.lists(st.floats(0.01, 40), min_size=1, max_size=30)


@slow_machine
@given(expectations)
def test_pools_are_neighbours_and_hold_every_cell_once(expected: list[float]) -> None:
    assert [cell for pool in pools_of(expected) for cell in pool] == list(range(len(expected)))


@slow_machine
@given(expectations)
def test_every_pool_holds_enough_and_none_more_than_it_needs(expected: list[float]) -> None:
    pools = pools_of(expected)
    for pool in pools[:-1]:
        assert sum(expected[cell] for cell in pool) >= 5
        assert sum(expected[cell] for cell in pool[:-1]) < 5
    if sum(expected) >= 5:
        assert sum(expected[cell] for cell in pools[-1]) >= 5


def test_small_cells_are_pooled_in_order_and_the_rest_joins_the_last() -> None:
    assert pools_of([1, 2, 3, 9, 4, 0.5, 6, 2, 2]) == (range(3), range(3, 4), range(4, 9))


def test_fewer_than_five_altogether_are_one_pool() -> None:
    assert pools_of([1, 1, 1]) == (range(3),)


def test_three_cells_have_the_chance_that_the_law_of_two_degrees_gives() -> None:
    """With 2 degrees of freedom the chance of a chi-square is exp(-x / 2) in closed form."""
    tested = chi_square((30, 50, 20), (40, 40, 20))

    assert tested.value == 5.0
    assert tested.chance == pytest.approx(math.exp(-2.5), rel=1e-12)


def test_a_count_of_none_adds_nothing_to_g() -> None:
    """2 x 20 x ln 2 where 20 fall in one of two equal cells."""
    assert likelihood_ratio((20, 0), (10, 10)).value == pytest.approx(40 * math.log(2), rel=1e-12)


def test_a_figure_fitted_to_the_counts_takes_a_degree_of_freedom() -> None:
    assert chi_square((30, 50, 20), (40, 40, 20), fitted=1).freedom == 1


@pytest.mark.parametrize("test", [chi_square, likelihood_ratio])
@pytest.mark.parametrize(
    ("found", "expected"),
    [
        ((1, 2), (1, 1, 1)),
        ((3,), (3,)),
        ((0, 0), (1, 1)),
        ((-1, 2), (0.5, 0.5)),
        ((5, 5), (0, 10)),
        ((5, 5), (4, 5)),
    ],
)
def test_tables_that_cannot_be_tested_are_refused(
    test: Callable[..., Statistic], found: Sequence[int], expected: Sequence[float]
) -> None:
    with pytest.raises(RangeError):
        test(found, expected)


@pytest.mark.parametrize(("found", "shares"), [((3,), (1,)), ((0, 0), (1, 1)), ((2, -1), (1, 1)), ((1, 2), (1, 0))])
def test_what_cannot_be_tested_is_neither_listed_nor_drawn(found: Sequence[int], shares: Sequence[float]) -> None:
    with pytest.raises(RangeError):
        listed(found, shares)
    with pytest.raises(RangeError):
        drawn(found, shares)


def test_no_degree_of_freedom_left_is_refused() -> None:
    with pytest.raises(RangeError):
        chi_square((4, 6), (5, 5), fitted=1)


@pytest.mark.parametrize("found", [(3, 1, 1), (0, 5, 0), (2, 2, 1)])
def test_the_listing_is_the_sum_of_exact_chances_no_greater(found: tuple[int, ...]) -> None:
    """Every outcome of five pieces in three cells, in fractions."""
    shares = (Fraction(1, 2), Fraction(1, 3), Fraction(1, 6))
    outcomes = [cells for cells in product(range(6), repeat=3) if sum(cells) == 5]
    seen = split(found, shares)
    exact = sum((chance for cells in outcomes if (chance := split(cells, shares)) <= seen), Fraction(0))

    assert listed(found, shares).chance == pytest.approx(float(exact), rel=1e-12)
    assert listed(found, shares).trials == len(outcomes) == 21


def test_the_likeliest_outcome_is_as_odd_as_any_and_its_chance_is_one() -> None:
    assert listed((2, 2, 2), (1, 1, 1)).chance == pytest.approx(1.0, rel=1e-12)


def test_what_cannot_be_listed_is_refused_and_can_be_drawn() -> None:
    found, shares = (100, 100, 100, 100, 100), (1, 1, 1, 1, 1)
    assert math.comb(504, 4) > MOST_LISTED

    with pytest.raises(RangeError, match=r"2,656,615,626 ways"):
        listed(found, shares)
    assert drawn(found, shares).chance == 1.0


def test_too_few_bags_say_too_little() -> None:
    with pytest.raises(RangeError):
        drawn((1, 2), (0.5, 0.5), draws=99)


def test_a_drawn_chance_is_never_nought_and_says_its_seed() -> None:
    """The bag in hand counts as one of those drawn: 1 in 1,001 at the least."""
    tested = drawn((30, 0), (0.01, 0.99), draws=1000, seed=5)

    assert tested.chance == pytest.approx(1 / 1001, rel=1e-12)
    assert (tested.how, tested.trials, tested.seed) == (How.DRAWN, 1000, 5)


@pytest.mark.parametrize(
    ("shares", "pieces", "how"),
    [
        ((0.5, 0.5), 10, How.CHI_SQUARE),
        ((0.6, 0.3, 0.1), 50, How.CHI_SQUARE),
        ((0.6, 0.3, 0.1), 49, How.LISTED),
        ((0.05,) * 20, 30, How.CHI_SQUARE),
        ((0.05,) * 20, 14, How.DRAWN),
    ],
)
def test_the_rule_chooses_the_test_by_what_is_expected(shares: Sequence[float], pieces: int, how: How) -> None:
    assert Gauge(shares, pieces).how is how


def test_small_cells_are_pooled_before_chi_square() -> None:
    """Six cells in which 1, 4, 5, 5, 3, 2 are expected make three pools and a fourth joined to the last."""
    found = (2, 3, 6, 5, 4, 0)
    tested = Gauge((1, 4, 5, 5, 3, 2), 20, how=How.CHI_SQUARE).tested(found)

    assert tested.pools == (range(2), range(2, 3), range(3, 4), range(4, 6))
    assert tested.chi_square == chi_square((5, 6, 5, 4), (5, 5, 5, 5))
    assert tested.g == likelihood_ratio((5, 6, 5, 4), (5, 5, 5, 5))
    assert tested.deciding == tested.chi_square
    assert tested.freedom == 3


def test_one_pool_leaves_the_listing_alone() -> None:
    tested = Gauge((0.7, 0.2, 0.1), 4).tested((1, 2, 1))

    assert (tested.chi_square, tested.g) == (None, None)
    assert tested.deciding == listed((1, 2, 1), (0.7, 0.2, 0.1))
    assert tested.freedom == 2


def test_an_effect_is_the_root_of_chi_square_over_the_pieces() -> None:
    """A chi-square of 29 with 4 degrees of freedom over 100 pieces: w 0.539, less chance 0.5, Cohen's large."""
    effect = effect_of(29.0, 4, 100)

    assert effect.w == pytest.approx(math.sqrt(0.29), rel=1e-12)
    assert effect.less_chance == pytest.approx(0.5, rel=1e-12)
    assert effect.words == "large"


@pytest.mark.parametrize(("value", "word"), [(4, "slight"), (4.9, "slight"), (6, "small"), (14, "middling")])
def test_an_effect_has_a_word(value: float, word: str) -> None:
    assert effect_of(value, 4, 100).words == word


def test_what_shows_less_than_chance_shows_nothing() -> None:
    assert effect_of(2.0, 4, 100).less_chance == 0.0
    assert pieces_to_tell(0.0, 4) is None


def test_the_effect_between_two_mixes_by_hand() -> None:
    """0.5, 0.5 seen as 0.6, 0.4: the root of (0.01 + 0.01) / 0.5 is 0.2."""
    assert effect_between((Decimal("0.5"), Decimal("0.5")), (Decimal("0.6"), Decimal("0.4"))) == pytest.approx(0.2)


@pytest.mark.parametrize(("expected", "true"), [((0.5, 0.5), (1,)), ((0, 1), (0.5, 0.5))])
def test_mixes_that_do_not_fit_have_no_effect(expected: Sequence[float], true: Sequence[float]) -> None:
    with pytest.raises(RangeError):
        effect_between(expected, true)


def test_a_thinned_mix_sums_to_one_and_keeps_the_rest_in_proportion() -> None:
    """Half of a fifth gone: 0.1 of 0.9 is left of it."""
    shares = (Decimal("0.2"), Decimal("0.3"), Decimal("0.5"))
    left = thinned(shares, (True, False, False), Decimal("0.5"))

    assert sum(left) == pytest.approx(1)
    assert left[0] == Decimal("0.1") / Decimal("0.9")
    assert left[1] / left[2] == pytest.approx(Decimal("0.6"))
    assert left_share(shares[0], Decimal("0.5")) == pytest.approx(float(left[0]), rel=1e-15)


def test_picking_that_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError):
        thinned((Decimal(1),), (True,), Decimal("1.1"))
    with pytest.raises(RangeError, match="Nothing is left"):
        thinned((Decimal(1),), (True,), Decimal(1))
    with pytest.raises(RangeError):
        left_share(0, 0.5)


@slow_machine
@given(st.floats(0.02, 1), st.integers(1, 60))
def test_the_pieces_to_tell_are_the_fewest_with_the_power(w: float, freedom: int) -> None:
    pieces = pieces_to_tell(w, freedom)

    assert pieces is not None
    assert power_of(w, pieces, freedom) > 0.80 - 1e-7
    assert power_of(w, pieces - 1, freedom) < 0.80


@slow_machine
@given(st.integers(5, 50_000), st.integers(1, 60))
def test_the_least_that_is_told_has_the_power(pieces: int, freedom: int) -> None:
    assert power_of(least_told(pieces, freedom), pieces, freedom) == pytest.approx(0.80, abs=1e-7)


def test_where_nothing_differs_the_power_is_the_level() -> None:
    assert power_of(0.0, 500, 7) == pytest.approx(0.05, abs=1e-9)
    assert power_of(0.0, 500, 7, level=0.01) == pytest.approx(0.01, abs=1e-9)


@pytest.mark.parametrize(("freedom", "power", "level"), [(0, 0.8, 0.05), (3, 0.04, 0.05), (3, 1.0, 0.05)])
def test_a_test_that_cannot_be_is_refused(freedom: int, power: float, level: float) -> None:
    with pytest.raises(RangeError):
        pieces_to_tell(0.3, freedom, power=power, level=level)


def test_all_gone_is_caught_as_soon_as_none_is_odd() -> None:
    """With everything gone a bag finds none for certain, so the fewest pieces are those with a 95% chance of one."""
    share = Decimal("0.0437")

    assert pieces_to_catch(share, 1) == pieces_until(share, Decimal("0.95")) == 68
    assert power_to_catch(share, 1, 67) == 0.0
    assert power_to_catch(share, 1, 68) == 1.0


@slow_machine
@given(st.floats(0.01, 0.6), st.floats(0.2, 1))
def test_the_pieces_to_catch_have_the_power_and_no_fewer_do(share: float, gone: float) -> None:
    pieces = pieces_to_catch(share, gone)

    assert pieces is not None
    assert power_to_catch(share, gone, pieces) >= 0.80
    assert all(power_to_catch(share, gone, fewer) < 0.80 for fewer in range(max(1, pieces - 200), pieces))


@slow_machine
@given(st.floats(0.001, 0.9), st.integers(1, 5000))
def test_the_part_gone_that_is_told_has_the_power(share: float, pieces: int) -> None:
    gone = gone_to_tell(share, pieces)
    if gone is None:
        assert odd_count(share, pieces) is None
        assert (1 - share) ** pieces >= 0.05 * (1 - 1e-9)
    else:
        assert power_to_catch(share, gone, pieces) >= 0.80
        assert power_to_catch(share, max(0.0, gone - 1e-6), pieces) < 0.80


def test_too_slight_a_thinning_is_told_by_no_bag() -> None:
    assert pieces_to_catch(0.001, 0.001) is None
    assert pieces_to_tell(1e-6, 3) is None
