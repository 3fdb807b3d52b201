"""Every basket that could be the best, one by one: the bound leaves so little room that they can be counted out.

The sieve's bound says how much each choice takes away from the best that could be: a step more of a poor line, a step
fewer of a good one, an offer left. The baskets that take away least are listed, and the market judges them. While none
of them fits, those that take away a little more are listed. Where a list grows too long, an offer is taken in each of
its ways in turn, each with a closer bound of its own. Once nothing that has not been listed can come to what the best
basket comes to, it is proven. Where even parting does not shorten a list, a solver is asked instead.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush
from itertools import count
from time import monotonic

import numpy as np
import numpy.typing as npt

from ninefine.plan.buying import Basket, Pick
from ninefine.plan.buying_draft import Draft
from ninefine.plan.buying_sift import Sieve

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
#: Works a basket out; none where it does not keep the wishes.
Judge = Callable[[Sequence[Pick]], Basket | None]
#: Orders baskets, the best first; its first figure is less the better the goal is met.
Rank = Callable[[Basket], tuple[Fraction, Fraction]]

#: The room in which baskets are listed at first, and how it grows; the stretches that are looked at first. Parts of the
#: bound.
_FIRST, _GROWS, _LOOKED_AT = 2e-5, 1.35, 1e-3
#: The longest table that is kept, the largest that is made for it, the most lists that are made.
_LONGEST, _LARGEST, _MOST_LISTS = 200_000, 4_000_000, 400
#: How much longer tables may grow where a question cannot be parted further.
_LAST = 4
#: The most baskets of one list, the best of them; the most that are judged.
_LONGEST_LIST, _MOST_JUDGED = 2_000, 1_500
#: With no basket that fits: how much the room may have grown, and how many may have been judged in vain.
_FARTHEST, _MOST_IN_VAIN = 1_000, 300
#: Wider than floating point's error on any sum here, in parts of the bound.
_MARGIN = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choices:
    """Ways to take one offer: what each takes away, uses and gains; steps of each line; by which draft (-1: left)."""

    lost: Floats
    used: Floats
    gained: Floats
    drafts: Places
    steps: Places


@dataclass(frozen=True, slots=True, kw_only=True)
class _Listed:
    """A basket of the list: what it could come to, what it uses at the least, and where it stands in the tables."""

    value: float
    used: float
    sieve: Sieve
    places: tuple[tuple[_Choices, int], ...]

    @property
    def picks(self) -> list[Pick]:
        """What it takes of each offer."""
        return [pick for table, at in self.places for pick in _pick(self.sieve, table, at)]


class TooManyError(Exception):
    """The list of baskets grows too long."""


def sweep(sieve: Sieve, judge: Judge, rank: Rank, until: float) -> tuple[Basket, int] | None:
    """The best basket, proven, with how many were turned down; none where a solver must be asked."""
    size = max(abs(sieve.bound), sieve.price * abs(sieve.limit), 1e-6)
    room, turned = _LOOKED_AT * size, 0
    while True:
        takes_away = sieve.adds[sieve.offer_of] - sieve.values
        kept = [int(at) for at in np.flatnonzero(takes_away <= room)]
        search = _Search(judge=judge, rank=rank, margin=_MARGIN * size, first=_FIRST * size, until=until)
        try:
            search.through(sieve.part(kept))
        except TooManyError:
            return None
        turned += search.judged
        if search.best is not None and sieve.bound - search.value <= room:
            return search.best, turned - 1
        if len(kept) == len(sieve.drafts):
            return None if search.best is None else (search.best, turned - 1)
        # what was not looked at takes away more than the room; with a basket in hand, the room is known
        room = 8 * room if search.best is None else sieve.bound - search.value + search.margin


@dataclass(kw_only=True)
class _Search:
    """The best basket so far, and how it is sought: the part of the question that promises most comes first."""

    judge: Judge
    rank: Rank
    margin: float
    first: float
    until: float
    best: Basket | None = None
    judged: int = 0

    @property
    def value(self) -> float:
        """What the best basket comes to."""
        return float("-inf") if self.best is None else -float(self.rank(self.best)[0])

    def through(self, whole: Sieve) -> None:
        """Look through a question and its parts until nothing that was not listed could be as good as the best.

        Raises:
            TooManyError: lists that cannot be shortened, or time is up.
        """
        tie = count()
        # what a part could still come to, its place among equals, the part, the room that it was listed in, its decided
        waiting: list[tuple[float, int, Sieve, float, frozenset[str]]] = [
            (-whole.bound, next(tie), whole, 0.0, frozenset())
        ]
        lists = 0
        while waiting:
            below, _, part, room, decided = heappop(waiting)
            if -below < self.value - self.margin:
                return
            lists += 1
            hopeless = self.best is None and (room > _FARTHEST * self.first or self.judged > _MOST_IN_VAIN)
            if lists > _MOST_LISTS or hopeless or monotonic() > self.until:
                raise TooManyError
            wider = min(max(self.first, room * _GROWS), part.bound - self.value + 2 * self.margin)
            try:
                self._look(part, wider, _LONGEST * (_LAST if decided.issuperset(part.names) else 1))
            except TooManyError:
                for smaller, known in _parts(part, part.bound - self.value + self.margin, decided):
                    heappush(waiting, (max(below, -smaller.bound), next(tie), smaller, 0.0, known))
                continue
            if part.bound - wider >= self.value - self.margin and wider < part.reach:
                heappush(waiting, (wider - part.bound, next(tie), part, wider, decided))

    def _look(self, part: Sieve, room: float, most: int) -> None:
        """List what takes away no more than a room, and judge it from the best down."""
        found, cut = _listed(part, room, most)
        for one in sorted(found, key=lambda one: (-one.value, one.used)):
            if self.value > one.value + self.margin:
                return  # nothing further down is as good
            if self.best is not None and part.spends and one.used > float(self.best.spend) + 1e-6:
                continue  # as good at best, and dearer
            if self.judged == _MOST_JUDGED:
                raise TooManyError
            self.judged += 1
            basket = self.judge(one.picks)
            if basket is not None and (self.best is None or self.rank(basket) < self.rank(self.best)):
                self.best = basket
        if cut is not None and self.value <= cut + self.margin:
            raise TooManyError  # what the list left out might be as good


def _parts(sieve: Sieve, room: float, decided: frozenset[str]) -> list[tuple[Sieve, frozenset[str]]]:
    """The same question in parts: one more offer is left, or taken on each stretch that fits the room.

    Raises:
        TooManyError: every offer is decided already.
    """
    takes_away = sieve.adds[sieve.offer_of] - sieve.values
    kept = [int(at) for at in np.flatnonzero(takes_away <= room)]
    ways: dict[str, list[int]] = {}
    for at in kept:
        ways.setdefault(sieve.drafts[at].source.name, []).append(at)
    open_ones = [name for name in ways if name not in decided]
    if not open_ones:
        raise TooManyError
    # the offer that adds most is decided first, for its ways differ most
    name = max(open_ones, key=lambda one: max(float(sieve.values[at]) for at in ways[one]))
    others = [at for at in kept if sieve.drafts[at].source.name != name]
    parts = [(sieve.part([*others, at], must=name), decided | {name}) for at in ways[name]]
    if others and not sieve.must[sieve.names.index(name)]:
        parts.append((sieve.part(others), decided | {name}))
    return parts


def _listed(sieve: Sieve, room: float, most: int) -> tuple[list[_Listed], float | None]:
    """The best baskets that take away no more than some room from the bound; what the best left out could come to."""
    tables = [table for at in range(len(sieve.names)) if (table := _ways(sieve, at, room, most)) is not None]
    if not tables or not all(len(table.lost) for table in tables):
        return [], None
    tables.sort(key=lambda table: len(table.lost))
    least = np.array([table.lost.min() for table in tables])
    rest = np.append(np.cumsum(least[::-1])[::-1][1:], 0.0)
    lost, used, gained = np.zeros(1), np.zeros(1), np.zeros(1)
    chosen: list[Places] = []
    for place, (table, after) in enumerate(zip(tables, rest, strict=True)):
        last = place == len(tables) - 1
        one, other = _last_join(sieve, lost, used, table, room) if last else _join(lost, table.lost, room - after, most)
        lost, used, gained = (
            lost[one] + table.lost[other],
            used[one] + table.used[other],
            gained[one] + table.gained[other],
        )
        chosen = [*(column[one] for column in chosen), other]
        if sieve.spends and not last:
            kept = used <= sieve.limit + 1e-9
            lost, used, gained, chosen = lost[kept], used[kept], gained[kept], [column[kept] for column in chosen]
    within = used <= sieve.limit + 1e-9 * max(1.0, abs(sieve.limit))
    within &= lost + sieve.price * (sieve.limit - used) <= room
    taken = np.flatnonzero(within)
    left_out: float | None = None
    if len(taken) > _LONGEST_LIST:
        order = np.argsort(-gained[taken], kind="stable")
        left_out = float(gained[taken[order[_LONGEST_LIST]]]) + sieve.always
        taken = taken[order[:_LONGEST_LIST]]
    found = [
        _Listed(
            value=float(gained[at]) + sieve.always,
            used=float(used[at]),
            sieve=sieve,
            places=tuple((table, int(column[at])) for table, column in zip(tables, chosen, strict=True)),
        )
        for at in taken
    ]
    return found, left_out


def _join(lost: Floats, others: Floats, room: float, most: int) -> tuple[Places, Places]:
    """Which of two tables go together without taking away more than a room."""
    order = np.argsort(others, kind="stable")
    high = np.searchsorted(others[order], room - lost, side="right")
    return _spread(np.zeros_like(high), high, order, most)


def _last_join(sieve: Sieve, lost: Floats, used: Floats, table: _Choices, room: float) -> tuple[Places, Places]:
    """The same for the last table: a limit not used up takes away too, so what is used lies in a narrow span."""
    order = np.argsort(table.used, kind="stable")
    sums = table.used[order]
    slack = 1e-9 * max(1.0, abs(sieve.limit))
    rest = sieve.limit - used
    high = np.searchsorted(sums, rest + slack, side="right")
    idle = (
        np.maximum(room - lost - table.lost.min(), 0) / sieve.price if sieve.price > 0 else np.full(len(lost), np.inf)
    )
    low = np.searchsorted(sums, rest - idle - slack, side="left")
    return _spread(low, np.maximum(high, low), order, _LARGEST)


def _spread(low: Places, high: Places, order: Places, most: int) -> tuple[Places, Places]:
    """Every pair of a row with the places from its low to its high.

    Raises:
        TooManyError: more pairs than that.
    """
    counts = high - low
    total = int(counts.sum())
    if total > most:
        raise TooManyError
    one = np.repeat(np.arange(len(counts)), counts)
    starts = np.repeat(np.cumsum(counts) - counts, counts)
    return one, order[np.arange(total) - starts + np.repeat(low, counts)]


def _pick(sieve: Sieve, table: _Choices, at: int) -> list[Pick]:
    place = int(table.drafts[at])
    if place < 0:
        return []
    draft = sieve.drafts[place]
    steps = tuple(int(count) for count in table.steps[at][: len(draft.caps)])
    return [Pick(source=draft.source, steps=steps, way=draft.mode.way.name)]


def _ways(sieve: Sieve, offer: int, room: float, most: int) -> _Choices | None:
    """Every way to take an offer that takes away no more than some room; none where it can only be left."""
    best = float(sieve.adds[offer])
    parts: list[_Choices] = []
    for at in np.flatnonzero(sieve.offer_of == offer):
        if best - sieve.values[at] <= room:
            part = _of_draft(sieve, int(at), best, room, most)
            if part is not None:
                parts.append(part)
    if not sieve.must[offer]:
        if not parts:
            return None
        if best <= room:
            width = parts[0].steps.shape[1]
            parts.append(_left(best, width))
    if not parts:
        width = sieve.width
        return _Choices(
            lost=np.zeros(0), used=np.zeros(0), gained=np.zeros(0),
            drafts=np.zeros(0, dtype=np.intp), steps=np.zeros((0, width), dtype=np.intp),
        )  # fmt: skip
    return _Choices(
        lost=np.concatenate([part.lost for part in parts]),
        used=np.concatenate([part.used for part in parts]),
        gained=np.concatenate([part.gained for part in parts]),
        drafts=np.concatenate([part.drafts for part in parts]),
        steps=np.concatenate([part.steps for part in parts]),
    )


def _left(best: float, width: int) -> _Choices:
    return _Choices(
        lost=np.array([best]),
        used=np.zeros(1),
        gained=np.zeros(1),
        drafts=np.array([-1]),
        steps=np.zeros((1, width), dtype=np.intp),
    )


def _of_draft(sieve: Sieve, at: int, best: float, room: float, most: int) -> _Choices | None:
    """Every way to take an offer on one stretch of its bill, line by line from the one that matters most."""
    draft: Draft = sieve.drafts[at]
    lines = len(draft.caps)
    worth = sieve.leaning[at][:lines]
    # what is taken away even where every line is as it had best be
    base = best - float(sieve.lean[at] + (np.maximum(worth, 0) * np.array(draft.caps)).sum())
    steps = np.zeros((1, lines), dtype=np.intp)
    lost = np.full(1, base)
    for line in np.argsort(-np.abs(worth), kind="stable"):
        cap, least, each = draft.caps[line], draft.least[line], abs(float(worth[line]))
        ideal, back = (cap, -1) if worth[line] > 0 else (least, 1)
        away = np.arange(cap - least + 1)
        if len(lost) * len(away) > 20 * most:
            raise TooManyError
        sums = lost[:, None] + each * away[None, :]
        one, other = np.nonzero(sums <= room)
        if len(one) > most:
            raise TooManyError
        lost, steps = sums[one, other], steps[one]
        steps[:, line] = ideal + back * other
    kept = steps.any(axis=1)
    for weights, low, high in sieve.spans(at):
        total = steps @ np.array(weights)
        kept &= (total >= low - 1e-9 * max(1.0, abs(low))) & (total <= high + 1e-9 * max(1.0, abs(high)))
    steps = steps[kept]
    # a floor that is more than reached takes away more than its price said
    lost = best - (float(sieve.gain[at] - sieve.price * sieve.use[at]) + steps @ sieve.worth[at][:lines])
    lost, steps = lost[lost <= room], steps[lost <= room]
    if not len(lost):
        return None
    wide = np.zeros((len(lost), sieve.width), dtype=np.intp)
    wide[:, :lines] = steps
    return _Choices(
        lost=lost,
        used=float(sieve.use[at]) + steps @ sieve.uses[at][:lines],
        gained=float(sieve.gain[at]) + steps @ sieve.gains[at][:lines],
        drafts=np.full(len(lost), at),
        steps=wide,
    )
