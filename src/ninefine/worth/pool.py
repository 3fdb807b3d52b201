"""Average cost: like silver is one pool, and each ounce that leaves takes the pool's average along.

A method of some places and not of others; the person chooses it for the whole book. The lots' own costs stay as they
are in the book: the average is worked out beside them. Silver whose cost nobody knows, and what serves the household
itself, is in no pool and keeps what the book says of it. What is set to the household's own use leaves its pool at the
average, and comes back at what it left with. What a sorting tells to be of another pool goes over at the average.

Within a day, what came counts before what left; what is sorted counts as it was said. A pool is of silver that is
quoted alike: all 90% small coin is one, the 90% dollars another, one-ounce pieces a third, and any other kind by
itself. Its ounces are the trade's.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.book.entries import Lost, Mended, Refined, Sold, Sorted, Swapped, Used
from ninefine.book.holdings import Disposal, Lot, Origin
from ninefine.book.share import ZERO, part_of, share, unit_of
from ninefine.book.take import basis_of, take
from ninefine.book.walk import walk
from ninefine.catalog.kinds import Kind
from ninefine.errors import NotFoundError
from ninefine.market.content import content_of
from ninefine.measure.numbers import EXACT, to_places
from ninefine.worth.ounces import Measured, ounces_of

#: Entries by which anything may leave its pool: the days on which an average is struck.
_TAKES = (Sold, Swapped, Lost, Refined, Used)
KindOf = Callable[[str], Kind]
#: How many wide names of a kind (its form, its metal) stand behind the name of its pool.
_WIDE = 2
#: Ounces are rounded to so many places, so that what came and left again leaves exactly nothing.
_PLACES = 15


@dataclass(slots=True)
class _Pool:
    """What is in a pool: ounces and cost by the lots' own reckoning, and what the average has taken out instead."""

    ozt: Decimal = ZERO
    held: Decimal = ZERO
    gone: Decimal = ZERO
    taken: Decimal = ZERO

    @property
    def cost(self) -> Decimal:
        """What the ounces held cost by the average."""
        return self.held + self.gone - self.taken


@dataclass(frozen=True, slots=True, kw_only=True)
class Average:
    """A pool as it stands: its ounces (by trade) and what they cost by the average."""

    pool: str
    ozt: Decimal
    cost: Decimal

    @property
    def per_ozt(self) -> Decimal | None:
        """What an ounce costs, to 40 digits; none where the pool is empty."""
        return EXACT.divide(self.cost, self.ozt) if self.ozt else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Averages:
    """Average cost of a whole book.

    Attributes:
        basis: each disposal's basis by the average, by its place among the disposals; those in no pool are missing.
        pools: each pool as it stands at the end, by name.
    """

    basis: dict[int, Decimal]
    pools: dict[str, Average]


def pool_of(kind: Kind) -> str:
    """The name of a kind's pool: `90`, `dollars`, `ozt`, or its own slug; empty for what is no metal."""
    if not kind.fineness:
        return ""
    names = content_of(kind).names
    return names[-_WIDE - 1] if len(names) > _WIDE else names[0]


def averages(
    records: Iterable[Stored], kind_of: KindOf, *, until: date | None = None, currency: str = "USD"
) -> Averages:
    """Work the average cost of every disposal out, in one walk through the book.

    Args:
        records: the book's.
        kind_of: the catalog's `kind`.
        until: the last day that counts; all of them where none.
        currency: the book's, for rounding to its smallest unit; a pool's last piece takes what is left of its cost.
    """
    kept = list(records)
    end = date.max if until is None else until
    facts = (record.entry.instead if isinstance(record.entry, Mended) else record.entry for record in kept)
    takes = [fact for fact in facts if isinstance(fact, _TAKES)]
    days = {fact.on for fact in takes}
    used = {fact.on for fact in takes if isinstance(fact, Used)} - {date.min}
    days |= {day - timedelta(days=1) for day in used}  # what goes must be in its pool by then
    pools = _Pools(kind_of, unit_of(currency))
    left: list[Disposal] = []
    stops = sorted({day for day in days if day <= end} | {end})
    for step in walk(kept, stops, currency=currency, alone=(Sorted,)):
        if isinstance(step.alone, Sorted):
            pools.sorted_out(step.alone)
        for lot in step.changed.values():
            pools.lot_changed(lot)
        for disposal in step.left:
            pools.came_and_left(disposal)
        left += step.left
        if step.ends:
            for disposal in left:
                pools.leave(disposal)
            left.clear()
    return Averages(basis=pools.basis, pools=pools.standing())


def after(pools: dict[str, Average], sold: Sequence[tuple[str, Decimal]], *, currency: str = "USD") -> list[Decimal]:
    """The basis by the average of pieces about to be sold, each a pool's name and its trade ounces.

    Raises:
        NotFoundError: a pool that holds nothing.
    """
    unit = unit_of(currency)
    left = {name: (pool.ozt, pool.cost) for name, pool in pools.items()}
    found = []
    for name, ozt in sold:
        if name not in left or not left[name][0]:
            raise NotFoundError(f"There is no pool of {name} to average.")
        held, cost = left[name]
        basis = share_of(cost, ozt, held, unit)
        left[name] = held - ozt, cost - basis
        found.append(basis)
    return found


class _Pools:
    """The walk's state: each pool, what each lot holds of it, and the basis of what left."""

    def __init__(self, kind_of: KindOf, unit: Decimal) -> None:
        self._kind_of = kind_of
        self._unit = unit
        self._pools: dict[str, _Pool] = {}
        self._lots: dict[str, Lot] = {}
        self._parts: dict[str, dict[str, tuple[Decimal, Decimal]]] = {}
        self._names: dict[str, str] = {}
        #: What each lot took of a pool into own use: ounces, and how much more than its own cost.
        self._aside: dict[tuple[str, str], tuple[Decimal, Decimal]] = {}
        self._place = 0
        self.basis: dict[int, Decimal] = {}

    def lot_changed(self, lot: Lot) -> None:
        """Take what a lot held out of its pools, and put in what it holds now."""
        for name, (ozt, cost) in self._parts.pop(lot.name, {}).items():
            pool = self._pools[name]
            if lot.origin.own_use and ozt:
                left_at = share_of(pool.cost, ozt, pool.ozt, self._unit)
                self._aside[lot.name, name] = ozt, left_at - cost
                pool.taken += left_at - cost
            pool.ozt, pool.held = pool.ozt - ozt, pool.held - cost
        parts: dict[str, tuple[Decimal, Decimal]] = {}
        for heap in lot.heaps:
            name = self._name(heap.kind, lot.origin)
            if name:
                ozt, cost = parts.get(name, (ZERO, ZERO))
                parts[name] = ozt + self._ounces(heap.kind, heap), cost + heap.basis
        for name, (ozt, cost) in parts.items():
            pool = self._pools.setdefault(name, _Pool())
            pool.taken -= self._back(lot.name, name, ozt, cost)
            pool.ozt, pool.held = pool.ozt + ozt, pool.held + cost
        self._parts[lot.name], self._lots[lot.name] = parts, lot

    def sorted_out(self, entry: Sorted) -> None:
        """Let each line that is of another pool take its share at the average, before its own cost goes over with it.

        The heap's cost at the average is shared as the sorting shares its own; a line in no pool takes its own along.
        """
        lot = self._lots[entry.heap.lot]
        heap = next(heap for heap in lot.heaps if heap.ref == entry.heap)
        name = self._name(heap.kind, lot.origin)
        if not name:
            return
        taken, left = take(heap, entry.taken)
        pool, weights = self._pools[name], [line.weight for line in entry.lines]
        average = share_of(pool.cost, self._ounces(heap.kind, taken), pool.ozt, self._unit)
        own = basis_of(heap.basis, heap.amount, taken, left, self._unit)
        parts = zip(share(average, weights, self._unit), share(own, weights, self._unit), strict=True)
        for line, (at_average, at_own) in zip(entry.lines, parts, strict=True):
            there = self._name(line.kind, lot.origin)
            if there not in {name, ""}:
                pool.taken += at_average - at_own
                self._pools.setdefault(there, _Pool()).taken -= at_average - at_own

    def _back(self, lot: str, pool: str, ozt: Decimal, cost: Decimal) -> Decimal:
        """What a lot back from own use costs beyond its own cost, as it left; a share where less comes back."""
        then, beyond = self._aside.pop((lot, pool), (ZERO, ZERO))
        if not beyond:
            return ZERO
        return max(share_of(beyond, ozt, then, self._unit), -cost)

    def came_and_left(self, disposal: Disposal) -> None:
        """Put back what left within the day, so that the average is struck before any of it goes."""
        name = self._name(disposal.kind, disposal.origin)
        if name:
            pool = self._pools.setdefault(name, _Pool())
            pool.ozt += self._ounces(disposal.kind, disposal.amount)
            pool.gone += disposal.basis

    def leave(self, disposal: Disposal) -> None:
        """Take a disposal out of its pool at the average."""
        name = self._name(disposal.kind, disposal.origin)
        if name:
            pool, ozt = self._pools[name], self._ounces(disposal.kind, disposal.amount)
            basis = share_of(pool.cost, ozt, pool.ozt, self._unit)
            pool.ozt, pool.taken = pool.ozt - ozt, pool.taken + basis
            self.basis[self._place] = basis
        self._place += 1

    def standing(self) -> dict[str, Average]:
        """Each pool that holds anything."""
        return {
            name: Average(pool=name, ozt=pool.ozt, cost=pool.cost) for name, pool in self._pools.items() if pool.ozt
        }

    def _name(self, slug: str, origin: Origin) -> str:
        """The pool of a kind; empty where it is in none."""
        if not origin.cost_known or origin.own_use:
            return ""
        if slug not in self._names:
            try:
                self._names[slug] = pool_of(self._kind_of(slug))
            except NotFoundError:
                self._names[slug] = ""
        return self._names[slug]

    def _ounces(self, slug: str, held: Measured) -> Decimal:
        return to_places(ounces_of(held, self._kind_of(slug)).trade, _PLACES)


def share_of(cost: Decimal, ozt: Decimal, held: Decimal, unit: Decimal) -> Decimal:
    """The share of a pool's cost that goes with some of its ounces; all of it with the last."""
    return cost if ozt >= held else part_of(cost, ozt, held, unit)
