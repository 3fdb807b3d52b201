"""Chances of many tables of counts at once.

The only module of this part that needs numpy and scipy. Others import it when they are first asked, so that a command
that reckons no chance does not wait for it.
"""

import math
from collections.abc import Sequence
from itertools import chain, combinations
from typing import TypeVar

import numpy as np
import numpy.typing as npt
from scipy import special

Floats = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
_Numbers = TypeVar("_Numbers", Floats, Counts)

#: Two chances this near, as logarithms, are the same chance; sums of a few hundred terms agree far closer.
TIE = 1e-9


def chi_square_above(value: Floats | float, freedom: int) -> Floats:
    """The chance of a chi-square of so many degrees of freedom at or above a value."""
    return np.asarray(special.chdtrc(freedom, value), dtype=np.float64)


def chi_square_at(chance: float, freedom: int) -> float:
    """The chi-square that is passed with a chance."""
    return float(special.chdtri(freedom, chance))


def noncentral_above(value: float, freedom: int, noncentrality: float) -> float:
    """The chance of a noncentral chi-square above a value."""
    return 1.0 - float(special.chndtr(value, freedom, noncentrality))


def at_most(found: Counts | int, pieces: int, share: float) -> Floats:
    """The chance of so many or fewer among so many pieces (binomial)."""
    return np.asarray(special.bdtr(np.asarray(found, dtype=np.float64), pieces, share), dtype=np.float64)


def at_least(found: Counts | int, pieces: int, share: float) -> Floats:
    """The chance of so many or more among so many pieces (binomial)."""
    fewer = np.asarray(found, dtype=np.float64) - 1
    above = special.bdtrc(np.maximum(fewer, 0.0), pieces, share)
    return np.where(fewer < 0, 1.0, np.asarray(above, dtype=np.float64))


def chi_squares(tables: Counts, expected: Floats) -> Floats:
    """The chi-square of each row of a table of counts."""
    return np.asarray(((tables - expected) ** 2 / expected).sum(axis=1), dtype=np.float64)


def likelihood_ratios(tables: Counts, expected: Floats) -> Floats:
    """The G of each row: twice the sum of found times ln(found / expected); a count of none adds nothing."""
    return np.asarray(2.0 * special.xlogy(tables, tables / expected).sum(axis=1), dtype=np.float64)


def log_chances(tables: Counts, shares: Floats) -> Floats:
    """The logarithm of the chance of each row, drawn with such shares (multinomial)."""
    ways = special.gammaln(tables.sum(axis=1) + 1.0) - special.gammaln(tables + 1.0).sum(axis=1)
    return np.asarray(ways + special.xlogy(tables, shares).sum(axis=1), dtype=np.float64)


def outcomes(pieces: int, cells: int) -> int:
    """In how many ways pieces can fall into cells."""
    return math.comb(pieces + cells - 1, cells - 1)


def every_outcome(pieces: int, cells: int) -> Counts:
    """Every way in which pieces can fall into two cells or more, a row each."""
    places = combinations(range(pieces + cells - 1), cells - 1)
    flat = np.fromiter(chain.from_iterable(places), dtype=np.int64)
    bars = flat.reshape(-1, cells - 1)
    edges = np.full((len(bars), 1), -1), bars, np.full((len(bars), 1), pieces + cells - 1)
    return np.asarray(np.diff(np.concatenate(edges, axis=1), axis=1) - 1, dtype=np.int64)


def fair_tables(shares: Floats, pieces: int, *, draws: int, seed: int) -> Counts:
    """Counts of so many fair bags, a row each."""
    return np.asarray(np.random.default_rng(seed).multinomial(pieces, shares, size=draws), dtype=np.int64)


def as_table(found: Sequence[int]) -> Counts:
    """One row of counts."""
    return np.asarray([found], dtype=np.int64)


def pooled(values: _Numbers, starts: Sequence[int]) -> _Numbers:
    """Neighbouring cells added together along the last axis, each pool from its start to the next."""
    return np.asarray(np.add.reduceat(values, starts, axis=-1), dtype=values.dtype)


def as_shares(values: Sequence[object]) -> Floats:
    """Shares or expectations as floats that sum to one."""
    read = np.array([float(value) for value in values])  # type: ignore[arg-type]
    return np.asarray(read / read.sum(), dtype=np.float64)


def together(tables: Counts, groups: Sequence[Sequence[int]]) -> Counts:
    """The columns of each group added together, a column for each group."""
    return np.stack([added(tables, cells) for cells in groups], axis=1)


def added(tables: Counts, cells: Sequence[int]) -> Counts:
    """Some columns of each row added together."""
    return np.asarray(tables[:, list(cells)].sum(axis=1), dtype=np.int64)


def smallest(chances: Sequence[Floats], rows: int) -> Floats:
    """The smallest of several chances of each row; 1 where there are none."""
    return np.asarray(np.min([np.ones(rows), *chances], axis=0), dtype=np.float64)


def rising(values: Floats) -> Floats:
    """Values in rising order."""
    return np.sort(values)


def part_up_to(drawn: Floats, values: Floats) -> Floats:
    """The part of drawn values, in rising order, that do not pass each value; the value itself counts as drawn."""
    places = np.searchsorted(drawn, values * (1 + TIE), side="right")
    return np.asarray((places + 1.0) / (len(drawn) + 1.0), dtype=np.float64)


class NoLikelier:
    """The chance of an outcome no likelier than the one found, against a stock of outcomes.

    Args:
        logs: the logarithms of the chances of the stock's outcomes.
        drawn: whether the stock was drawn at random; else it is every outcome there is.
    """

    def __init__(self, logs: Floats, *, drawn: bool) -> None:
        self._logs = np.sort(logs)
        self._drawn = drawn
        self._below = np.concatenate(([0.0], np.cumsum(np.exp(self._logs))))

    @property
    def size(self) -> int:
        """How many outcomes the stock holds."""
        return len(self._logs)

    def chances(self, logs: Floats) -> Floats:
        """The chance for each of some outcomes; of a drawn stock, the found one counts as drawn too."""
        places = np.searchsorted(self._logs, logs + TIE, side="right")
        if self._drawn:
            return np.asarray((places + 1.0) / (len(self._logs) + 1.0), dtype=np.float64)
        return np.minimum(self._below[places], 1.0)
