"""What a bag's mix says: three looks, the signs, and one verdict whose error is known.

Three looks (by year and mint, by mint, by year) and half a dozen signs are many chances to find something odd in a
fair bag. So the verdict does not rest on any one of them: fair bags of the same size are drawn at random, the oddest
thing in each is noted, and the chance is the part of them that show something as odd as the oddest thing here. At a
level of 5%, 5 fair bags in 100 are called odd, however many looks there are.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from ninefine.sorting.chances import say_chance
from ninefine.sorting.effect import LEVEL, Effect, effect_of, least_told, pieces_to_tell
from ninefine.sorting.expected import Expected
from ninefine.sorting.found import Beside, Group, by_issue, by_mint, by_year, grouped, set_beside
from ninefine.sorting.gauge import DRAWS, SEED, Gauge
from ninefine.sorting.mintage import Struck
from ninefine.sorting.oddity import Tested
from ninefine.sorting.signs import Sign, signs_of, watched
from ninefine.sorting.tally import Row

if TYPE_CHECKING:
    from ninefine.sorting.arrays import Counts, Floats

_LOOKS: tuple[tuple[str, Callable[[Struck], str]], ...] = (
    ("year and mint", by_issue),
    ("mint", by_mint),
    ("year", by_year),
)
#: A bag that could not even tell a large difference (Cohen's word) tells nothing.
_LARGE = 0.5


class Verdict(StrEnum):
    """What may be said of a bag; never what was done to it."""

    UNTOLD = "too few coins to tell"
    UNPICKED = "consistent with an unpicked bag"
    SEARCHED = "consistent with searched"
    UNLIKE = "unlike the mintage, but not as searching leaves a bag"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The mix taken together in one way, and how odd it is.

    Attributes:
        by: year and mint, mint, or year.
        groups: found and expected.
        tested: the test, by the rule of `gauge`.
        effect: how large the difference is; none where chi-square could not be reckoned.
        to_tell: how many pieces would tell, four times in five, a difference as large as this shows less chance; none
            where it shows no more than chance.
        least_told: the smallest w that this many pieces tell four times in five.
    """

    by: str
    groups: tuple[Group, ...]
    tested: Tested
    effect: Effect | None
    to_tell: int | None
    least_told: float

    @property
    def chance(self) -> float:
        """Of a fair bag looking as odd, by this look alone."""
        return self.tested.chance


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a bag's mix says.

    Attributes:
        beside: found and expected, and what stands outside.
        looks, signs: each with its own chance.
        chance: the part of fair bags that show something as odd as the oddest here; none without dated pieces.
        error: its standard error.
        draws, seed: of the fair bags.
        verdict: in a word.
        words: in sentences, the assumption said.
    """

    beside: Beside
    looks: tuple[Look, ...]
    signs: tuple[Sign, ...]
    chance: float | None
    error: float
    draws: int
    seed: int
    verdict: Verdict
    words: str


class Yardstick:
    """How odd the oddest thing is in fair bags of one mix and one number of pieces.

    Args:
        expected: the mix.
        pieces: dated pieces of a bag; above zero.
        draws: fair bags to draw.
        seed: of the drawing; the same seed gives the same answer.
    """

    def __init__(self, expected: Expected, pieces: int, *, draws: int = DRAWS, seed: int = SEED) -> None:
        from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: numpy and scipy, loaded when a chance is asked for

        self._arrays = arrays
        self.pieces, self.draws, self.seed = pieces, draws, seed
        self.shares: Floats = arrays.as_shares([row.share for row in expected.shares])
        empty = Beside(expected=expected, found=(0,) * len(expected.shares))
        looks = ((by, grouped(empty, label)) for by, label in _LOOKS)
        self.gauges = {
            by: (groups, Gauge([group.share for group in groups], pieces, seed=seed + 1))
            for by, groups in looks
            if len(groups) > 1
        }
        self.watched = watched(expected)
        fair = arrays.fair_tables(self.shares, pieces, draws=draws, seed=seed)
        self._fair: Floats = arrays.rising(self.oddest(fair))

    def oddest(self, tables: "Counts") -> "Floats":
        """The smallest chance among the looks and signs of each bag, a row of counts each."""
        chances = [gauge.chances(self._together(tables, groups)) for groups, gauge in self.gauges.values()]
        for sign in self.watched:
            tail = self._arrays.at_least if sign.rule.many else self._arrays.at_most
            chances.append(tail(self._arrays.added(tables, sign.cells), self.pieces, float(sign.share)))
        return self._arrays.smallest(chances, len(tables))

    def chances(self, tables: "Counts") -> "Floats":
        """For each bag, the part of fair bags that show something as odd; the bag itself counts as drawn."""
        return self._arrays.part_up_to(self._fair, self.oddest(tables))

    def chance(self, found: Sequence[int]) -> float:
        """The same for one bag."""
        return float(self.chances(self._arrays.as_table(found))[0])

    def _together(self, tables: "Counts", groups: Sequence[Group]) -> "Counts":
        return self._arrays.together(tables, [group.cells for group in groups])


def read_mix(expected: Expected, rows: Iterable[Row], *, draws: int = DRAWS, seed: int = SEED) -> Reading:
    """Say what a tally's mix says beside an expected one.

    Args:
        expected: the mix that mintage and the person's assumption give.
        rows: the tally.
        draws: fair bags to draw.
        seed: of the drawing; the same seed gives the same answer.

    Raises:
        RangeError: a row of fewer than no pieces.
    """
    beside = set_beside(expected, rows)
    if not beside.pieces or len(expected.shares) < 2:
        words = f"No dated coin of these dates was counted. {expected.survival.sentence}"
        if beside.pieces:
            words = f"One year and mint alone: there is no mix to read. {expected.survival.sentence}"
        return Reading(
            beside=beside,
            looks=(),
            signs=(),
            chance=None,
            error=0.0,
            draws=0,
            seed=seed,
            verdict=Verdict.UNTOLD,
            words=words,
        )
    yardstick = Yardstick(expected, beside.pieces, draws=draws, seed=seed)
    chance = yardstick.chance(beside.found)
    looks, signs = _looks(beside, yardstick), signs_of(beside)
    verdict = _verdict(chance, looks, signs)
    return Reading(
        beside=beside,
        looks=looks,
        signs=signs,
        chance=chance,
        error=math.sqrt(chance * (1 - chance) / draws),
        draws=draws,
        seed=seed,
        verdict=verdict,
        words=_words(verdict, chance, beside, signs),
    )


def _looks(beside: Beside, yardstick: Yardstick) -> tuple[Look, ...]:
    looks = []
    for by, label in _LOOKS:
        if by not in yardstick.gauges:
            continue
        groups = grouped(beside, label)
        tested = yardstick.gauges[by][1].tested([group.found for group in groups])
        pooled = tested.chi_square
        freedom = len(tested.pools) - 1
        effect = None
        if pooled is not None and pooled.value is not None:
            effect = effect_of(pooled.value, freedom, beside.pieces)
        looks.append(
            Look(
                by=by,
                groups=groups,
                tested=tested,
                effect=effect,
                to_tell=pieces_to_tell(effect.less_chance, freedom) if effect is not None else None,
                least_told=least_told(beside.pieces, tested.freedom),
            )
        )
    return tuple(looks)


def _verdict(chance: float, looks: Sequence[Look], signs: Sequence[Sign]) -> Verdict:
    if chance < LEVEL:
        short = any(sign.speaks and not sign.many for sign in signs)
        return Verdict.SEARCHED if short else Verdict.UNLIKE
    return Verdict.UNPICKED if any(look.least_told < _LARGE for look in looks) else Verdict.UNTOLD


def _words(verdict: Verdict, chance: float, beside: Beside, signs: Sequence[Sign]) -> str:
    fair = f"of bags drawn fairly from the assumed mix, {say_chance(chance)} look as odd as this one or odder"
    other = "a survival other than the one assumed"
    said = {
        Verdict.UNTOLD: f"Too few coins to tell: with {beside.pieces:,} dated coins even a large difference may not"
        f" show ({fair}).",
        Verdict.UNPICKED: f"Consistent with an unpicked bag: {fair}. A little picking may not show.",
        Verdict.SEARCHED: f"Consistent with searched: {fair}, and dates that searchers take are short:"
        f" {_short(signs)}. It is also consistent with {other}.",
        Verdict.UNLIKE: f"Unlike the mintage, but not as searching leaves a bag: {fair}. It is consistent with"
        f" {other}, or with coin from one place or time.",
    }[verdict]
    return f"{said} {beside.expected.survival.sentence}"


def _short(signs: Sequence[Sign]) -> str:
    speaking = sorted((sign for sign in signs if sign.speaks and not sign.many), key=lambda sign: sign.chance)
    return "; ".join(f"{sign.title}, {sign.found:,} for {sign.expected:,.1f} expected" for sign in speaking)
