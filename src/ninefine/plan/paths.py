"""Paths that spot might take: typed, shaken once, or drawn from the past in blocks of months. None is a forecast.

A drawn path strings together stretches of months as they followed each other in the packaged history (a block
bootstrap: Kuensch 1989, Annals of Statistics 17, 1217-1241), taking only how much each month's average rose or fell. So
it knows what months have done, in clusters as they came, and nothing of what they will do. The same seed draws the same
paths anywhere.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from math import ceil
from random import Random

from ninefine.errors import InputError, RangeError
from ninefine.market.series import Point, PriceSeries
from ninefine.measure.numbers import EXACT, read_positive, to_places

#: Months, paths and months in a block where none are said.
MONTHS, PATHS, BLOCK, SEED = 24, 1000, 12, 1
MOST_MONTHS, MOST_PATHS = 600, 20_000
#: Per cents of paths at which a fan is cut.
CUTS = (5, 25, 50, 75, 95)
NOT_A_FORECAST = (
    "This is no forecast. It shows how far spot moved over such a time in the past, stretches of it strung together "
    "anew; what comes may go beyond all of it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """How paths are drawn: months ahead, how many paths, months in a block, the seed, and which years they rest on."""

    months: int = MONTHS
    paths: int = PATHS
    block: int = BLOCK
    seed: int = SEED
    first_year: int | None = None
    last_year: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fan:
    """What some per cents of paths lie below, month by month, from today on.

    Attributes:
        cuts: per cents. rows: for each month from now (0) on, a spot for each cut.
        paths: how many paths it is cut from; 1 for a path of one's own.
        words: where the paths come from. at_once: its second row is not a month later but at once.
    """

    cuts: tuple[int, ...]
    rows: tuple[tuple[Decimal, ...], ...]
    paths: int
    words: str
    at_once: bool = False

    @property
    def months(self) -> int:
        """Months from now to the end."""
        return len(self.rows) - 1

    def at(self, month: int, cut: int) -> Decimal:
        """The spot at a month that a per cent of paths lie below."""
        return self.rows[month][self.cuts.index(cut)]


def read_path(text: str) -> tuple[Decimal, ...]:
    """Read a path of one's own: `66, 60, 55.50`, a spot for each month from now on.

    Raises:
        RangeError: a price not above zero, or too many.
        UnreadableError: no price.
    """
    parts = [part.strip().removeprefix("$") for part in text.replace(";", ",").split(",") if part.strip()]
    if not 1 <= len(parts) <= MOST_MONTHS:
        raise RangeError("Say one spot or more, a month apart.", expected="66, 60, 55.50")
    return tuple(read_positive(part, what="spot") for part in parts)


def own_path(spots: Sequence[Decimal]) -> Fan:
    """One path, as a fan of a single line."""
    return Fan(cuts=(50,), rows=tuple((spot,) for spot in spots), paths=1, words="a path of your own")


def shock(spot: Decimal, per_cent: Decimal) -> Fan:
    """Spot as it is, and at once moved by some per cent.

    Raises:
        RangeError: nothing would be left of it.
    """
    after = to_places(EXACT.multiply(spot, 1 + EXACT.divide(per_cent, Decimal(100))), 2)
    if after <= 0:
        raise RangeError(f"A move of {per_cent}% leaves no price.", expected="Say less than a hundred per cent down.")
    rows = ((spot,), (after,))
    return Fan(cuts=(50,), rows=rows, paths=1, words=f"spot moved by {per_cent}% at once", at_once=True)


def history(series: PriceSeries, drawing: Drawing) -> tuple[Point, ...]:
    """The months that paths are drawn from.

    Raises:
        RangeError: too few months in those years for one block.
    """
    points = [point for point in series.points if _within(point.first, drawing)]
    if len(points) <= drawing.block:
        first, last = series.points[0].first.year, series.points[-1].last.year
        raise RangeError(
            f"{len(points)} months are too few for blocks of {drawing.block}.",
            expected=f"The table reaches from {first} to {last}: take more years, or shorter blocks.",
        )
    return tuple(points)


def _within(first: date, drawing: Drawing) -> bool:
    low = drawing.first_year is None or first.year >= drawing.first_year
    return low and (drawing.last_year is None or first.year <= drawing.last_year)


def drawn(points: Sequence[Point], spot: Decimal, drawing: Drawing) -> Fan:
    """Draw paths from some months of the past and cut them month by month."""
    for name, value, most in (
        ("months", drawing.months, MOST_MONTHS),
        ("paths", drawing.paths, MOST_PATHS),
        ("months in a block", drawing.block, MOST_MONTHS),
    ):
        if not 1 <= value <= most:
            raise InputError(f"{value} {name} cannot be drawn.", expected=f"Say 1 to {most}.")
    moves = [float(later.per_ozt) / float(sooner.per_ozt) for sooner, later in pairwise(points)]
    columns: list[list[float]] = [[] for _ in range(drawing.months)]
    dice = Random(drawing.seed)  # noqa: S311 - a seed that anyone can draw again is the point
    for _ in range(drawing.paths):
        level = 1.0
        for month, move in enumerate(_strung(moves, drawing, dice)):
            level *= move
            columns[month].append(level)
    rows = [(spot,) * len(CUTS)]
    for column in columns:
        column.sort()
        rows.append(tuple(_times(spot, column[_rank(cut, len(column))]) for cut in CUTS))
    words = (
        f"{drawing.paths:,} paths drawn from {points[0].first:%B %Y} to {points[-1].first:%B %Y} in blocks of "
        f"{drawing.block} months, seed {drawing.seed}"
    )
    return Fan(cuts=CUTS, rows=tuple(rows), paths=drawing.paths, words=words)


def _strung(moves: Sequence[float], drawing: Drawing, dice: Random) -> list[float]:
    """Blocks of months, each begun anywhere, strung together until there are enough."""
    strung: list[float] = []
    while len(strung) < drawing.months:
        start = dice.randrange(len(moves) - drawing.block + 1)
        strung += moves[start : start + drawing.block]
    return strung[: drawing.months]


def _rank(cut: int, count: int) -> int:
    """The place of the value that a per cent lie at or below (nearest rank)."""
    return max(0, ceil(count * cut / 100) - 1)


def _times(spot: Decimal, factor: float) -> Decimal:
    """A simulated level leaves here as a price to the cent; it is a draw, not a booked figure."""
    return to_places(EXACT.multiply(spot, Decimal(factor)), 2)
