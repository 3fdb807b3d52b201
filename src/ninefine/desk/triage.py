"""Triage: each piece laid aside held against what it brings in its heap; pulled to a heap of its own, or put back."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Sorted, SortedLine
from ninefine.book.holdings import Heap
from ninefine.book.take import take
from ninefine.catalog.kinds import Issue
from ninefine.desk.amounts import read_amount
from ninefine.desk.collectors import collectors
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import heap_name, read_heap, say_goods
from ninefine.desk.judging import flaw_shares, judging
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import Laid, Where, laid, laid_named
from ninefine.desk.sets import kept_for
from ninefine.desk.sheets import guide
from ninefine.desk.sorting import METHODS, fine_weight, taken_of
from ninefine.desk.tables import exits
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.prices import Stamp
from ninefine.measure.money import METALS
from ninefine.measure.numbers import EXACT
from ninefine.worth.piece import Piece
from ninefine.worth.triage import TriageRules, TriageTotal, triage, triage_total
from ninefine.worth.verdict import Triaged

#: Ranks as they are looked for, the scarcest first.
RANKS = ("key", "semi-key", "better", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A piece laid aside and what triage says of it; `found` is none where it cannot be said, and `wrong` says why."""

    laid: Laid
    found: Triaged | None
    wrong: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A held heap told apart by date that may be worth more than its metal: its rank, or a price of its own."""

    heap: Heap
    name: str
    goods: str
    issue: Issue | None
    priced: bool
    aside: int


def rules(kit: Kit, spot: Decimal | None = None) -> TriageRules:
    """What pieces are held against, as the person set it down, at the prices on record or a given spot of silver."""
    said = judging(kit)
    spots = {metal: price for metal in METALS if (price := kit.spot_or_none(metal=metal)) is not None}
    if spot is not None:
        spots["XAG"] = spot
    return TriageRules(
        guide=guide(kit),
        spots=spots,
        exits=exits(kit),
        collectors=collectors(kit),
        shares=flaw_shares(kit),
        threshold=said.threshold,
        hourly=said.hour_worth,
        against=said.against,
    )


def stamp_or_none(kit: Kit, metal: str = "XAG") -> Stamp | None:
    """The price on record that pieces are held against, with whose it is and how old; none where none is known."""
    try:
        return kit.stamp(metal=metal)
    except NotFoundError:
        return None


def answers(kit: Kit, spot: Decimal | None = None) -> tuple[Answer, ...]:
    """What triage says of each piece that is laid aside and still held, on the table first."""
    held = sorted((one for one in laid(kit) if one.held is not None), key=lambda one: one.where is not Where.TABLE)
    return kit.keep(("triage", spot), lambda: tuple(_answer(kit, one, rules(kit, spot)) for one in held))


def answer(kit: Kit, label: str, spot: Decimal | None = None) -> Answer:
    """What triage says of one piece.

    Raises:
        NotFoundError: no such piece.
    """
    one = laid_named(kit, label)
    found = (each for each in answers(kit, spot) if each.laid == one)
    return next(found, Answer(laid=one, found=None, wrong=_gone(one)))


def total(kit: Kit, where: Where = Where.TABLE, spot: Decimal | None = None) -> TriageTotal:
    """What the pieces on the table, or those pulled, come to: of several alike, each counts."""
    every = (one for one in answers(kit, spot) if one.found is not None and one.laid.where is where)
    told = [one.found for one in every for _ in range(one.laid.count) if one.found is not None]
    return triage_total(told, judging(kit).grading, kit.journal.currency)


def candidates(kit: Kit, *, first: int = 0, most: int = 50) -> tuple[Candidate, ...]:
    """Heaps told apart that may be worth more than metal and are not wholly laid aside, the scarcest first."""
    return kit.keep("candidates", lambda: _candidates(kit))[first : first + most]


def pull(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Pull a piece: it becomes a heap of its own at its label, with its share of its heap's cost.

    Fields: `label`, `on`, `note`. The reason that triage gives is kept with the entry.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the pull")
    on = fields.past_day("on", kit.today())
    one = fields.read("label", partial(laid_named, kit), None, needed=True)
    if one is not None and one.where is not Where.TABLE:
        fields.fault("label", _gone(one) if one.held is None else f"{one.label} was pulled by entry {one.pulled_by}.")
    fields.done()
    if one is None or one.held is None:
        raise NotFoundError("No piece was named.")
    amount = _amount(one)
    reason = _reason(answer(kit, one.label))
    note = " ".join(part for part in (fields.raw("note"), reason) if part)
    line = SortedLine(
        kind=one.kind.slug,
        issue=one.issue,
        amount=amount,
        weight=fine_weight(amount, one.kind) or Decimal(1),
        place=one.label,
    )
    return kit.journal.append(
        Sorted(
            on=on,
            heap=one.held.ref,
            taken=taken_of(one.held, [amount]),
            lines=(line,),
            method=METHODS["weight"],
            note=note[:4000],
        )
    )


def back(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Put pieces told apart by date back among the common ones of their design.

    Fields: `on`, `heap`, `amount` (all of it where left out), `place` (where they lie, where left out), `note`.

    Raises:
        Faults: every fault, each at its field.
        NotEnoughError: the heap holds less.
    """
    fields = Fields(form, source="putting back")
    on = fields.past_day("on", kit.today())
    heap = fields.read("heap", partial(read_heap, kit.holdings()), None, needed=True)
    asked = None
    if heap is not None:
        asked = fields.read("amount", partial(read_amount, kind=kit.catalog().kind(heap.kind)), None)
        if not heap.issue:
            fields.fault("heap", "That heap is not told apart by date: there is nothing to put back.")
    fields.done()
    if heap is None:
        raise NotFoundError("No heap was named.")
    taken, _ = take(heap, asked)
    place = fields.raw("place") or heap.place
    _check_weight(kit, fields, heap, taken, place)
    fields.done()
    line = SortedLine(
        kind=heap.kind,
        amount=taken,
        weight=fine_weight(taken, kit.catalog().kind(heap.kind)) or Decimal(1),
        place=None if place == heap.place else place,
    )
    return kit.journal.append(
        Sorted(on=on, heap=heap.ref, taken=asked, lines=(line,), method=METHODS["weight"], note=fields.raw("note"))
    )


def piece_of(kit: Kit, one: Laid) -> Piece:
    """A piece laid aside as triage takes it."""
    issue = issue_or_none(kit, one.kind.slug, one.issue)
    keeps = kept_for(kit)
    wanted = one.wanted or (f"the set {keeps[one.label]} keeps it" if one.label in keeps else "")
    return Piece(
        name=one.label,
        kind=one.kind,
        issue=one.issue,
        band=one.band,
        gross_g=one.gross_g,
        rank=issue.rank if issue is not None else "",
        look_for=issue.look_for if issue is not None else "",
        wanted=wanted,
    )


def issue_or_none(kit: Kit, slug: str, key: str) -> Issue | None:
    """An issue by its key; none where the tables hold no row of it."""
    return next((issue for issue in kit.catalog().issues(slug) if issue.key == key), None)


def _answer(kit: Kit, one: Laid, held_against: TriageRules) -> Answer:
    try:
        return Answer(laid=one, found=triage(piece_of(kit, one), held_against))
    except RangeError as error:
        return Answer(laid=one, found=None, wrong=str(error))


def _candidates(kit: Kit) -> tuple[Candidate, ...]:
    aside: dict[str, int] = {}
    for one in laid(kit):
        if one.held is not None:
            aside[heap_name(one.held)] = aside.get(heap_name(one.held), 0) + one.count
    listed = {(kind, issue) for kind, issue, _ in guide(kit).curves if issue}
    found = []
    for heap in kit.holdings().heaps:
        if not heap.issue or kit.kind_or_none(heap.kind) is None or kit.holdings().lots[heap.lot].awaited:
            continue
        name, issue = heap_name(heap), issue_or_none(kit, heap.kind, heap.issue)
        priced = (heap.kind, heap.issue) in listed
        if (priced or (issue is not None and issue.rank)) and aside.get(name, 0) < (heap.count or 1):
            goods = say_goods(heap.kind, heap.issue.replace(":", ", "), kit.catalog())
            found.append(
                Candidate(heap=heap, name=name, goods=goods, issue=issue, priced=priced, aside=aside.get(name, 0))
            )
    return tuple(sorted(found, key=lambda one: (RANKS.index(one.issue.rank if one.issue else ""), one.name)))


def _amount(one: Laid) -> Amount:
    """How much is pulled: its pieces and face, and its weight where the scale has spoken of it."""
    face = None if one.kind.face is None else one.kind.face * one.count
    grams = None if one.gross_g is None else EXACT.multiply(one.gross_g, one.count)
    return Amount(count=one.count, face=face or None, gross_g=grams)


def _reason(found: Answer) -> str:
    return f"{found.found.verdict.capitalize()}: {found.found.reason}" if found.found is not None else ""


def _check_weight(kit: Kit, fields: Fields, heap: Heap, taken: Amount, place: str) -> None:
    """A heap's weight is the scale's word for all of it: laying an unweighed piece on it would lose that word."""
    there = next(
        (
            other
            for other in kit.holdings().lots[heap.lot].heaps
            if (other.kind, other.issue, other.place) == (heap.kind, "", place)
        ),
        None,
    )
    if there is not None and there.gross_g is not None and taken.gross_g is None:
        fields.fault(
            "place",
            f"{heap_name(there)} was weighed and this was not, so its weight would be lost. Weigh {heap_name(heap)} "
            "first, or name another place.",
        )


def _gone(one: Laid) -> str:
    return f"{one.label} is no longer held: sold, or its heap is no longer as it was."
