"""The only module of this part that needs numpy and scipy: one call of scipy's `milp` (HiGHS), in floating point.

Others import it when a plan is first asked for, so that a command which plans nothing starts at once.
"""

import ctypes
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from math import isfinite
from threading import Lock

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from ninefine.plan.model import Model, Row

#: One call at a time, for the terminal is turned away while it works.
_SILENCE = Lock()


class Ended(Enum):
    """How a call ended."""

    OPTIMAL = 0
    TIME = 1
    INFEASIBLE = 2
    UNBOUNDED = 3
    OTHER = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """What a call came to: whole numbers rounded from its answer, and its bound on the aim, where there are any."""

    ended: Ended
    values: tuple[int, ...] | None
    bound: float | None


def call(model: Model, least: Mapping[int, float], seconds: float, *, presolve: bool = True, near: float = 0) -> Call:
    """Make a sum as small as the model lets it be, within some seconds, with no gap left on purpose but for `near`."""
    count = len(model.unknowns)
    costs = np.zeros(count)
    for at, factor in least.items():
        costs[at] = factor
    low = np.array([one.low for one in model.unknowns], dtype=float)
    high = np.array([one.high for one in model.unknowns], dtype=float)
    rows = _rows(model, count)
    with _quiet():
        found = milp(
            costs,
            integrality=np.array([0 if one.follows else 1 for one in model.unknowns]),
            bounds=Bounds(low, high),
            constraints=rows,
            options={"mip_rel_gap": near, "time_limit": seconds, "presolve": presolve},
        )
    values = None if found.x is None else tuple(int(value) for value in np.rint(found.x))
    bound = found.mip_dual_bound
    known = bound is not None and isfinite(bound)
    return Call(ended=Ended(found.status), values=values, bound=float(bound) if known else None)


@contextmanager
def _quiet() -> Iterator[None]:
    """Nothing is printed: now and then HiGHS 1.12 writes a line of its own workings to the terminal, asked or not."""
    with _SILENCE:
        if sys.stdout is not None:
            sys.stdout.flush()
        kept = os.dup(1)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        try:
            os.dup2(nowhere, 1)
            yield
        finally:
            if os.name == "posix":
                ctypes.CDLL(None).fflush(None)  # what C has not written yet goes nowhere too
            os.dup2(kept, 1)
            os.close(kept)
            os.close(nowhere)


def _rows(model: Model, count: int) -> Sequence[LinearConstraint]:
    if not model.rows:
        return []
    where: list[int] = []
    which: list[int] = []
    factors: list[float] = []
    shrink = [_shrink(row) for row in model.rows]
    for line, row in enumerate(model.rows):
        for at, factor in row.terms.items():
            where.append(line)
            which.append(at)
            factors.append(factor * shrink[line])
    table = csr_array((factors, (where, which)), shape=(len(model.rows), count))
    least = [-np.inf if row.least is None else row.least * by for row, by in zip(model.rows, shrink, strict=True)]
    most = [np.inf if row.most is None else row.most * by for row, by in zip(model.rows, shrink, strict=True)]
    return [LinearConstraint(table, np.array(least), np.array(most))]


def _shrink(row: Row) -> float:
    """Floating point keeps a row of large numbers best when its largest is brought down to a thousand."""
    largest = max(map(abs, row.terms.values()), default=1)
    return 1000 / largest if largest > 1000 else 1.0
