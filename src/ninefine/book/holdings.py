"""What the book holds on a date: lots, their heaps, goods on their way, disposals. Frozen results of a fold."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import msgspec

from ninefine.book.how import How, Left
from ninefine.book.said import Amount, HeapRef

_NOTHING = Decimal(0)


class Origin(msgspec.Struct, frozen=True, gc=False):
    """Where a lot comes from; shared by all that came of one entry.

    Attributes:
        acquired: the date from which it counts as owned: bought on, the giver's own date, the day of death; none where
            nobody knows.
        came: the day it came into the household, or into the book; for what was bought the day it was bought.
        seller: of whom it came: the seller, the giver, the estate, the other side of a swap.
        how: how it came.
        cost_known: false where nobody knows what it cost; its cost is then zero and says nothing.
        own_use: serves the household itself (tableware).
    """

    acquired: date | None
    came: date
    seller: str = ""
    how: How = How.BOUGHT
    cost_known: bool = True
    own_use: bool = False


class Leaving(msgspec.Struct, frozen=True, gc=False):
    """How pieces left; shared by all that left by one entry.

    Attributes:
        serial, on: the entry, and the day.
        left: sold, swapped, refined, lost and so on.
        rule: how the pieces were chosen, fixed at the time.
        buyer: to whom: the buyer, the other side of a swap, the refiner, whom it was given to.
        exit: the way out that was taken, if one was named.
    """

    serial: int
    on: date
    left: Left = Left.SOLD
    rule: str = ""
    buyer: str = ""
    exit: str = ""


class Heap(msgspec.Struct, frozen=True, gc=False):
    """Part of a lot: pieces of one kind at one place, told apart into an issue or not.

    `amount` holds what is known; its `gross_g` is always a scale's (or a stamp's) word, never a specification. `basis`
    is the heap's share of the lot's cost, exact to the cent; with `cost_known` false nobody knows what it cost, and its
    basis of zero says nothing.
    """

    lot: str
    kind: str
    issue: str
    place: str
    amount: Amount
    basis: Decimal
    cost_known: bool = True

    @property
    def ref(self) -> HeapRef:
        """The name by which entries speak of this heap."""
        return HeapRef(lot=self.lot, kind=self.kind, issue=self.issue, place=self.place)

    @property
    def count(self) -> int | None:
        """How many pieces, where they were counted."""
        return self.amount.count

    @property
    def face(self) -> Decimal | None:
        """How much face, where it is known."""
        return self.amount.face

    @property
    def gross_g(self) -> Decimal | None:
        """Grams on the scale, where it was weighed."""
        return self.amount.gross_g


class Lot(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """Pieces that came together: one date, one cost. It keeps its identity when sorted, moved and sold in parts.

    Attributes:
        name: the lot's name in the book.
        serial: the entry that made it.
        origin: when, how and of whom it came.
        ordered: how much came, as it was said then.
        cost: what it cost in all, less credits; the basis of what was sold and what is held sum to it. For a gift the
            giver's, for an inheritance the value at death.
        awaited: bought and not yet received.
        received: the date it was received, if it was awaited or counted.
        claim: asked of the seller and not yet credited.
        heaps: what is still held of it.
        loss_cost: for a gift worth less that day than it had cost the giver: that value, from which a loss is reckoned.
        loss_basis: how much of `loss_cost` goes with what is still held.
        whole: nothing of it was sorted out, split off, joined or sold yet, so that it may still be counted as it came.
    """

    name: str
    serial: int
    origin: Origin
    kind: str
    ordered: Amount
    quote: str
    cost: Decimal
    awaited: bool
    received: date | None
    claim: Decimal
    heaps: tuple[Heap, ...]
    loss_cost: Decimal | None = None
    loss_basis: Decimal | None = None
    whole: bool = True

    @property
    def acquired(self) -> date | None:
        """The date from which it counts as owned; none where nobody knows."""
        return self.origin.acquired

    @property
    def came(self) -> date:
        """The day it came into the household, or into the book."""
        return self.origin.came

    @property
    def seller(self) -> str:
        """Of whom it came."""
        return self.origin.seller

    @property
    def how(self) -> How:
        """How it came."""
        return self.origin.how

    @property
    def cost_known(self) -> bool:
        """Whether anybody knows what it cost."""
        return self.origin.cost_known

    @property
    def own_use(self) -> bool:
        """Whether it serves the household itself."""
        return self.origin.own_use


class Disposal(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """Pieces of one heap that left the book, with what they cost and brought.

    Attributes:
        leaving: when, how and to whom they left.
        origin: when, how and of whom their lot came.
        proceeds: what they brought, before fees.
        fees: the line's share of what was taken off.
        basis: what they cost.
        loss_basis: the part of their lot's `loss_cost` that went with them.
        value: what they were worth, where nothing was paid and somebody knew.
    """

    leaving: Leaving
    origin: Origin
    lot: str
    kind: str
    issue: str
    amount: Amount
    proceeds: Decimal
    fees: Decimal
    basis: Decimal
    loss_basis: Decimal | None = None
    value: Decimal | None = None

    @property
    def serial(self) -> int:
        """The entry by which they left."""
        return self.leaving.serial

    @property
    def on(self) -> date:
        """The day on which they left."""
        return self.leaving.on

    @property
    def left(self) -> Left:
        """How they left."""
        return self.leaving.left

    @property
    def rule(self) -> str:
        """How they were chosen."""
        return self.leaving.rule

    @property
    def buyer(self) -> str:
        """To whom they went."""
        return self.leaving.buyer

    @property
    def exit(self) -> str:
        """The way out that was taken, if one was named."""
        return self.leaving.exit

    @property
    def acquired(self) -> date | None:
        """The date from which they counted as owned; none where nobody knows."""
        return self.origin.acquired

    @property
    def came(self) -> date:
        """The day they came into the household, or into the book."""
        return self.origin.came

    @property
    def how(self) -> How:
        """How they came."""
        return self.origin.how

    @property
    def cost_known(self) -> bool:
        """Whether anybody knows what they cost."""
        return self.origin.cost_known

    @property
    def own_use(self) -> bool:
        """Whether they served the household itself."""
        return self.origin.own_use

    @property
    def net(self) -> Decimal:
        """Proceeds less fees."""
        return self.proceeds - self.fees

    @property
    def gain(self) -> Decimal | None:
        """Proceeds less fees less basis; may be negative. A gift's loss is reckoned from its value at the gift.

        None where nobody knows what the pieces cost, and for what was given away: nothing was gained or lost.
        """
        if not self.cost_known or self.left is Left.GIVEN_AWAY:
            return None
        return gain_of(self.net, self.basis, self.loss_basis)


def gain_of(net: Decimal, basis: Decimal, loss_basis: Decimal | None) -> Decimal:
    """Gain over the basis; with a lower basis for losses, a loss is what falls short of that, and between is nothing.

    The rule for gifts: 26 CFR 1.1015-1(a).
    """
    gain = net - basis
    if gain >= 0 or loss_basis is None:
        return gain
    return min(net - loss_basis, _NOTHING)


class PriceMark(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """A price that the person set down, as of the fold's date."""

    serial: int
    on: date
    at: str
    metal: str
    per_ozt: Decimal
    side: str
    whose: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Holdings:
    """The book on a date: nothing here can change.

    `tables` holds the rows of the person's own tables (`{"exit": {"the shop": {...}}}`) as last set down.
    """

    on: date | None
    serial: int
    lots: Mapping[str, Lot]
    disposals: tuple[Disposal, ...]
    prices: tuple[PriceMark, ...]
    tables: Mapping[str, Mapping[str, Mapping[str, object]]]

    @property
    def heaps(self) -> tuple[Heap, ...]:
        """Every heap held, lot by lot in the order in which lots came."""
        return tuple(heap for lot in self.lots.values() for heap in lot.heaps)
