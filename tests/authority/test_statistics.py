"""The statistics of sorting against published worked cases, and against scipy's own tests.

Each published case names its source. "From memory" means that the printed page was not read for this test; the
figures were recomputed with scipy 1.17.1 and agree. scipy.stats is an outside reference here: the program itself takes
from scipy only the functions behind the chi-square, binomial and gamma laws.
"""

import random
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from scipy import stats

from ninefine.sorting.chances import drawn as drawn_without_return
from ninefine.sorting.chances import drawn_at_most, hand, none_of, none_when_expected, split
from ninefine.sorting.effect import effect_between, pieces_to_tell, power_of
from ninefine.sorting.gauge import drawn, listed
from ninefine.sorting.oddity import chi_square, likelihood_ratio

#: Half a unit of the last place that a source prints.
FOUR_PLACES, THREE_PLACES, TWO_PLACES = 5e-5, 5e-4, 5e-3
EXACT = 1e-12


# Mendel's peas, round or wrinkled, yellow or green, against 9:3:3:1. Data read in two textbook pages; 0.470 is the
# chi-square commonly printed (from memory).
MENDEL = (315, 108, 101, 32)
NINE_THREE = [556 * part / 16 for part in (9, 3, 3, 1)]


def test_mendels_peas_by_chi_square() -> None:
    """0.4700 with 3 degrees of freedom, p 0.9254."""
    tested = chi_square(MENDEL, NINE_THREE)

    assert tested.value == pytest.approx(0.4700, abs=FOUR_PLACES)
    assert tested.freedom == 3
    assert tested.chance == pytest.approx(0.9254, abs=FOUR_PLACES)


def test_mendels_peas_by_g() -> None:
    """0.4754, p 0.9243: the registry's figures of scipy.stats.power_divergence."""
    tested = likelihood_ratio(MENDEL, NINE_THREE)

    assert tested.value == pytest.approx(0.4754452389982333, rel=EXACT)
    assert tested.chance == pytest.approx(0.9242519039745325, rel=EXACT)


def test_six_equal_cells() -> None:
    """SciPy's documentation of chisquare: 16, 18, 16, 14, 12, 12 give 2.0 and p 0.84914503608 (from memory)."""
    tested = chi_square((16, 18, 16, 14, 12, 12), [88 / 6] * 6)

    assert tested.value == pytest.approx(2.0, rel=EXACT)
    assert tested.chance == pytest.approx(0.84914503608, abs=1e-11)


def test_right_and_left_bills() -> None:
    """McDonald, Handbook of Biological Statistics, G-test: 1752 and 1895, 1:1, G 5.61, p 0.018 (from memory)."""
    tested = likelihood_ratio((1752, 1895), [1823.5] * 2)

    assert tested.value == pytest.approx(5.61, abs=TWO_PLACES)
    assert tested.chance == pytest.approx(0.018, abs=THREE_PLACES)
    assert chi_square((1752, 1895), [1823.5] * 2).value == pytest.approx(5.607, abs=THREE_PLACES)


def test_three_to_one() -> None:
    """The same book: 770 and 230 against 3:1, chi-square 2.13, p 0.144; G 2.173, p 0.140 (from memory)."""
    by_chi_square, by_g = chi_square((770, 230), (750, 250)), likelihood_ratio((770, 230), (750, 250))

    assert by_chi_square.value == pytest.approx(2.13, abs=TWO_PLACES)
    assert by_chi_square.chance == pytest.approx(0.144, abs=THREE_PLACES)
    assert by_g.value == pytest.approx(2.173, abs=THREE_PLACES)
    assert by_g.chance == pytest.approx(0.140, abs=THREE_PLACES)


def test_two_of_ten_exactly() -> None:
    """The same book, exact test: 2 of 10 at one half, two-sided 0.109375 (from memory)."""
    assert listed((2, 8), (0.5, 0.5)).chance == pytest.approx(0.109375, rel=EXACT)


def test_thirty_balls() -> None:
    """A worked answer on a mathematics page (read): 30 balls of which 10 are red, 4 drawn."""
    none_red = drawn_without_return(30, 10, 4, 0)
    two_blue = [hand((10, 10, 10), (red, 2, 2 - red)) for red in (1, 2)]

    assert none_red == Fraction(323, 1827)
    assert float(none_red) == pytest.approx(0.176793, abs=5e-7)
    assert float(sum(two_blue)) == pytest.approx(0.238095, abs=5e-7)
    assert float(sum(two_blue) / (1 - none_red)) == pytest.approx(0.289229, abs=5e-7)


@pytest.mark.parametrize(("red", "printed"), [(0, 0.071), (1, 0.354), (2, 0.424), (3, 0.141), (4, 0.010)])
def test_twelve_balls(red: int, printed: float) -> None:
    """A worked homework answer (read): 12 balls, 4 red, 5 drawn."""
    assert float(drawn_without_return(12, 4, 5, red)) == pytest.approx(printed, abs=THREE_PLACES)


def test_fifty_with_five_marked() -> None:
    """Encyclopaedia article on the hypergeometric law (from memory, and scipy): 10 of 50 drawn, 5 marked."""
    assert float(drawn_without_return(50, 5, 10, 4)) == pytest.approx(0.003964583058, rel=1e-9)
    assert float(drawn_without_return(50, 5, 10, 5)) == pytest.approx(0.000118937492, rel=1e-8)


def test_a_multinomial_chance_in_fractions() -> None:
    """(5, 3, 2) at 1/2, 3/10, 1/5 is 1701/20000, worked out in fractions; scipy agrees."""
    chance = split((5, 3, 2), (Fraction(1, 2), Fraction(3, 10), Fraction(1, 5)))

    assert chance == Fraction(1701, 20000)
    assert float(chance) == pytest.approx(float(stats.multinomial.pmf((5, 3, 2), 10, (0.5, 0.3, 0.2))), rel=1e-10)


def test_the_exact_test_by_full_listing() -> None:
    """(1, 2, 7) at equal shares: 611/6561, the sum of all outcomes no likelier, worked out by listing all 66."""
    tested = listed((1, 2, 7), (Fraction(1, 3),) * 3)

    assert tested.chance == pytest.approx(611 / 6561, rel=EXACT)
    assert tested.trials == 66


def random_tables() -> list[tuple[list[int], list[float]]]:
    """Fifty tables of 2 to 12 cells, their expectations 5 or more and summing to what was found."""
    chance = random.Random(1927)
    tables: list[tuple[list[int], list[float]]] = []
    while len(tables) < 50:
        parts = [chance.uniform(0.3, 1) for _ in range(chance.randint(2, 12))]
        pieces = chance.randint(200, 2000)
        expected = [pieces * part / sum(parts) for part in parts]
        drawn_cells = chance.choices(range(len(parts)), weights=parts, k=pieces)
        found = [drawn_cells.count(cell) for cell in range(len(parts))]
        if min(expected) >= 5:
            tables.append((found, expected))
    return tables


@pytest.mark.parametrize(("found", "expected"), random_tables())
def test_chi_square_and_g_are_scipys(found: Sequence[int], expected: Sequence[float]) -> None:
    """Against scipy.stats.chisquare and power_divergence, fifty random tables."""
    for ours, theirs in (
        (chi_square(found, expected), stats.chisquare(found, expected)),
        (likelihood_ratio(found, expected), stats.power_divergence(found, expected, lambda_="log-likelihood")),
    ):
        assert ours.value == pytest.approx(float(theirs.statistic), rel=1e-9)
        assert ours.chance == pytest.approx(float(theirs.pvalue), rel=1e-8)


def test_the_exact_test_of_two_cells_is_scipys_binomial_test() -> None:
    """Against scipy.stats.binomtest, every count of 17 at an uneven share."""
    for count in range(18):
        ours = listed((count, 17 - count), (Decimal("0.28"), Decimal("0.72"))).chance

        assert ours == pytest.approx(float(stats.binomtest(count, 17, 0.28).pvalue), rel=1e-10)


@pytest.mark.parametrize(
    ("found", "shares"),
    [
        ((1, 2, 7), (1, 1, 1)),
        ((4, 0, 1, 3), (0.4, 0.3, 0.2, 0.1)),
        ((9, 3, 0, 0, 2), (0.3, 0.3, 0.2, 0.1, 0.1)),
        ((0, 5, 1, 1), (0.55, 0.15, 0.15, 0.15)),
        ((20, 6, 2), (0.6, 0.25, 0.15)),
    ],
)
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_drawn_chance_lies_within_its_error_of_the_exact(
    found: Sequence[int], shares: Sequence[float], seed: int
) -> None:
    """Within three of the standard errors that it states; a right error is passed 3 times in 1,000."""
    exact, by_drawing = listed(found, shares), drawn(found, shares, draws=20_000, seed=seed)

    assert 0 < by_drawing.error < 0.004
    assert abs(by_drawing.chance - exact.chance) < 3 * by_drawing.error
    assert by_drawing == drawn(found, shares, draws=20_000, seed=seed)


@pytest.mark.parametrize(("bag", "marked", "draw"), [(50, 1, 10), (500, 12, 60), (2500, 40, 200), (10_000, 3, 5_000)])
def test_draws_without_return_are_scipys(bag: int, marked: int, draw: int) -> None:
    """Against scipy.stats.hypergeom, one by one and summed."""
    reference = stats.hypergeom(bag, marked, draw)
    for found in range(min(marked, draw) + 1):
        assert float(drawn_without_return(bag, marked, draw, found)) == pytest.approx(
            float(reference.pmf(found)), rel=1e-8
        )
    assert float(drawn_at_most(bag, marked, draw, 2)) == pytest.approx(float(reference.cdf(2)), rel=1e-9)


@pytest.mark.parametrize(("expected", "chance"), [(1, 0.3679), (2, 0.1353), (3, 0.0498), (4.6, 0.0101)])
def test_none_where_some_were_expected(expected: float, chance: float) -> None:
    """As any table of exponentials has e to the minus m; scipy's Poisson law at zero agrees."""
    assert none_when_expected(expected) == pytest.approx(chance, abs=FOUR_PLACES)
    assert none_when_expected(expected) == pytest.approx(float(stats.poisson.pmf(0, expected)), rel=EXACT)


@pytest.mark.parametrize(("share", "pieces"), [("0.0000264", 2500), ("0.003", 1000), ("0.5", 7), ("0", 40), ("1", 3)])
def test_none_among_pieces_is_scipys_binomial_law(share: str, pieces: int) -> None:
    """(1 - p) to the power n, against scipy.stats.binom."""
    assert none_of(Decimal(share), pieces) == pytest.approx(float(stats.binom.pmf(0, pieces, float(share))), rel=1e-10)


def test_the_power_of_chi_square_as_printed_in_a_manual() -> None:
    """The manual of a power library prints w 0.2558646, N 200, 3 df, level 0.05: power 0.8733222 (read).

    The two-way table whose w that is has shares (.225 .125 .125 .125) over (.16 .16 .04 .04); the products of its
    margins are what is expected.
    """
    rows = ((0.225, 0.125, 0.125, 0.125), (0.16, 0.16, 0.04, 0.04))
    columns = [upper + lower for upper, lower in zip(*rows, strict=True)]
    expected = [sum(row) * column for row in rows for column in columns]

    w = effect_between(expected, [share for row in rows for share in row])

    assert w == pytest.approx(0.2558646, abs=5e-8)
    assert power_of(w, 200, 3) == pytest.approx(0.8733222, abs=5e-7)


@pytest.mark.parametrize(
    ("w", "freedom", "pieces"),
    [(0.1, 1, 785), (0.1, 2, 964), (0.1, 3, 1090), (0.1, 4, 1194), (0.3, 2, 107), (0.3, 3, 121), (0.3, 4, 133)],
)
def test_pieces_to_tell_as_cohen_tables_them(w: float, freedom: int, pieces: int) -> None:
    """J. Cohen, A Power Primer (Psychological Bulletin 112, 1992), table 2, level .05, power .80 (from memory).

    The table rounds to the nearest; here it is rounded up, so the two may differ by one.
    """
    told = pieces_to_tell(w, freedom)

    assert told is not None
    assert told - pieces in {0, 1}


@pytest.mark.parametrize(("w", "pieces", "freedom"), [(0.05, 4000, 47), (0.3, 60, 1), (0.29, 100, 3), (0.8, 20, 6)])
def test_power_is_scipys_noncentral_chi_square(w: float, pieces: int, freedom: int) -> None:
    """Against scipy.stats.ncx2 and chi2."""
    point = stats.chi2.isf(0.05, freedom)

    assert power_of(w, pieces, freedom) == pytest.approx(float(stats.ncx2.sf(point, freedom, pieces * w * w)), rel=1e-7)
