"""Lists of baskets: every way to take each offer that takes away little from the bound, and the offers put together.

The sieve's bound says how much each choice takes away from the best that could be: a step more of a poor line, a step
fewer of a good one, an offer left. Ways and baskets that another betters are left out as soon as that is known
(`buying_better`), so that lists stay short.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ninefine.plan.buying import Pick
from ninefine.plan.buying_better import counted, undominated
from ninefine.plan.buying_draft import Draft
from ninefine.plan.buying_sift import Sieve

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
Marks = npt.NDArray[np.bool_]

#: Pairs that are looked at to make a table, the most.
_LARGEST = 4_000_000
#: The most baskets of one list, the best of them.
_LONGEST_LIST = 2_000
#: Tables shorter than this are not worth a look for ways that others better.
_WORTH_A_LOOK = 40
#: Offers that a whole number can tell apart, one by each of its bits.
_BITS = 60


class TooManyError(Exception):
    """The list of baskets grows too long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choices:
    """Ways to take one offer: what each takes away, uses and gains; steps of each line; by which draft (-1: left).

    `sure`: those that surely keep every line of money. `doubt`: dollars by which rounding may turn their order round.
    """

    lost: Floats
    used: Floats
    gained: Floats
    drafts: Places
    steps: Places
    sure: Marks
    doubt: float = 0.0

    def only(self, kept: Marks) -> "_Choices":
        """Some of them."""
        return _Choices(
            lost=self.lost[kept],
            used=self.used[kept],
            gained=self.gained[kept],
            drafts=self.drafts[kept],
            steps=self.steps[kept],
            sure=self.sure[kept],
            doubt=self.doubt,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A basket of the list: what it could come to, what it uses at the least, and where it stands in the tables."""

    value: float
    used: float
    sieve: Sieve
    places: tuple[tuple[_Choices, int], ...]

    @property
    def picks(self) -> list[Pick]:
        """What it takes of each offer."""
        return [pick for table, at in self.places for pick in _pick(self.sieve, table, at)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Made:
    """Baskets in the making, a row each: what each takes away, uses, gains; its way in each table; whether it is sure.

    `sets`: which tables it takes anything from. `doubt`: dollars by which rounding may turn their order round.
    """

    lost: Floats
    used: Floats
    gained: Floats
    chosen: tuple[Places, ...]
    sure: Marks
    sets: Places
    doubt: float

    @classmethod
    def begun(cls) -> "_Made":
        """One basket with nothing in it."""
        nothing = np.zeros(1)
        return cls(
            lost=nothing,
            used=nothing,
            gained=nothing,
            chosen=(),
            sure=np.ones(1, dtype=np.bool_),
            sets=np.zeros(1, dtype=np.intp),
            doubt=0.0,
        )

    def with_table(self, table: _Choices, one: Places, other: Places) -> "_Made":
        """Each of these with a way of the next table."""
        taken = (table.drafts[other] >= 0).astype(np.intp) << (len(self.chosen) % _BITS)
        return _Made(
            lost=self.lost[one] + table.lost[other],
            used=self.used[one] + table.used[other],
            gained=self.gained[one] + table.gained[other],
            chosen=(*(column[one] for column in self.chosen), other),
            sure=self.sure[one] & table.sure[other],
            sets=self.sets[one] | taken,
            doubt=self.doubt + table.doubt,
        )

    def only(self, kept: Marks) -> "_Made":
        """Some of them."""
        return _Made(
            lost=self.lost[kept],
            used=self.used[kept],
            gained=self.gained[kept],
            chosen=tuple(column[kept] for column in self.chosen),
            sure=self.sure[kept],
            sets=self.sets[kept],
            doubt=self.doubt,
        )

    def better(self, sieve: Sieve) -> "_Made":
        """Those that no other betters."""
        if not sieve.compete or len(self.lost) < _WORTH_A_LOOK or (sieve.sets_matter and len(self.chosen) > _BITS):
            return self
        cost, ozt = sieve.bill_of(self.used, self.gained)
        sets = self.sets if sieve.sets_matter else np.zeros_like(self.sets)
        return self.only(undominated(sets[:, None], cost, ozt, self.sure, self.doubt))


def listed(sieve: Sieve, room: float, most: int) -> tuple[list[Listed], float | None]:
    """The best baskets that take away no more than some room from the bound; what the best left out could come to.

    Raises:
        TooManyError: more than `most` ways to take an offer, or baskets in the making, that none betters.
    """
    tables = [table for at in range(len(sieve.names)) if (table := _ways(sieve, at, room, most)) is not None]
    if not tables or not all(len(table.lost) for table in tables):
        return [], None
    tables.sort(key=lambda table: len(table.lost))
    least = np.array([table.lost.min() for table in tables])
    rest = np.append(np.cumsum(least[::-1])[::-1][1:], 0.0)
    made = _Made.begun()
    for table, after in zip(tables[:-1], rest[:-1], strict=True):
        made = made.with_table(table, *_join(made.lost, table.lost, room - after))
        if sieve.spends:
            made = made.only(made.used <= sieve.limit + 1e-9)
        made = made.better(sieve)
        if len(made.lost) > most:
            raise TooManyError
    made = made.with_table(tables[-1], *_last_join(sieve, made.lost, made.used, tables[-1], room))
    within = made.used <= sieve.limit + 1e-9 * max(1.0, abs(sieve.limit))
    within &= made.lost + sieve.price * (sieve.limit - made.used) <= room
    made = made.only(within).better(sieve)
    first = np.argsort(-made.gained, kind="stable")
    left_out = None
    if len(first) > _LONGEST_LIST:
        left_out = float(made.gained[first[_LONGEST_LIST]]) + sieve.always
    found = [
        Listed(
            value=float(made.gained[at]) + sieve.always,
            used=float(made.used[at]),
            sieve=sieve,
            places=tuple((table, int(column[at])) for table, column in zip(tables, made.chosen, strict=True)),
        )
        for at in first[:_LONGEST_LIST]
    ]
    return found, left_out


def _join(lost: Floats, others: Floats, room: float) -> tuple[Places, Places]:
    """Which of two tables go together without taking away more than a room."""
    order = np.argsort(others, kind="stable")
    high = np.searchsorted(others[order], room - lost, side="right")
    return _spread(np.zeros_like(high), high, order)


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
    return _spread(low, np.maximum(high, low), order)


def _spread(low: Places, high: Places, order: Places) -> tuple[Places, Places]:
    """Every pair of a row with the places from its low to its high.

    Raises:
        TooManyError: more pairs than can be looked at.
    """
    counts = high - low
    total = int(counts.sum())
    if total > _LARGEST:
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
    if not parts:
        return _nothing(sieve) if sieve.must[offer] else None
    if not sieve.must[offer] and best <= room:
        parts.append(_left(sieve, best))
    return _better(sieve, _together(parts))


def _together(parts: Sequence[_Choices]) -> _Choices:
    return _Choices(
        lost=np.concatenate([part.lost for part in parts]),
        used=np.concatenate([part.used for part in parts]),
        gained=np.concatenate([part.gained for part in parts]),
        drafts=np.concatenate([part.drafts for part in parts]),
        steps=np.concatenate([part.steps for part in parts]),
        sure=np.concatenate([part.sure for part in parts]),
        doubt=max(part.doubt for part in parts),
    )


def _better(sieve: Sieve, found: _Choices) -> _Choices:
    """Ways to take an offer that no other way to take it betters."""
    if not sieve.compete or len(found.lost) < _WORTH_A_LOOK:
        return found
    cost, ozt = sieve.bill_of(found.used, found.gained)
    taken = (found.drafts >= 0).astype(np.intp)[:, None]
    return found.only(undominated(taken, cost, ozt, found.sure & (found.drafts >= 0), found.doubt))


def _nothing(sieve: Sieve) -> _Choices:
    return _left(sieve, 0.0).only(np.zeros(1, dtype=np.bool_))


def _left(sieve: Sieve, best: float) -> _Choices:
    return _Choices(
        lost=np.array([best]),
        used=np.zeros(1),
        gained=np.zeros(1),
        drafts=np.array([-1]),
        steps=np.zeros((1, sieve.width), dtype=np.intp),
        sure=np.ones(1, dtype=np.bool_),
    )


def _of_draft(sieve: Sieve, at: int, best: float, room: float, most: int) -> _Choices | None:
    """Every way to take an offer on one stretch of its bill, line by line from the one that matters most."""
    draft: Draft = sieve.drafts[at]
    lines = len(draft.caps)
    worth = sieve.leaning[at][:lines]
    alike, doubt = sieve.alike[at], 2 * float(sieve.doubts[at])
    prices = np.array([float(price) for price in draft.mode.prices]) / 100
    # what is taken away even where every line is as it had best be
    base = best - float(sieve.lean[at] + (np.maximum(worth, 0) * np.array(draft.caps)).sum())
    steps = np.array([draft.least], dtype=np.intp)
    lost = np.full(1, base)
    for line in np.argsort(-np.abs(worth), kind="stable"):
        cap, least, each = draft.caps[line], draft.least[line], abs(float(worth[line]))
        ideal, back = (cap, -1) if worth[line] > 0 else (least, 1)
        away = np.arange(cap - least + 1)
        if len(lost) * len(away) > 20 * most:
            raise TooManyError
        sums = lost[:, None] + each * away[None, :]
        one, other = np.nonzero(sums <= room)
        lost, steps = sums[one, other], steps[one]
        steps[:, line] = ideal + back * other
        if alike.comparable and len(lost) >= _WORTH_A_LOOK:
            cost, ozt = sieve.bill_of(steps @ sieve.uses[at][:lines], steps @ sieve.gains[at][:lines])
            # what is not decided yet stands at its least: goods can only come to more
            kept = undominated(counted(steps, alike.marks), cost, ozt, steps @ prices >= alike.floor, doubt)
            lost, steps = lost[kept], steps[kept]
        if len(lost) > most:
            raise TooManyError
    fits: Marks = np.asarray(steps.any(axis=1))
    if sieve.each is not None:
        fits &= steps @ sieve.cost[at][:lines] + sieve.fixed[at] <= float(sieve.each) + 1e-9
    for weights, low, high in sieve.spans(at):
        total = steps @ np.array(weights)
        fits &= (total >= low - 1e-9 * max(1.0, abs(low))) & (total <= high + 1e-9 * max(1.0, abs(high)))
    steps = steps[fits]
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
        sure=alike.stands(steps, steps @ prices),
        doubt=doubt,
    )
