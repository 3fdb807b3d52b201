"""How odd a table of counts is: chi-square and G, with small cells pooled, and what a test of a table answers.

A cell in which fewer than 5 are expected is pooled with its neighbours in order: cells are taken from the first on
until 5 are expected, which closes a pool; a rest at the end joins the last pool. Pools depend on what is expected,
never on what was found.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.errors import RangeError

#: The least that may be expected in a cell or pool for chi-square (common practice of the textbooks).
LEAST = 5

Number = Decimal | Fraction | float | int


class How(StrEnum):
    """By which reckoning a chance came about."""

    CHI_SQUARE = "chi-square"
    G = "G"
    LISTED = "every outcome listed"
    DRAWN = "bags drawn at random"


@dataclass(frozen=True, slots=True, kw_only=True)
class Statistic:
    """One test of one table.

    Attributes:
        how: by which reckoning.
        chance: of a table as odd or odder, if the expectation holds.
        value, freedom: of chi-square and G; none for the others.
        trials: outcomes listed or bags drawn.
        error: the standard error of a drawn chance; 0 where it is reckoned.
        seed: of the drawing.
    """

    how: How
    chance: float
    value: float | None = None
    freedom: int | None = None
    trials: int = 0
    error: float = 0.0
    seed: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tested:
    """A table tested by the rule of this module.

    Attributes:
        deciding: the test that the rule chose; its chance is the table's.
        chi_square, g: over the pools; none where there are not two.
        pools: the cells of each pool, as places in the table.
        cells: how many cells the table has.
    """

    deciding: Statistic
    chi_square: Statistic | None
    g: Statistic | None
    pools: tuple[range, ...]
    cells: int

    @property
    def chance(self) -> float:
        """Of a table as odd or odder, if the expectation holds."""
        return self.deciding.chance

    @property
    def freedom(self) -> int:
        """Degrees of freedom of the deciding test: one less than its cells or pools."""
        return self.deciding.freedom if self.deciding.freedom is not None else self.cells - 1


def pools_of(expected: Sequence[Number], *, least: Number = LEAST) -> tuple[range, ...]:
    """Neighbouring cells pooled in order until so many are expected; a rest joins the last pool."""
    ends: list[int] = []
    open_sum = 0.0
    for place, value in enumerate(expected):
        open_sum += float(value)
        if open_sum >= least:
            ends.append(place + 1)
            open_sum = 0.0
    ends = [*ends[:-1], len(expected)] if ends else [len(expected)]
    return tuple(range(start, end) for start, end in zip([0, *ends[:-1]], ends, strict=True))


def chi_square(found: Sequence[int], expected: Sequence[Number], *, fitted: int = 0) -> Statistic:
    """Pearson's chi-square of counts against expectations, no cell pooled.

    Args:
        found: pieces of each cell.
        expected: pieces of each cell; the sums must agree.
        fitted: how many figures of the expectation were fitted to the counts; each takes a degree of freedom.

    Raises:
        RangeError: lists that do not fit each other, or no degree of freedom left.
    """
    return by_chi_square(How.CHI_SQUARE, found, expected, fitted)


def likelihood_ratio(found: Sequence[int], expected: Sequence[Number], *, fitted: int = 0) -> Statistic:
    """G, the likelihood-ratio test of counts against expectations, no cell pooled.

    Args:
        found: pieces of each cell.
        expected: pieces of each cell; the sums must agree.
        fitted: as of chi-square.

    Raises:
        RangeError: lists that do not fit each other, or no degree of freedom left.
    """
    return by_chi_square(How.G, found, expected, fitted)


def by_chi_square(how: How, found: Sequence[int], expected: Sequence[Number], fitted: int) -> Statistic:
    """Chi-square or G, as named, with its chance from the chi-square law."""
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

    check_table(found, expected)
    total = float(sum(float(value) for value in expected))
    if abs(total - sum(found)) > 1e-6 * max(total, 1.0):
        raise RangeError(
            f"{sum(found)} were found and {total:g} expected.", expected="Expectations must sum to what was found."
        )
    freedom = len(found) - 1 - fitted
    if freedom < 1:
        raise RangeError(f"{len(found)} cells leave nothing to test.", expected="Give two cells or more.")
    table, reckoned = arrays.as_table(found), arrays.as_shares(expected) * sum(found)
    values = (arrays.chi_squares if how is How.CHI_SQUARE else arrays.likelihood_ratios)(table, reckoned)
    chance = float(arrays.chi_square_above(values, freedom)[0])
    return Statistic(how=how, chance=chance, value=float(values[0]), freedom=freedom)


def check_table(found: Sequence[int], expected: Sequence[Number]) -> None:
    """Refuse counts and expectations, or shares, that no test can take.

    Raises:
        RangeError: lists of unequal length or of one cell, no pieces, or a cell in which none can be expected.
    """
    if len(found) != len(expected) or len(found) < 2:
        raise RangeError("The cells do not fit each other.", expected="Give two cells or more, each with both figures.")
    if min(found) < 0 or not sum(found):
        raise RangeError("There is nothing to test.", expected="Counts from zero up, and one piece at least.")
    if min(float(value) for value in expected) <= 0:
        raise RangeError("A cell in which nothing can be expected.", expected="Every cell needs a share above zero.")
