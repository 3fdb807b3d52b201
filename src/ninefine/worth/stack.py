"""The whole stack on a date: fine ounces, melt and cost by form, by place and by metal.

Heaps of one kind at one place are summed into piles first; every figure is linear in count, face and grams, so a
pile's ounces are its heaps' ounces, and a book of many thousand heaps is still answered at once.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis, Form, Kind
from ninefine.errors import NotFoundError
from ninefine.measure.money import METALS, cents, spread
from ninefine.measure.numbers import EXACT
from ninefine.worth.ounces import Fine, HeapOunces, ounces_of

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pile:
    """All heaps of one kind at one place that were measured alike, summed.

    Heaps whose cost nobody knows make piles of their own: with `cost_known` false, `basis` is zero and says nothing.
    """

    kind: Kind
    place: str
    count: int | None
    face: Decimal | None
    gross_g: Decimal | None
    basis: Decimal
    heaps: int
    cost_known: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PileWorth:
    """A pile with its ounces and melt. `melt` is none where its metal has no price."""

    pile: Pile
    ounces: HeapOunces
    fine: Fine
    melt: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KindWorth:
    """All piles of one kind whose ounces count on one basis, wherever they lie."""

    kind: Kind
    basis: Basis
    piles: tuple[PileWorth, ...]

    @property
    def heaps(self) -> int:
        """How many heaps."""
        return sum(line.pile.heaps for line in self.piles)

    @property
    def count(self) -> int | None:
        """Pieces; none where any pile was not counted."""
        counts = [line.pile.count for line in self.piles]
        return None if None in counts else sum(count or 0 for count in counts)

    @property
    def face(self) -> Decimal | None:
        """Face; none where any pile's is not known."""
        faces = [line.pile.face for line in self.piles]
        return None if None in faces else sum((face or ZERO for face in faces), ZERO)

    @property
    def weighed_g(self) -> Decimal:
        """Grams of what was weighed."""
        return sum((line.pile.gross_g or ZERO for line in self.piles), ZERO)

    @property
    def ozt(self) -> Decimal:
        """Fine troy ounces on `basis`."""
        return sum((line.fine.ozt for line in self.piles), ZERO)

    @property
    def unworn(self) -> Decimal:
        """Fine troy ounces as struck."""
        return sum((line.ounces.unworn for line in self.piles), ZERO)

    @property
    def trade(self) -> Decimal:
        """Fine troy ounces as the trade counts them."""
        return sum((line.ounces.trade for line in self.piles), ZERO)

    @property
    def cost(self) -> Decimal:
        """What they cost, as far as that is known."""
        return sum((line.pile.basis for line in self.piles), ZERO)

    @property
    def uncosted_ozt(self) -> Decimal:
        """Fine troy ounces whose cost nobody knows."""
        return _uncosted(self.piles)

    @property
    def melt(self) -> Decimal | None:
        """Melt; none where the metal has no price."""
        melts = [line.melt for line in self.piles if line.melt is not None]
        return sum(melts, ZERO) if melts else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One slice of the stack: by form, place, metal or kind. `part` is its share of fine weight of its metal.

    `basis` is what it cost as far as that is known; `uncosted_ozt` how many of its ounces nobody knows the cost of.
    """

    name: str
    metal: str
    ozt: Decimal
    part: Decimal
    gross_g: Decimal
    melt: Decimal | None
    basis: Decimal
    uncosted_ozt: Decimal = ZERO

    @property
    def cost_per_ozt(self) -> Decimal | None:
        """What an ounce cost, over those whose cost is known, to 40 digits; none where it is known of none."""
        costed = self.ozt - self.uncosted_ozt
        return EXACT.divide(self.basis, costed) if costed else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The stack on one ounce basis at one set of prices.

    `unknown` counts heaps whose kind the catalog does not hold: they are listed, and are in no figure but cost.
    `cost` is what the rest cost as far as that is known; `uncosted_ozt` says of how much it is not.
    `unweighed_ozt` is how much of an asked-for scale figure had to be counted by trade.
    """

    basis: Basis
    lines: tuple[PileWorth, ...]
    unknown: tuple[Heap, ...]
    cost: Decimal

    def ozt(self, metal: str = "XAG") -> Decimal:
        """Fine troy ounces of a metal."""
        return sum((line.fine.ozt for line in self.lines if line.pile.kind.metal == metal), ZERO)

    def melt(self) -> Decimal | None:
        """Melt of everything that is priced; none where nothing is."""
        priced = [line.melt for line in self.lines if line.melt is not None]
        return sum(priced, ZERO) if priced else None

    def uncosted_ozt(self, metal: str = "XAG") -> Decimal:
        """Fine troy ounces of a metal whose cost nobody knows."""
        return _uncosted(line for line in self.lines if line.pile.kind.metal == metal)

    @property
    def cost_known(self) -> bool:
        """Whether the cost of everything is known."""
        return all(line.pile.cost_known for line in self.lines)

    @property
    def unweighed_ozt(self) -> Decimal:
        """Ounces that were asked for by scale and counted by trade."""
        if self.basis is not Basis.SCALE:
            return ZERO
        return sum((line.fine.ozt for line in self.lines if line.fine.basis is Basis.TRADE), ZERO)

    @property
    def metals(self) -> tuple[str, ...]:
        """The metals held, silver first."""
        held = {line.pile.kind.metal for line in self.lines if line.fine.ozt}
        return tuple(metal for metal in METALS if metal in held)

    def kinds(self) -> tuple[KindWorth, ...]:
        """Kind by kind, most ounces first; a kind that is weighed in part stands twice."""
        groups: dict[tuple[str, Basis], list[PileWorth]] = {}
        for line in self.lines:
            groups.setdefault((line.pile.kind.slug, line.fine.basis), []).append(line)
        found = [
            KindWorth(kind=lines[0].pile.kind, basis=basis, piles=tuple(lines)) for (_, basis), lines in groups.items()
        ]
        return tuple(sorted(found, key=lambda one: (-one.ozt, one.kind.name)))

    def by_form(self, metal: str = "XAG") -> tuple[Share, ...]:
        """Shares of a metal by form, largest first."""
        return self._shares(lambda pile: pile.kind.form.value, metal)

    def by_place(self, metal: str = "XAG") -> tuple[Share, ...]:
        """Shares of a metal by place, largest first."""
        return self._shares(lambda pile: pile.place, metal)

    def by_kind(self, metal: str = "XAG") -> tuple[Share, ...]:
        """Shares of a metal by kind, largest first."""
        return self._shares(lambda pile: pile.kind.slug, metal)

    def constitutional_share(self) -> Decimal | None:
        """Constitutional coin's share of the fine silver, 0 to 1; none where there is no silver."""
        whole = self.ozt()
        if not whole:
            return None
        coin = sum((line.fine.ozt for line in self.lines if line.pile.kind.form is Form.CONSTITUTIONAL), ZERO)
        return EXACT.divide(coin, whole)

    def _shares(self, name_of: Callable[[Pile], str], metal: str) -> tuple[Share, ...]:
        whole = self.ozt(metal)
        groups: dict[str, list[PileWorth]] = {}
        for line in self.lines:
            if line.pile.kind.metal == metal:
                groups.setdefault(name_of(line.pile), []).append(line)
        shares = [_share(name, metal, lines, whole) for name, lines in groups.items()]
        return tuple(sorted(shares, key=lambda share: (-share.ozt, share.name)))


def _share(name: str, metal: str, lines: list[PileWorth], whole: Decimal) -> Share:
    ozt = sum((line.fine.ozt for line in lines), ZERO)
    melts = [line.melt for line in lines if line.melt is not None]
    return Share(
        name=name,
        metal=metal,
        ozt=ozt,
        part=EXACT.divide(ozt, whole) if whole else ZERO,
        gross_g=sum((line.ounces.gross_g for line in lines), ZERO),
        melt=sum(melts, ZERO) if melts else None,
        basis=sum((line.pile.basis for line in lines), ZERO),
        uncosted_ozt=_uncosted(lines),
    )


def _uncosted(lines: Iterable[PileWorth]) -> Decimal:
    return sum((line.fine.ozt for line in lines if not line.pile.cost_known), ZERO)


def piles_of(heaps: Iterable[Heap], kind_of: Callable[[str], Kind]) -> tuple[tuple[Pile, ...], tuple[Heap, ...]]:
    """Sum heaps into piles of one kind and place, measured alike; second, the heaps of unknown kinds.

    Heaps whose cost is known and those whose cost nobody knows make piles apart.
    """
    groups: dict[tuple[str, str, bool, bool, bool, bool], list[Heap]] = {}
    for heap in heaps:
        measured = (heap.count is not None, heap.face is not None, heap.gross_g is not None, heap.cost_known)
        groups.setdefault((heap.kind, heap.place, *measured), []).append(heap)
    piles: list[Pile] = []
    unknown: list[Heap] = []
    for (slug, place, *_), group in groups.items():
        try:
            piles.append(_pile(kind_of(slug), place, group))
        except NotFoundError:
            unknown += group
    return tuple(piles), tuple(unknown)


def _pile(kind: Kind, place: str, group: list[Heap]) -> Pile:
    first = group[0]
    return Pile(
        kind=kind,
        place=place,
        count=None if first.count is None else sum(heap.count or 0 for heap in group),
        face=None if first.face is None else sum((heap.face or ZERO for heap in group), ZERO),
        gross_g=None if first.gross_g is None else sum((heap.gross_g or ZERO for heap in group), ZERO),
        basis=sum((heap.basis for heap in group), ZERO),
        heaps=len(group),
        cost_known=first.cost_known,
    )


def stack_of(
    heaps: Iterable[Heap],
    kind_of: Callable[[str], Kind],
    *,
    basis: Basis = Basis.TRADE,
    spots: Mapping[str, Decimal] | None = None,
    currency: str = "USD",
) -> Stack:
    """Count and value the stack.

    Args:
        heaps: what is held.
        kind_of: the catalog's `kind`: a kind by its slug, the person's own among them.
        basis: which ounces to count.
        spots: price per troy ounce by metal; a metal that is missing is counted and not valued.
        currency: the book's, for rounding to its smallest unit.
    """
    held = tuple(heaps)
    piles, unknown = piles_of(held, kind_of)
    counted = [(pile, ounces_of(pile, pile.kind)) for pile in piles]
    melts = melts_of([(pile.kind.metal, ounces.on(basis).ozt) for pile, ounces in counted], spots or {}, currency)
    lines = [
        PileWorth(pile=pile, ounces=ounces, fine=ounces.on(basis), melt=melt)
        for (pile, ounces), melt in zip(counted, melts, strict=True)
    ]
    lines.sort(key=lambda line: (-line.fine.ozt, line.pile.kind.name, line.pile.place))
    return Stack(basis=basis, lines=tuple(lines), unknown=unknown, cost=sum((heap.basis for heap in held), ZERO))


def melts_of(rows: list[tuple[str, Decimal]], spots: Mapping[str, Decimal], currency: str) -> list[Decimal | None]:
    """Melt of each row; each metal's sum is rounded once and shared out, so that rows add up to it to the cent."""
    melts: list[Decimal | None] = [None] * len(rows)
    for metal, spot in spots.items():
        places = [index for index, (of, _) in enumerate(rows) if of == metal]
        ounces = [rows[index][1] for index in places]
        whole = sum(ounces, ZERO)
        parts = (
            spread(cents(EXACT.multiply(whole, spot), currency), ounces, currency) if whole else [ZERO] * len(places)
        )
        for index, part in zip(places, parts, strict=True):
            melts[index] = part
    return melts
