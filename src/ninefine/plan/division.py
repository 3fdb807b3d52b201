"""Sharing silver out among heirs or partners: whole pieces, wishes, and the least cash to even it out. Exact.

Everyone is due a share of what all of it is worth, by one value that all agree on. What a person gets in pieces and in
cash together is just that share, so by that value nobody is short. Wishes are points that each spreads over the things;
they say what is dear to whom, and are never turned into money.

Envy is asked by each one's own wishes: whether another's pieces, in proportion to the two shares, hold more of one's
points than one's own pieces do. `division_search` finds the best.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.book.share import share, unit_of

ZERO = Decimal(0)


class First(StrEnum):
    """What comes first; the others follow in the order of this list."""

    NO_ENVY = "no envy"
    LEAST_CASH = "least cash"
    WISHES = "wishes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who gets a share; shares are in proportion, so `1` and `1` are halves."""

    name: str
    share: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """Pieces that are alike: how many, what one is worth, and who wishes for them.

    Attributes:
        name: what they are.
        count: how many pieces there are; each goes whole to one person. A heap that must stay together is one piece.
        worth: what one is worth, to the cent.
        wishes: points of each person, by name, for all of them together.
    """

    name: str
    count: int
    worth: Decimal
    wishes: Mapping[str, int] = field(default_factory=dict)

    def points(self, person: str) -> Fraction:
        """A person's points for one of the pieces."""
        return Fraction(self.wishes.get(person, 0), self.count)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estate:
    """All that is shared out, among whom, and what comes first.

    `most_cash`: no more cash than this may change hands in all; any where none.
    """

    people: tuple[Person, ...]
    things: tuple[Thing, ...]
    first: First = First.LEAST_CASH
    most_cash: Decimal | None = None
    currency: str = "USD"

    def due(self) -> list[Decimal]:
        """What each is due, to the cent; they sum to the worth of all of it."""
        whole = sum((thing.worth * thing.count for thing in self.things), ZERO)
        parts = sum((person.share for person in self.people), Fraction(0))
        weights = [
            Decimal((person.share / parts).numerator) / Decimal((person.share / parts).denominator)
            for person in self.people
        ]
        return share(whole, weights, unit_of(self.currency))


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """What one person gets: pieces of each thing, their worth, and the cash that evens it out.

    `cash` is above zero for what the person is paid, below for what the person pays. `points` are the person's own for
    what came, out of `wished`.
    """

    person: Person
    pieces: tuple[int, ...]
    worth: Decimal
    due: Decimal
    cash: Decimal
    points: Fraction
    wished: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Envy:
    """Somebody whose wishes another's pieces meet better, in proportion to their shares, and by which things.

    `things`: those wished for of which the other has more, in that proportion.
    """

    who: str
    whom: str
    things: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Payment:
    """Cash from one to another."""

    by: str
    to: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """A sharing out.

    Attributes:
        lots: what each gets.
        moved: cash that changes hands, in all. payments: by whom to whom.
        parted: things whose pieces go to more than one person.
        envies: who envies whom; empty where nobody does.
        first_proven: nothing is better by what comes first. aims_proven: nor by what of cash, wishes and envy follows.
            proven: nor could fewer things be parted.
    """

    lots: tuple[Lot, ...]
    moved: Decimal
    payments: tuple[Payment, ...]
    parted: int
    envies: tuple[Envy, ...]
    first_proven: bool
    aims_proven: bool
    proven: bool


def sharing_of(
    estate: Estate,
    pieces: Sequence[Sequence[int]],
    *,
    first_proven: bool = False,
    aims_proven: bool = False,
    proven: bool = False,
) -> Sharing:
    """Reckon a sharing out exactly from the pieces of each thing that each person gets."""
    lots = []
    for person, row, due in zip(estate.people, pieces, estate.due(), strict=True):
        worth = sum((thing.worth * count for thing, count in zip(estate.things, row, strict=True)), ZERO)
        lots.append(
            Lot(
                person=person,
                pieces=tuple(row),
                worth=worth,
                due=due,
                cash=due - worth,
                points=points_in(estate, person.name, row),
                wished=sum(thing.wishes.get(person.name, 0) for thing in estate.things),
            )
        )
    return Sharing(
        lots=tuple(lots),
        moved=sum((lot.cash for lot in lots if lot.cash > 0), ZERO),
        payments=_payments(lots),
        parted=sum(1 for column in zip(*pieces, strict=True) if sum(1 for count in column if count) > 1),
        envies=tuple(_envies(estate, lots)),
        first_proven=first_proven,
        aims_proven=aims_proven,
        proven=proven,
    )


def points_in(estate: Estate, person: str, row: Sequence[int]) -> Fraction:
    """The points that a person sees in some pieces."""
    each = (thing.points(person) * count for thing, count in zip(estate.things, row, strict=True))
    return sum(each, Fraction(0))


def _envies(estate: Estate, lots: Sequence[Lot]) -> list[Envy]:
    found = []
    for one in lots:
        for other in lots:
            theirs = points_in(estate, one.person.name, other.pieces) / other.person.share
            if one is not other and theirs > one.points / one.person.share:
                rows = zip(estate.things, one.pieces, other.pieces, strict=True)
                things = [
                    thing.name
                    for thing, mine, yours in rows
                    if thing.wishes.get(one.person.name) and yours * one.person.share > mine * other.person.share
                ]
                found.append(Envy(who=one.person.name, whom=other.person.name, things=tuple(things)))
    return found


def _payments(lots: Sequence[Lot]) -> tuple[Payment, ...]:
    """Who pays whom: those who owe most pay those who are owed most."""
    owed = {lot.person.name: lot.cash for lot in lots if lot.cash > 0}
    owes = {lot.person.name: -lot.cash for lot in lots if lot.cash < 0}
    made = []
    while owed and owes:
        to, by = max(owed, key=lambda name: owed[name]), max(owes, key=lambda name: owes[name])
        amount = min(owed[to], owes[by])
        made.append(Payment(by=by, to=to, amount=amount))
        for side, name in ((owed, to), (owes, by)):
            side[name] -= amount
            if not side[name]:
                del side[name]
    return tuple(made)
