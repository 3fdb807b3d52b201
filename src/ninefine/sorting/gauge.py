"""A test made ready for one expectation and one number of pieces: by chi-square, by every outcome, or by drawn bags.

The rule, by what is expected in the cells:

1. where no cell is small, chi-square over the cells;
2. else, where every outcome can be listed, the exact test over the cells: the chance of any outcome no likelier than
   the one found;
3. else, where three pools or more are left, chi-square over the pools;
4. else the exact test's chance by bags drawn at random, with its standard error and the seed.

G is reckoned beside every chi-square: where the two part, the counts are too small for either.
"""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ninefine.errors import RangeError
from ninefine.sorting.oddity import How, Number, Statistic, Tested, by_chi_square, check_table, pools_of

if TYPE_CHECKING:
    from ninefine.sorting.arrays import Counts, Floats, NoLikelier

#: The fewest pools that chi-square is trusted to speak for.
FEWEST_POOLS = 3
#: The most outcomes that are listed one by one.
MOST_LISTED = 50_000
#: Bags drawn where outcomes cannot be listed, and the seed that makes the answer come out the same again.
DRAWS = 4_000
SEED = 90


def listed(found: Sequence[int], shares: Sequence[Number]) -> Statistic:
    """The exact multinomial test: the chance of any outcome no likelier than the one found, every outcome listed.

    Raises:
        RangeError: lists that do not fit each other, or more outcomes than are listed.
    """
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: numpy and scipy, loaded when a chance is asked for

    check_table(found, shares)
    count = arrays.outcomes(sum(found), len(found))
    if count > MOST_LISTED:
        raise RangeError(
            f"{sum(found)} pieces fall into {len(found)} cells in {count:,} ways.",
            expected=f"At most {MOST_LISTED:,} are listed; bags can be drawn at random instead.",
        )
    return Gauge(shares, sum(found), how=How.LISTED).statistic(found)


def drawn(found: Sequence[int], shares: Sequence[Number], *, draws: int = DRAWS, seed: int = SEED) -> Statistic:
    """The exact test's chance by bags drawn at random, with its standard error.

    Raises:
        RangeError: lists that do not fit each other, or fewer than 100 bags.
    """
    check_table(found, shares)
    if draws < 100:
        raise RangeError(f"{draws} bags say too little.", expected="Draw 100 or more.")
    return Gauge(shares, sum(found), how=How.DRAWN, draws=draws, seed=seed).statistic(found)


class Gauge:
    """The test of one expectation and one number of pieces, made ready to take any number of tables.

    Args:
        shares: of each cell; scaled to sum to one.
        pieces: of each table; above zero.
        how: the reckoning; none for the one that the rule of this module chooses.
        draws, seed: where bags are drawn.
    """

    def __init__(
        self,
        shares: Sequence[Number],
        pieces: int,
        *,
        how: How | None = None,
        draws: int = DRAWS,
        seed: int = SEED,
    ) -> None:
        from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

        self._arrays = arrays
        self.shares: Floats = arrays.as_shares(shares)
        self.pieces = pieces
        self.draws, self.seed = draws, seed
        expected = self.shares * pieces
        self.pools = pools_of(expected.tolist())
        self._starts = [pool.start for pool in self.pools]
        self._pooled: Floats = arrays.pooled(expected, self._starts)
        self.how = how or self._chosen()
        self._stock: NoLikelier | None = self._stocked()

    def _chosen(self) -> How:
        cells, pools = len(self.shares), len(self.pools)
        if cells == pools > 1:
            return How.CHI_SQUARE
        if self._arrays.outcomes(self.pieces, cells) <= MOST_LISTED:
            return How.LISTED
        return How.CHI_SQUARE if pools >= FEWEST_POOLS else How.DRAWN

    def _stocked(self) -> "NoLikelier | None":
        if self.how is How.LISTED:
            tables = self._arrays.every_outcome(self.pieces, len(self.shares))
        elif self.how is How.DRAWN:
            tables = self._arrays.fair_tables(self.shares, self.pieces, draws=self.draws, seed=self.seed)
        else:
            return None
        return self._arrays.NoLikelier(self._arrays.log_chances(tables, self.shares), drawn=self.how is How.DRAWN)

    def chances(self, tables: "Counts") -> "Floats":
        """The chance of each row of a table of counts."""
        if self._stock is not None:
            return self._stock.chances(self._arrays.log_chances(tables, self.shares))
        values = self._arrays.chi_squares(self._arrays.pooled(tables, self._starts), self._pooled)
        return self._arrays.chi_square_above(values, len(self.pools) - 1)

    def statistic(self, found: Sequence[int]) -> Statistic:
        """The deciding test of one table."""
        if self._stock is None:
            return self._over_pools(How.CHI_SQUARE, found)
        chance = float(self.chances(self._arrays.as_table(found))[0])
        if self.how is How.LISTED:
            return Statistic(how=How.LISTED, chance=chance, trials=self._stock.size)
        error = math.sqrt(chance * (1 - chance) / self.draws)
        return Statistic(how=How.DRAWN, chance=chance, trials=self.draws, error=error, seed=self.seed)

    def tested(self, found: Sequence[int]) -> Tested:
        """One table, with chi-square and G beside the deciding test."""
        many = len(self.pools) > 1
        return Tested(
            deciding=self.statistic(found),
            chi_square=self._over_pools(How.CHI_SQUARE, found) if many else None,
            g=self._over_pools(How.G, found) if many else None,
            pools=self.pools,
            cells=len(self.shares),
        )

    def _over_pools(self, how: How, found: Sequence[int]) -> Statistic:
        counts = [sum(found[place] for place in pool) for pool in self.pools]
        return by_chi_square(how, counts, self._pooled.tolist(), 0)
