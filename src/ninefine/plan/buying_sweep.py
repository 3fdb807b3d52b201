"""Every basket that could be the best, one by one: the bound leaves so little room that they can be counted out.

The baskets that take away least from the bound are listed, and the market judges them. While none of them fits, those
that take away a little more are listed. Where a list grows too long, or where the bound hangs on how one offer is
taken, that offer is taken in each of its ways in turn, each with a closer bound of its own. Once nothing that has not
been listed can come to what the best basket comes to, it is proven. Where even parting does not shorten a list, a
solver is asked instead.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from heapq import heappop, heappush
from itertools import count
from math import inf
from time import monotonic

from ninefine.plan.buying import Basket, Pick
from ninefine.plan.buying_lists import TooManyError, listed
from ninefine.plan.buying_sift import Sieve

#: Works a basket out; none where it does not keep the wishes.
Judge = Callable[[Sequence[Pick]], Basket | None]
#: Orders baskets, the best first; its first figure is less the better the goal is met.
Rank = Callable[[Basket], tuple[Fraction, Fraction]]

#: The room in which baskets are listed at first; the stretches that are looked at first. Parts of the bound.
_FIRST, _LOOKED_AT = 2e-5, 1e-3
#: How the room grows from list to list, and how little it may grow where a wider list was too long.
_GROWS, _GROWS_LEAST = 1.6, 1.05
#: So many times the first room is listed at once where that is all that is left; and before an offer is parted.
_AT_ONCE, _BEFORE_PARTING = 20, 2
#: The longest table that is kept, and how much longer where a question cannot be parted further; the most lists.
_LONGEST, _LAST, _MOST_LISTS = 200_000, 4, 400
#: The most baskets that are judged.
_MOST_JUDGED = 1_500
#: With no basket that fits: how much the room may have grown, and how many may have been judged in vain.
_FARTHEST, _MOST_IN_VAIN = 1_000, 300
#: Wider than floating point's error on any sum here, in parts of the bound.
_MARGIN = 1e-9


def sweep(sieve: Sieve, judge: Judge, rank: Rank, until: float) -> tuple[Basket, int] | None:
    """The best basket, proven, with how many were turned down; none where a solver must be asked."""
    size = max(abs(sieve.bound), sieve.price * abs(sieve.limit), 1e-6)
    search = _Search(judge=judge, rank=rank, margin=_MARGIN * size, first=_FIRST * size, until=until)
    room = _LOOKED_AT * size
    while True:
        kept = sieve.within(room)
        try:
            search.through(sieve.part(kept))
        except TooManyError:
            return None
        if search.best is None:
            if len(kept) == len(sieve.drafts):
                return None
            room *= 8
        elif len(kept) == len(sieve.drafts) or sieve.bound - search.value <= room:
            return search.best, search.judged - 1
        else:  # what was not looked at takes away more than the room; with a basket in hand, the room is known
            room = sieve.bound - search.value + search.margin


@dataclass(order=True, slots=True)
class _Part:
    """A part of the question: less the more it could still come to.

    Attributes:
        below: what it could come to at most, below zero.
        place: among equals, the one made first comes first.
        kept, whole: the drafts of a larger question that it is about, with `must` in; settled when its turn comes.
        sieve: the question by itself, once settled.
        decided: offers that are taken in one way, or left.
        seen: every basket of it that comes to more than this was listed already.
        room, grows: in which it was listed already; how the room grows next.
    """

    below: float
    place: int
    kept: Sequence[int] = field(compare=False)
    whole: Sieve = field(compare=False)
    must: str = field(default="", compare=False)
    decided: frozenset[str] = field(default=frozenset(), compare=False)
    sieve: Sieve | None = field(default=None, compare=False)
    seen: float = field(default=inf, compare=False)
    room: float = field(default=0.0, compare=False)
    grows: float = field(default=_GROWS, compare=False)

    def settle(self) -> None:
        """Make it a question by itself, at a price and a bound of its own."""
        self.sieve = self.whole.part(self.kept, self.must)
        self.below = max(self.below, -self.sieve.bound)
        self.room = max(0.0, self.sieve.bound - self.seen)


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
    tie: Iterator[int] = field(default_factory=count)

    @property
    def value(self) -> float:
        """What the best basket comes to."""
        return -inf if self.best is None else -float(self.rank(self.best)[0])

    def through(self, whole: Sieve) -> None:
        """Look through a question and its parts until nothing that was not listed could be as good as the best.

        Raises:
            TooManyError: lists that cannot be shortened, or time is up.
        """
        every = range(len(whole.drafts))
        waiting = [_Part(-whole.bound, next(self.tie), every, whole, sieve=whole)]
        lists = 0
        while waiting:
            part = heappop(waiting)
            if -part.below < self.value - self.margin:
                return
            if part.sieve is None:
                part.settle()
                if part.below < inf:  # else nothing can be in it
                    heappush(waiting, part)
                continue
            lists += 1
            hopeless = self.best is None and (part.room > _FARTHEST * self.first or self.judged > _MOST_IN_VAIN)
            if lists > _MOST_LISTS or hopeless or monotonic() > self.until:
                raise TooManyError
            for one in self._after(part, part.sieve):
                heappush(waiting, one)

    def _after(self, part: _Part, sieve: Sieve) -> Iterator[_Part]:
        """List a part in a wider room, and say what is left of it to look at."""
        need = sieve.bound - self.value + 2 * self.margin
        if need <= _AT_ONCE * self.first and not part.room:
            room = need
        else:
            room = min(max(self.first, part.room * part.grows), need)
        open_ones = [name for name in sieve.names if name not in part.decided]
        torn = sieve.torn(open_ones)
        if torn is not None and (sieve.spare > 0 or part.room > _BEFORE_PARTING * self.first):
            yield from self._parts(part, sieve, torn)
            return
        try:
            self._look(sieve, room, _LONGEST if torn else _LONGEST * _LAST)
        except TooManyError:
            if torn is None and part.room and part.grows > _GROWS_LEAST:
                part.grows **= 0.5
                yield part
            elif open_ones:
                # the offer that adds most is decided first, for its ways differ most
                yield from self._parts(part, sieve, torn or max(open_ones, key=sieve.most_of))
            else:
                raise
            return
        if sieve.bound - room >= self.value - self.margin and room < sieve.reach:
            part.room, part.seen = room, sieve.bound - room
            part.below = max(part.below, -part.seen)
            yield part

    def _parts(self, part: _Part, sieve: Sieve, name: str) -> Iterator[_Part]:
        """The same question in parts: an offer is left, or taken on each stretch that fits the room."""
        kept = sieve.within(sieve.bound - self.value + self.margin)
        ways = [at for at in kept if sieve.drafts[at].source.name == name]
        others = [at for at in kept if sieve.drafts[at].source.name != name]
        decided = part.decided | {name}
        adds = sieve.most_of(name) - sieve.spare
        for at in ways:
            below = max(part.below, adds - float(sieve.values[at]) - sieve.bound)
            yield _Part(below, next(self.tie), [*others, at], sieve, must=name, decided=decided, seen=part.seen)
        if others and not sieve.must[sieve.names.index(name)]:
            below = max(part.below, adds - sieve.bound)
            yield _Part(below, next(self.tie), others, sieve, decided=decided, seen=part.seen)

    def _look(self, sieve: Sieve, room: float, most: int) -> None:
        """List what takes away no more than a room, and judge it from the best down."""
        found, cut = listed(sieve, room, most)
        for one in sorted(found, key=lambda one: (-one.value, one.used)):
            if self.value > one.value + self.margin:
                return  # nothing further down is as good
            if self.best is not None and sieve.spends and self._dearer(one.used, one.value):
                continue
            if self.judged == _MOST_JUDGED:
                raise TooManyError
            self.judged += 1
            basket = self.judge(one.picks)
            if basket is not None and (self.best is None or self.rank(basket) < self.rank(self.best)):
                self.best = basket
        if cut is not None and self.value <= cut + self.margin:
            raise TooManyError  # what the list left out might be as good

    def _dearer(self, used: float, value: float) -> bool:
        """Whether what is listed is as good as the best basket at most, and dearer."""
        return self.best is not None and value <= self.value + self.margin and used > float(self.best.spend) + 1e-6
