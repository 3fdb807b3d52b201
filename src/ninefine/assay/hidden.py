"""How many pieces of another kind hide in a roll or bag of n pieces that weighs W: every answer with its likelihood.

Pieces of each kind weigh what wear leaves them, with a spread from piece to piece and one common to the roll; the scale
adds its own. With k strangers among n pieces the weight is normal about (n - k) own + k strange. Every number is taken
as equally likely before the weighing, so the answers are the likelihoods, made to sum to one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from math import exp, fsum, log, pi, sqrt

from ninefine.assay.evidence import Evidence, Ground, Outcome, figure
from ninefine.assay.wear import Band, loss_of
from ninefine.catalog.kinds import Kind
from ninefine.errors import RangeError
from ninefine.measure.reading import Reading

#: Answers are told until together they hold this much.
HELD = 0.95
#: A clean roll would be so light or so heavy once in a hundred.
_RARE = 2.576
#: More answers than this are not worked out one by one.
MOST_ANSWERS = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Sort:
    """What one piece of a kind weighs: its mean, and standard deviations from piece to piece and from roll to roll."""

    kind: Kind
    mean_g: float
    piece_g: float
    roll_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One possible mix: how many of each stranger, its likelihood, and what such a roll would weigh."""

    strangers: tuple[int, ...]
    likelihood: float
    weight_g: float
    spread_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenMix:
    """What a roll's weight says of strangers in it.

    Attributes:
        count: pieces in all.
        own: what the roll should be of.
        strangers: the kinds that may hide.
        reading: its weight, grams.
        answers: every mix, most likely first; likelihoods sum to one.
        held: the fewest answers that together hold 95%.
        shows_from: the least number of the first stranger that such a weighing tells from none, 19 times in 20.
        evidence: what it comes to.
    """

    count: int
    own: Sort
    strangers: tuple[Sort, ...]
    reading: Reading
    answers: tuple[Answer, ...]
    held: tuple[Answer, ...]
    shows_from: int | None
    evidence: Evidence

    def likelihood(self, *strangers: int) -> float:
        """The likelihood of one mix."""
        return next(one.likelihood for one in self.answers if one.strangers == strangers)


def sort_of(kind: Kind, band: Band = Band.UNSAID, *, mean_g: float | None = None, roll_g: float | None = None) -> Sort:
    """What one piece of a kind weighs by what its sort loses; or by a sample of the roll that was weighed by itself.

    Raises:
        RangeError: a kind that has no set weight.
    """
    if not kind.gross_g:
        raise RangeError(f"{kind.name} has no set weight, so it cannot be told by weight.", expected="Name one coin.")
    struck, loss = float(kind.gross_g), loss_of(kind, band)
    return Sort(
        kind=kind,
        mean_g=struck * (1 - loss.mean) if mean_g is None else mean_g,
        piece_g=struck * loss.piece,
        roll_g=struck * loss.roll if roll_g is None else roll_g,
    )


def sampled(sort: Sort, pieces: int, grams: Reading) -> Sort:
    """A sort whose mean weight a sample showed: pieces of the same roll, told by their edges, weighed by themselves.

    What was known before and what the sample says are joined by their weights (GUM H.1.3 pools in the same manner).
    """
    sample = grams.value / pieces
    of_sample = sort.piece_g**2 / pieces + (grams.u / pieces) ** 2
    before = sort.roll_g**2
    if not before:
        return sort
    mean = (sort.mean_g / before + sample / of_sample) / (1 / before + 1 / of_sample)
    return Sort(kind=sort.kind, mean_g=mean, piece_g=sort.piece_g, roll_g=sqrt(1 / (1 / before + 1 / of_sample)))


def hidden_mix(reading: Reading, count: int, own: Sort, strangers: Sequence[Sort]) -> HiddenMix:
    """Every number of strangers that a roll may hide, with its likelihood.

    Args:
        reading: the roll's weight in grams, without its paper.
        count: pieces in all, counted.
        own: what it should be of.
        strangers: one or two kinds that may hide.

    Raises:
        RangeError: fewer than one piece, or so many that the answers cannot be told one by one.
    """
    if count < 1 or not strangers or (count + 1) ** len(strangers) > MOST_ANSWERS * 2:
        raise RangeError(
            f"A roll of {count} pieces with {len(strangers)} kinds hidden cannot be worked out.",
            expected="Say how many pieces there are, and one or two kinds that may hide; a bag goes roll by roll.",
        )
    mixes = [mix for mix in product(range(count + 1), repeat=len(strangers)) if sum(mix) <= count]
    told = [(mix, *_weight(mix, count, own, strangers)) for mix in mixes]
    logs = [_log_likelihood(reading, mean, variance) for _, mean, variance in told]
    top = max(logs)
    shares = [exp(one - top) for one in logs]
    whole = fsum(shares)
    answers = sorted(
        (
            Answer(strangers=mix, likelihood=share / whole, weight_g=mean, spread_g=sqrt(variance))
            for (mix, mean, variance), share in zip(told, shares, strict=True)
        ),
        key=lambda one: (-one.likelihood, one.strangers),
    )
    held = _held(answers)
    shows = shows_from(count, own, strangers[0], reading.u)
    return HiddenMix(
        count=count,
        own=own,
        strangers=tuple(strangers),
        reading=reading,
        answers=tuple(answers),
        held=held,
        shows_from=shows,
        evidence=_evidence(reading, count, own, strangers, answers, held, shows),
    )


def _weight(mix: Sequence[int], count: int, own: Sort, strangers: Sequence[Sort]) -> tuple[float, float]:
    """What a roll of some mix weighs on average, and the variance of that."""
    rest = count - sum(mix)
    each = [(rest, own), *zip(mix, strangers, strict=True)]
    mean = fsum(number * sort.mean_g for number, sort in each)
    variance = fsum(number * sort.piece_g**2 + (number * sort.roll_g) ** 2 for number, sort in each)
    return mean, variance


def _log_likelihood(reading: Reading, mean: float, variance: float) -> float:
    whole = variance + reading.u**2
    return -((reading.value - mean) ** 2) / (2 * whole) - log(2 * pi * whole) / 2


def _held(answers: Sequence[Answer]) -> tuple[Answer, ...]:
    held, total = [], 0.0
    for one in answers:
        held.append(one)
        total += one.likelihood
        if total >= HELD:
            break
    return tuple(held)


def shows_from(count: int, own: Sort, stranger: Sort, scale_u: float) -> int | None:
    """The least number of strangers that a weighing tells from none 19 times in 20; none where all would not show."""
    clean, clean_variance = _weight((0,), count, own, (stranger,))
    limit = _RARE * sqrt(clean_variance + scale_u**2)
    for number in range(1, count + 1):
        mean, variance = _weight((number,), count, own, (stranger,))
        if abs(mean - clean) - 1.645 * sqrt(variance + scale_u**2) > limit:
            return number
    return None


def _evidence(  # noqa: PLR0913, PLR0917 - the parts of one answer
    reading: Reading,
    count: int,
    own: Sort,
    strangers: Sequence[Sort],
    answers: Sequence[Answer],
    held: Sequence[Answer],
    shows: int | None,
) -> Evidence:
    none = (0,) * len(strangers)
    clean, variance = _weight(none, count, own, strangers)
    spread = sqrt(variance + reading.u**2)
    off = (reading.value - clean) / spread
    top = answers[0]
    clean_held = any(one.strangers == none for one in held)
    says = (
        f"{reading.value:.2f} g for {count} pieces; all {own.kind.name} would weigh {clean:.2f} g, 99 times in 100 "
        f"within {_RARE * spread:.2f}. Most likely "
        f"{mix_words(top.strangers, strangers)} ({top.likelihood * 100:.0f} in 100)."
    )
    outcome, settle = Outcome.PASSED, ""
    if abs(off) > _RARE:
        outcome = Outcome.FAILED if off < 0 else Outcome.UNSURE
        settle = "Look at every edge, and weigh the odd ones one by one." if off < 0 else "Count the pieces again."
    elif not clean_held or any(top.strangers):
        outcome, settle = Outcome.UNSURE, "Look at every edge: a copper stripe tells clad at once."
    if outcome is Outcome.PASSED:
        least = "any number" if shows is None else f"fewer than {shows}"
        says += f" {least.capitalize()} of {strangers[0].kind.name} can hide from this weighing."
        settle = "Look at every edge, or weigh ten that surely belong and say so: that tells how worn this roll is."
    return Evidence(
        test="hidden-mix",
        ground=Ground.WEIGHT,
        outcome=outcome,
        against=own.kind.slug,
        says=says,
        figures=(figure("weight", reading.value, reading.u, "g"), figure("pieces", count)),
        would_settle=settle,
    )


def mix_words(mix: Sequence[int], strangers: Sequence[Sort]) -> str:
    """A mix in words: `none hides`, `3 of Washington quarter, copper-nickel clad`."""
    parts = [f"{number} of {sort.kind.name}" for number, sort in zip(mix, strangers, strict=True) if number]
    return f"{' and '.join(parts)}" if parts else "none hides"
