"""The one door to the solver: the best whole numbers for a model, with proof or a bound, checked in exact arithmetic.

The solver (HiGHS, through scipy) works in floating point. So nothing it says is taken on trust: its numbers are rounded
and every row is checked in whole numbers, a proof is gone through a second time with nothing made simpler beforehand,
and a caller may hand in a judge that works the answer out by other means.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from math import floor, gcd, lcm
from time import monotonic

from ninefine.plan.model import Aim, Model, Values

#: Looks at whole numbers and says whether they stand. If not, it must have added to the model what rules them out (a
#: row, or unknowns that say exactly what was only said roughly); then the search goes on. `settling`: yes while the
#: second aim is sought.
Judge = Callable[[Values, bool], bool]

#: The first slice of a search that somebody watches, in seconds; each next one is twice as long.
FIRST_SLICE = 1.0
#: A bound in floating point is known to about this part of itself.
_GRAIN = Fraction(1, 10**9)


class Proof(StrEnum):
    """How far an answer is proven."""

    PROVEN = "proven best"
    SO_FAR = "best so far"
    NONE = "nothing fits"
    NOT_FOUND = "nothing found in the time"


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a search has come: the best so far, no answer can be better than the bound."""

    value: Fraction | None
    bound: Fraction | None
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long a search may take (seconds), who hears of its progress, and who may end it.

    The solver cannot be asked while it works. So a search that somebody watches runs in slices, each twice as long as
    the one before: `told` hears after each, and `stop`, asked after each, ends it with the best so far by saying yes.
    With `near`, an answer within that part of its bound is enough; it is then best so far, not proven.
    """

    seconds: float = 30
    told: Callable[[Progress], None] | None = None
    stop: Callable[[], bool] | None = None
    near: float = 0

    @property
    def watched(self) -> bool:
        """Whether the search runs in slices."""
        return self.told is not None or self.stop is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a search came to.

    Attributes:
        proof: proven best, best so far, or nothing.
        values: a whole number for each unknown; none where nothing was found.
        value: what the aim comes to, exactly.
        bound: no answer is better than this; equal to `value` where it is proven.
        settled: among equals, the second aim was carried to its end too.
        turned_down: how many times the judge sent the solver back.
        seconds: how long it took.
    """

    proof: Proof
    values: tuple[int, ...] | None = None
    value: Fraction | None = None
    bound: Fraction | None = None
    settled: bool = True
    turned_down: int = 0
    seconds: float = 0

    @property
    def gap(self) -> Fraction | None:
        """How far the bound lies from the answer, in what the aim counts; zero where it is proven."""
        return None if self.value is None or self.bound is None else abs(self.bound - self.value)


@dataclass(kw_only=True)
class _Search:
    """One search for one aim, slice by slice. `as_they_are`: rows go to the solver with nothing made simpler first."""

    model: Model
    aim: Aim
    judge: Judge | None
    settling: bool
    patience: Patience
    until: float
    began: float = field(default_factory=monotonic)
    best: tuple[int, ...] | None = None
    bound: Fraction | None = None
    turned_down: int = 0
    as_they_are: bool = False

    def better(self, values: Values) -> bool:
        if self.best is None:
            return True
        new, old = self.aim.of(values), self.aim.of(self.best)
        return new > old if self.aim.up else new < old


def solve(
    model: Model, aim: Aim, then: Aim | None = None, *, judge: Judge | None = None, patience: Patience | None = None
) -> Answer:
    """Find the best whole numbers for an aim; among equals, the best for a second aim, so that an answer repeats.

    Args:
        model: unknowns and rows; a judge may add to it, and nothing else is left in it afterwards.
        aim: what is to be most or least.
        then: what is to be most or least among answers that are equal by `aim`.
        judge: looks at each answer before it counts.
        patience: how long it may take, and who watches; thirty seconds and nobody, where not given.
    """
    waits = patience or Patience()
    began = monotonic()
    until = began + waits.seconds
    found = _run(_Search(model=model, aim=aim, judge=judge, settling=False, patience=waits, until=until))
    if found.proof is not Proof.PROVEN or then is None or found.values is None or found.value is None:
        return replace(found, seconds=monotonic() - began)
    with _held(model, aim, found.value):
        second = _run(_Search(model=model, aim=then, judge=judge, settling=True, patience=waits, until=until))
    return replace(
        found,
        values=found.values if second.values is None else second.values,
        settled=second.proof is Proof.PROVEN,
        turned_down=found.turned_down + second.turned_down,
        seconds=monotonic() - began,
    )


@contextmanager
def _held(model: Model, aim: Aim, value: Fraction) -> Iterator[None]:
    """For a while, no answer may be worse by an aim than this."""
    if aim.up:
        model.row(aim.terms, least=value, because="as good as the best found")
    else:
        model.row(aim.terms, most=value, because="as good as the best found")
    row = model.rows[-1]
    try:
        yield
    finally:
        model.rows[:] = [one for one in model.rows if one is not row]


def _as_good(search: _Search) -> AbstractContextManager[None]:
    """For a while nothing worse than the best so far counts, where there is one."""
    return nullcontext() if search.best is None else _held(search.model, search.aim, search.aim.of(search.best))


def _run(search: _Search) -> Answer:
    """Search until the bound meets the best, nothing is left, or time is up.

    What the solver makes simpler beforehand has now and then ruled out what fits, and so the best (known faults of
    HiGHS 1.11 to 1.15). So nothing counts as proven until it was shown with the rows as they are.
    """
    from ninefine.plan import highs  # noqa: PLC0415 - heavy: numpy and scipy, loaded when a plan is asked for

    if not search.model.unknowns:
        search.best = None if search.model.broken(()) else ()
        return _ended(search, Proof.NONE if search.best is None else Proof.PROVEN)
    scale, factors = _scaled(search.aim)
    length = FIRST_SLICE
    while (left := search.until - monotonic()) > 0:
        waits = min(length, left) if search.patience.watched else left
        with _as_good(search) if search.as_they_are else nullcontext():
            found = highs.call(search.model, factors, waits, presolve=not search.as_they_are, near=search.patience.near)
        over = found.ended is highs.Ended.INFEASIBLE
        if not over:
            _bring_in(search, found.bound, scale)
            if not _taken_in(search, found.values):
                continue
            over = found.ended is highs.Ended.OPTIMAL and search.best is not None and _closed(search)
        if over and (search.as_they_are or _at_its_end(search)):
            return _ended(search, Proof.NONE if search.best is None else Proof.PROVEN)
        if over:
            search.as_they_are, search.bound = True, None
            continue
        if found.ended is not highs.Ended.TIME or _asked_to_stop(search):
            break
        length *= 2
    return _ended(search, Proof.NOT_FOUND if search.best is None else Proof.SO_FAR)


def _at_its_end(search: _Search) -> bool:
    """Whether nothing could be better than the best so far even if there were no rows at all."""
    if search.best is None:
        return False
    value = search.aim.of(search.best)
    ends = [(factor, search.model.unknowns[at]) for at, factor in search.aim.terms.items()]
    sums = [(Fraction(factor) * one.low, Fraction(factor) * one.high) for factor, one in ends]
    return value == sum((max(pair) if search.aim.up else min(pair) for pair in sums), Fraction(0))


def _taken_in(search: _Search, values: tuple[int, ...] | None) -> bool:
    """Keep what a call found, if it is the best so far; whether the search may go on from it as the model stands."""
    if values is None:
        return True
    if search.model.broken(values):
        # floating point let through what exactly breaks a row: once more with rows as they are, then rule it out
        if search.as_they_are:
            search.model.forbid(values, range(len(values)))
        search.as_they_are = True
        return False
    if not _stands(search, values):
        return False
    if search.better(values):
        search.best = values
    return True


def _stands(search: _Search, values: tuple[int, ...]) -> bool:
    """Whether the judge lets some values stand.

    Raises:
        AssertionError: it turned them down and left the model as it was, so that they would come back for ever.
    """
    before = search.model.size
    if search.judge is None or search.judge(values, search.settling):
        return True
    if search.model.size == before:
        raise AssertionError("a judge turned an answer down and did not say what rules it out")
    search.turned_down += 1
    return False


def _scaled(aim: Aim) -> tuple[Fraction, dict[int, float]]:
    """The aim as numbers to be made small: whole where they can be, brought down where they would be very large."""
    kept = {at: Fraction(factor) for at, factor in aim.terms.items() if factor}
    scale = Fraction(lcm(*(factor.denominator for factor in kept.values())))
    scale /= gcd(*(int(factor * scale) for factor in kept.values())) or 1
    largest = max((abs(factor * scale) for factor in kept.values()), default=Fraction(1))
    while largest > 10**6:
        scale, largest = scale / 10, largest / 10
    sign = -1 if aim.up else 1
    return sign * scale, {at: float(factor * scale * sign) for at, factor in kept.items()}


def _bring_in(search: _Search, bound: float | None, scale: Fraction) -> None:
    """Bring the bound in by what a call has shown; it never goes out again, for the model only grows."""
    if bound is None:
        return
    found = Fraction(bound) / scale
    if search.bound is None:
        search.bound = found
    else:
        search.bound = min(search.bound, found) if search.aim.up else max(search.bound, found)


def _closed(search: _Search) -> bool:
    """Whether the bound has met the best, to what floating point can tell; then it is the best, exactly."""
    if search.best is None or search.bound is None:
        return False
    value = search.aim.of(search.best)
    beyond = search.bound - value if search.aim.up else value - search.bound
    scale, factors = _scaled(search.aim)
    whole = all(factor == floor(factor) for factor in factors.values())
    grain = max(abs(value), Fraction(1)) * _GRAIN + Fraction(1, 10**6) / abs(scale)
    # sums of whole numbers lie a whole step apart: a bound within a step of the best leaves no room between
    return beyond <= grain or (whole and beyond < (1 - Fraction(1, 10**3)) / abs(scale))


def _asked_to_stop(search: _Search) -> bool:
    patience = search.patience
    if patience.told is not None:
        value = None if search.best is None else search.aim.of(search.best)
        patience.told(Progress(value=value, bound=search.bound, seconds=monotonic() - search.began))
    return patience.stop is not None and patience.stop()


def _ended(search: _Search, proof: Proof) -> Answer:
    value = None if search.best is None else search.aim.of(search.best)
    bound = value if proof is Proof.PROVEN else search.bound
    return Answer(
        proof=proof,
        values=search.best,
        value=value,
        bound=bound,
        turned_down=search.turned_down,
        seconds=monotonic() - search.began,
    )
