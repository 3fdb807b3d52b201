"""Finding the best sharing out: by cash, wishes and envy in the order that was put, proven where it can be.

Pieces that are worth the same and as dear to everyone are one thing to all three, so they are shared out together
first; which heap each comes from is settled last, with as few heaps parted as can be.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from time import monotonic

from ninefine.errors import NotFoundError
from ninefine.plan.division import Estate, First, Sharing, Thing, sharing_of
from ninefine.plan.model import Aim, Model
from ninefine.plan.solver import Patience, Proof, solve

#: Seconds that a sharing out is looked for at most.
SECONDS = 10.0


def share_out(estate: Estate, *, seconds: float = SECONDS) -> Sharing | None:
    """The best sharing out that is found in the time; none where surely the cash allowed does not do.

    Raises:
        NotFoundError: none was found in the time, and it is not sure that there is none.
    """
    until = monotonic() + seconds
    groups = _alike(estate)
    rough = _Sheet(_as_one(estate, groups))
    values, proofs = _best(rough.estate, until)
    if values is None and not proofs[0]:
        raise NotFoundError(
            f"No sharing out was found in {seconds:g} seconds, though there may be one. Allow more cash, let more be "
            "parted, or share out fewer lots at a time."
        )
    if values is None:
        return None
    totals = rough.pieces(values)
    pieces = _filled(estate, groups, totals)
    near, fine = _Sheet(estate), _Sheet(estate)
    near.keep(groups, totals)
    for aim, rough_aim in zip(fine.aims(), rough.aims(), strict=True):
        fine.hold(aim, rough_aim.of(values))
    # the fewest parted with just those totals is soon found, and stands in where that with any is not
    for sheet in (near, fine):
        fewest, proven = _in_order(sheet, [sheet.fewest_parted()], until)
        pieces = pieces if fewest is None else sheet.pieces(fewest)
        if fewest is not None and not sheet.fewest_parted().of(fewest):
            proven = [True]
            break
    return sharing_of(estate, pieces, first_proven=proofs[0], aims_proven=all(proofs), proven=all([*proofs, *proven]))


def _part_of(until: float) -> float:
    """Most of the time that is left, so that what comes later has some too."""
    return max(0.1, (until - monotonic()) * 2 / 3)


def _best(estate: Estate, until: float) -> tuple[tuple[int, ...] | None, list[bool]]:
    """The best by cash, wishes and envy in their order; and for each in turn whether it was proven.

    The least cash is soon found, yet it is slow to say which sharing with just that cash meets the most wishes. So
    the wishes are met first as if nothing else counted. Where all else is no worse for it, that is the best.
    """
    sheet = _Sheet(estate)
    *before, last = aims = sheet.aims()
    if not before or estate.first is First.WISHES:
        return _in_order(sheet, aims, until)
    halfway = (monotonic() + until) / 2
    ideal, sure = _in_order(_Sheet(estate), [last, *before], halfway)
    if ideal is not None and sure[0] and not any(aim.of(ideal) for aim in before):
        return ideal, [True] * len(aims)  # neither cash nor envy can be less than nothing
    values, proofs = _in_order(sheet, before, until)
    if values is None:
        return ideal, proofs if ideal is None else [False] * len(aims)
    if ideal is not None and all((*proofs, sure[0])) and all(aim.of(ideal) == aim.of(values) for aim in before):
        return ideal, [*proofs, True]
    better, proven = _in_order(sheet, [last], until)
    return values if better is None else better, [*proofs, *proven]


def _in_order(sheet: "_Sheet", aims: Sequence[Aim], until: float) -> tuple[tuple[int, ...] | None, list[bool]]:
    """The best by each aim among what is best by those before it; and whether each was proven, or that nothing fits."""
    values: tuple[int, ...] | None = None
    proofs: list[bool] = []
    for aim in aims:
        answer = solve(sheet.model, aim, patience=Patience(seconds=_part_of(until)))
        proofs.append(answer.proof in {Proof.PROVEN, Proof.NONE})
        if answer.values is not None:
            values = answer.values
        if values is None:
            break
        sheet.hold(aim, aim.of(values))
    return values, proofs


def _alike(estate: Estate) -> list[list[int]]:
    """Places of things whose pieces are worth the same and as dear to everyone.

    To cash, envy and wishes such things are one; and fewer things are far sooner shared out.
    """
    found: dict[tuple[object, ...], list[int]] = {}
    for at, thing in enumerate(estate.things):
        key = thing.worth, *(thing.points(person.name) for person in estate.people)
        found.setdefault(key, []).append(at)
    return list(found.values())


def _as_one(estate: Estate, groups: Sequence[Sequence[int]]) -> Estate:
    """The estate with the things of each group taken together."""
    things = []
    for group in groups:
        some = [estate.things[at] for at in group]
        wishes = {person.name: sum(thing.wishes.get(person.name, 0) for thing in some) for person in estate.people}
        things.append(
            Thing(name=some[0].name, count=sum(thing.count for thing in some), worth=some[0].worth, wishes=wishes)
        )
    return replace(estate, things=tuple(things))


def _filled(estate: Estate, groups: Sequence[Sequence[int]], totals: Sequence[Sequence[int]]) -> list[list[int]]:
    """Pieces of each thing for each person, from the pieces of each group, filled in one after the other."""
    pieces = [[0] * len(estate.things) for _ in estate.people]
    for place, group in enumerate(groups):
        due = [row[place] for row in totals]
        for at in group:
            left = estate.things[at].count
            for who, some in enumerate(due):
                pieces[who][at] = min(left, some)
                left -= pieces[who][at]
                due[who] -= pieces[who][at]
    return pieces


class _Sheet:
    """The sharing out as whole numbers. Money is in cents, points in whole parts."""

    def __init__(self, estate: Estate) -> None:
        self.model, self.estate = Model(), estate
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

    def hold(self, aim: Aim, held: Fraction) -> None:
        """From now on no sharing may be worse by an aim than this."""
        self.model.row(aim.terms, least=held if aim.up else None, most=None if aim.up else held, because="held")

    def keep(self, groups: Sequence[Sequence[int]], totals: Sequence[Sequence[int]]) -> None:
        """Let each person get just so many pieces of each group of things."""
        for who, row in enumerate(totals):
            for group, count in zip(groups, row, strict=True):
                terms = dict.fromkeys((self._gets[who][at] for at in group), 1)
                self.model.row(terms, least=count, most=count, because="so many of a group")

    def fewest_parted(self) -> Aim:
        """As few things parted as can be."""
        return Aim(terms=dict.fromkeys(self._parted, 1), up=False)

    def aims(self) -> list[Aim]:
        """What is made best, the first first; that few things are parted comes after all of them."""
        cash = Aim(terms=dict.fromkeys(self._paid, 1), up=False)
        envy = Aim(terms=dict.fromkeys(self._envies, 1), up=False)
        wishes = Aim(terms=self._points({who: self._gets[who] for who in self._people}))
        order = {
            First.NO_ENVY: [envy, cash, wishes],
            First.LEAST_CASH: [cash, wishes],
            First.WISHES: [wishes, cash],
        }[self.estate.first]
        return [aim for aim in order if aim.terms]

    def _cash_to(self, who: int) -> int:
        """What a person is paid, in cents; zero for one who pays."""
        due = int(self.estate.due()[who] * 100)
        paid = self.model.unknown(max(due, 0), name=f"paid to {self.estate.people[who].name}")
        cents = {at: int(thing.worth * 100) for at, thing in zip(self._gets[who], self.estate.things, strict=True)}
        self.model.row({paid: 1, **cents}, least=due, because="everyone gets their due")
        return paid

    def _parting(self, at: int) -> int:
        """One where a thing's pieces go to more than one person."""
        thing = self.estate.things[at]
        parted = self.model.choice(f"{thing.name} is parted")
        if thing.count > 1:
            has = [self.model.choice(f"{person.name} has some") for person in self.estate.people]
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
                wished = sum(thing.wishes.get(self.estate.people[who].name, 0) for thing in self.estate.things)
                if who == whom or not wished:
                    continue
                mine, theirs = self.estate.people[who].share, self.estate.people[whom].share
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
            for at, thing in zip(row, self.estate.things, strict=True):
                each = thing.points(self.estate.people[who].name) * times
                if each:
                    points[at] = each
        return points
