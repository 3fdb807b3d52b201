"""Sharing silver out among heirs or partners: whole pieces, wishes, and the least cash to even it out. Exact.

Everyone is due a share of what all of it is worth, by one value that all agree on. What a person gets in pieces and in
cash together is just that share, so by that value nobody is short. Wishes are points that each spreads over the things;
they say what is dear to whom, and are never turned into money.

Envy is asked by each one's own wishes: whether another's pieces, in proportion to the two shares, hold more of one's
points than one's own pieces do.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import lcm

from ninefine.book.share import share, unit_of
from ninefine.plan.model import Aim, Model
from ninefine.plan.solver import Patience, Proof, solve

ZERO = Decimal(0)
#: Seconds that a sharing out is looked for at most.
SECONDS = 10.0


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
        first_proven: nothing is better by what comes first. proven: nor by what comes second and third.
    """

    lots: tuple[Lot, ...]
    moved: Decimal
    payments: tuple[Payment, ...]
    parted: int
    envies: tuple[Envy, ...]
    first_proven: bool
    proven: bool


def share_out(estate: Estate, *, seconds: float = SECONDS) -> Sharing | None:
    """The best sharing out, or none where the cash allowed does not do."""
    sheet = _Sheet(estate)
    aims = sheet.aims()
    values: tuple[int, ...] | None = None
    proofs: list[bool] = []
    totals = _least_cash(estate, 2 * seconds) if estate.first is First.LEAST_CASH else None
    if totals is not None:
        # pieces that are worth the same are alike to cash, so its least is found by their totals, which is far quicker
        values = sheet.like(totals, seconds)
        if values is not None:
            sheet.hold(aims.pop(0), values)
            proofs.append(True)
    for aim in aims:
        answer = solve(sheet.model, aim, patience=Patience(seconds=seconds))
        proofs.append(answer.proof is Proof.PROVEN)
        if answer.values is None:
            break
        values = answer.values
        sheet.hold(aim, values)
    if values is None:
        return None
    return sharing_of(estate, sheet.pieces(values), first_proven=proofs[0], proven=all(proofs))


def _least_cash(estate: Estate, seconds: float) -> list[list[int]] | None:
    """For each worth, how many pieces of it go to each person so that the least cash moves; none if not proven."""
    worths = list(dict.fromkeys(thing.worth for thing in estate.things))
    if len(worths) == len(estate.things):
        return None
    counts = {worth: sum(thing.count for thing in estate.things if thing.worth == worth) for worth in worths}
    alike = tuple(Thing(name=f"{worth:f}", count=counts[worth], worth=worth) for worth in worths)
    sheet = _Sheet(replace(estate, things=alike))
    answer = solve(sheet.model, sheet.aims()[0], patience=Patience(seconds=seconds))
    if answer.values is None or answer.proof is not Proof.PROVEN:
        return None
    return sheet.pieces(answer.values)


class _Sheet:
    """The sharing out as whole numbers. Money is in cents, points in whole parts."""

    def __init__(self, estate: Estate) -> None:
        self.model, self._estate = Model(), estate
        self._people = range(len(estate.people))
        self._gets = [
            [self.model.unknown(thing.count, name=f"{thing.name} to {person.name}") for thing in estate.things]
            for person in estate.people
        ]
        for at, thing in enumerate(estate.things):
            row = {self._gets[who][at]: 1 for who in self._people}
            self.model.row(row, least=thing.count, most=thing.count, because=f"all of {thing.name} goes")
        self._paid = [self._cash_to(who) for who in self._people]
        self._parted = [self._parting(at) for at in range(len(estate.things))]
        self._envies = self._envy() if estate.first is First.NO_ENVY else []
        if estate.most_cash is not None:
            most = int(estate.most_cash * 100)
            self.model.row(dict.fromkeys(self._paid, 1), most=most, because="the most cash allowed")

    def pieces(self, values: Sequence[int]) -> list[list[int]]:
        """How many pieces of each thing go to each person."""
        return [[values[at] for at in row] for row in self._gets]

    def hold(self, aim: Aim, values: Sequence[int]) -> None:
        """From now on no sharing may be worse by an aim than these values."""
        held = aim.of(values)
        self.model.row(aim.terms, least=held if aim.up else None, most=None if aim.up else held, because="held")

    def like(self, totals: Sequence[Sequence[int]], seconds: float) -> tuple[int, ...] | None:
        """Values in which each person gets so many pieces of each worth."""
        worths = list(dict.fromkeys(thing.worth for thing in self._estate.things))
        before = len(self.model.rows)
        for who, row in enumerate(totals):
            for worth, count in zip(worths, row, strict=True):
                things = zip(self._gets[who], self._estate.things, strict=True)
                terms = {at: 1 for at, thing in things if thing.worth == worth}
                self.model.row(terms, least=count, most=count, because="so many of a worth")
        found = solve(self.model, self.aims()[0], patience=Patience(seconds=seconds))
        del self.model.rows[before:]
        return found.values

    def aims(self) -> list[Aim]:
        """What is made best, the first first; pieces are kept together last of all."""
        cash = Aim(terms=dict.fromkeys(self._paid, 1), up=False)
        envy = Aim(terms=dict.fromkeys(self._envies, 1), up=False)
        points = self._points({who: self._gets[who] for who in self._people})
        # the least step of points weighs more than all partings together, so one aim holds both in order
        step = lcm(*(thing.count for thing in self._estate.things)) * (1 + len(self._parted))
        parted: dict[int, Fraction] = dict.fromkeys(self._parted, Fraction(-1))
        wishes = Aim(terms=points)
        both = Aim(terms={at: factor * step for at, factor in points.items()} | parted)
        order = {
            First.NO_ENVY: [envy, cash, both],
            First.LEAST_CASH: [cash, both],
            First.WISHES: [wishes, cash, Aim(terms=parted)],
        }[self._estate.first]
        return [aim for aim in order if aim.terms]

    def _cash_to(self, who: int) -> int:
        """What a person is paid, in cents; zero for one who pays."""
        due = int(self._estate.due()[who] * 100)
        paid = self.model.unknown(max(due, 0), name=f"paid to {self._estate.people[who].name}")
        cents = {at: int(thing.worth * 100) for at, thing in zip(self._gets[who], self._estate.things, strict=True)}
        self.model.row({paid: 1, **cents}, least=due, because="everyone gets their due")
        return paid

    def _parting(self, at: int) -> int:
        """One where a thing's pieces go to more than one person."""
        thing = self._estate.things[at]
        parted = self.model.choice(f"{thing.name} is parted")
        if thing.count > 1:
            has = [self.model.choice(f"{person.name} has some") for person in self._estate.people]
            for who, some in enumerate(has):
                self.model.row({self._gets[who][at]: 1, some: -thing.count}, most=0, because="has some")
            most = len(has) - 1
            self.model.row({**dict.fromkeys(has, 1), parted: -most}, most=1, because="parted")
        return parted

    def _envy(self) -> list[int]:
        """One for each pair where the first envies the second."""
        found = []
        for who in self._people:
            for whom in self._people:
                wished = sum(thing.wishes.get(self._estate.people[who].name, 0) for thing in self._estate.things)
                if who == whom or not wished:
                    continue
                mine, theirs = self._estate.people[who].share, self._estate.people[whom].share
                envy = self.model.choice("envy")
                others = self._points({who: self._gets[whom]}, mine)
                own = {at: -factor for at, factor in self._points({who: self._gets[who]}, theirs).items()}
                self.model.row({**others, **own, envy: -mine * wished}, most=0, because="envy")
                found.append(envy)
        return found

    def _points(self, rows: Mapping[int, Sequence[int]], times: Fraction = Fraction(1)) -> dict[int, Fraction]:
        """Points that some people see in some pieces."""
        points: dict[int, Fraction] = {}
        for who, row in rows.items():
            for at, thing in zip(row, self._estate.things, strict=True):
                each = thing.points(self._estate.people[who].name) * times
                if each:
                    points[at] = each
        return points


def sharing_of(
    estate: Estate, pieces: Sequence[Sequence[int]], *, first_proven: bool = False, proven: bool = False
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
