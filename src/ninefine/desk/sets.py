"""Sets by date: what each lacks and what the gaps would cost, which pieces are kept for it, which may go back."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.catalog.kinds import Issue
from ninefine.desk.assumptions import read_year
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import heap_name
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import Where, laid
from ninefine.desk.records import set_down
from ninefine.desk.sheets import guide
from ninefine.errors import Fault, Faults, InputError, NotFoundError, UnreadableError
from ninefine.market.table import Table, filled, text_or_none
from ninefine.sorting.mintage import heap_of
from ninefine.sorting.sets import Piece, SetBy, SetState, Want, set_state, wants_of
from ninefine.worth.band import Band, read_band

TABLE = "set"
#: The grade at which gaps are priced until the person says another: what a plain date set is filled with.
USUAL_GRADE = Band(low=12, high=12)


@dataclass(frozen=True, slots=True, kw_only=True)
class DateSet:
    """A set that the person wants one of each for.

    Attributes:
        name: what they call it.
        what: a kind's slug, a heap's, or a word for a denomination.
        by: year, year and mint, or variety.
        first_year, last_year: its dates; none for all that were struck.
        proofs: whether issues struck as proofs alone have a place too.
        grade: at which its gaps are priced.
    """

    name: str
    what: str
    by: SetBy = SetBy.ISSUE
    first_year: int | None = None
    last_year: int | None = None
    proofs: bool = False
    grade: Band = USUAL_GRADE

    def as_dict(self) -> dict[str, object]:
        """The set in plain values; `set_from` reads it back."""
        return filled(
            {
                "name": self.name,
                "what": self.what,
                "by": str(self.by),
                "first_year": text_or_none(self.first_year),
                "last_year": text_or_none(self.last_year),
                "proofs": "yes" if self.proofs else "",
                "grade": str(self.grade),
            }
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SetView:
    """A set as it stands: what was asked, in words, its places, and what fills them."""

    asked: DateSet
    words: str
    wants: tuple[Want, ...]
    state: SetState


def set_from(row: Mapping[str, object]) -> DateSet:
    """Read a set from plain values.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    found = DateSet(
        name=table.text("name", needed=True),
        what=table.text("what", needed=True),
        by=table.choice("by", SetBy, SetBy.ISSUE),
        first_year=table.count("first_year"),
        last_year=table.count("last_year"),
        proofs=bool(table.text("proofs")),
        grade=table.read("grade", read_band, USUAL_GRADE),
    )
    table.done()
    if faults:
        raise Faults(faults, source="the set")
    return found


def sets(kit: Kit) -> tuple[DateSet, ...]:
    """The sets that the person keeps, in the order in which they were set down."""
    return tuple(set_from(row) for row in kit.holdings().tables.get(TABLE, {}).values())


def set_named(kit: Kit, name: str) -> DateSet:
    """A set by its name.

    Raises:
        NotFoundError: no such set.
    """
    rows = kit.holdings().tables.get(TABLE, {})
    if name not in rows:
        raise NotFoundError(f"There is no set {name[:40]!r}.", instead=list(rows)[:6])
    return set_from(rows[name])


def read_set(kit: Kit, form: Mapping[str, str], *, named: bool = False) -> DateSet:
    """Read a set's form.

    Fields: `name` (needed where `named`), `what` (a kind or a denomination, in plain words), `by`, `first`, `last`,
    `proofs`, `grade`.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the set")
    what = fields.read("what", partial(_what, kit), "", needed=True)
    by = fields.read("by", _by, SetBy.ISSUE)
    first, last = fields.read("first", read_year, None), fields.read("last", read_year, None)
    grade = fields.read("grade", _sound_band, USUAL_GRADE)
    name = " ".join(fields.raw("name").split())
    if named and not name:
        fields.fault("name", "A set that is kept has a name.")
    if len(name) > 80:
        fields.fault("name", "A name has at most 80 characters.")
    found = DateSet(
        name=name,
        what=what,
        by=by,
        first_year=first,
        last_year=last,
        proofs=bool(fields.raw("proofs")),
        grade=grade,
    )
    if fields.sound:
        nothing: tuple[Want, ...] = ()
        fields.read("what", lambda _: _wants(kit, found), nothing)
    fields.done()
    return found


def put_set(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set a set down; one of the same name is replaced by it.

    Raises:
        Faults: every fault, each at its field.
    """
    found = read_set(kit, form, named=True)
    return set_down(kit, TABLE, found.name, found.as_dict())


def set_fields(found: DateSet) -> dict[str, str]:
    """A set's form, filled in."""
    row = {name: str(value) for name, value in found.as_dict().items()}
    return {"first": row.pop("first_year", ""), "last": row.pop("last_year", ""), **row}


def view(kit: Kit, asked: DateSet) -> SetView:
    """A set as it stands, filled from what is held and told apart.

    Raises:
        NotFoundError: no issue of it is held in those years.
    """
    return kit.keep(("set", asked), lambda: _view(kit, asked))


def kept_for(kit: Kit) -> Mapping[str, str]:
    """Which kept set keeps a piece or a heap, by its label or its heap's name; of several sets the first."""

    def find() -> dict[str, str]:
        found: dict[str, str] = {}
        for asked in sets(kit):
            for kept in view(kit, asked).state.kept:
                found.setdefault(kept.piece.ref, asked.name)
        return found

    return kit.keep("kept for sets", find)


def _view(kit: Kit, asked: DateSet) -> SetView:
    wants = _wants(kit, asked)
    return SetView(
        asked=asked,
        words=heap_of(kit.catalog(), asked.what).name,
        wants=wants,
        state=set_state(wants, _in_reach(kit, wants), price=partial(_price, kit, asked)),
    )


def _wants(kit: Kit, asked: DateSet) -> tuple[Want, ...]:
    return wants_of(
        kit.catalog(),
        asked.what,
        by=asked.by,
        first_year=asked.first_year,
        last_year=asked.last_year,
        proofs=asked.proofs,
    )


def _in_reach(kit: Kit, wants: tuple[Want, ...]) -> list[Piece]:
    """Pieces of the set's kinds that are held and told apart by date: those looked at by themselves, then the rest."""
    kinds = {want.kind for want in wants}
    aside: dict[str, int] = {}
    found: list[Piece] = []
    for one in laid(kit):
        if one.held is None or one.kind.slug not in kinds or not one.issue:
            continue
        name = heap_name(one.held)
        aside[name] = aside.get(name, 0) + one.count
        band = one.band
        found.append(
            Piece(
                ref=one.label,
                kind=one.kind.slug,
                issue=one.issue,
                count=one.count,
                grade=None if band is None or not band.told else Decimal(band.low + band.high) / 2,
                problem=band is not None and bool(band.details),
            )
        )
    for heap in kit.holdings().heaps:
        if heap.kind in kinds and heap.issue and not kit.holdings().lots[heap.lot].awaited:
            name = heap_name(heap)
            rest = (heap.count or 0) - aside.get(name, 0)
            if rest > 0:
                found.append(Piece(ref=name, kind=heap.kind, issue=heap.issue, count=rest))
    return found


def _price(kit: Kit, asked: DateSet, issue: Issue) -> Decimal | None:
    """What an issue costs by the sheets, in the middle; a date that sorters look for only by a price of its own."""
    try:
        price = guide(kit).price(issue.kind, issue.key, asked.grade)
    except InputError:  # no sheet lists it, or not at that grade: the gap has no price
        return None
    if issue.rank and price.listed_as not in {issue.key, f"{issue.year}-{issue.mint}"}:
        return None
    return price.worth.mid


def _what(kit: Kit, text: str) -> str:
    """A denomination's word, a slug, or plain words that mean one kind."""
    try:
        return heap_of(kit.catalog(), text.strip().lower()).slug
    except NotFoundError:
        return read_named(kit.catalog(), text).kind.slug


def _by(text: str) -> SetBy:
    if text not in set(SetBy):
        raise UnreadableError(f"{text[:20]!r} is nothing that a set goes by.", instead=tuple(SetBy))
    return SetBy(text)


def _sound_band(text: str) -> Band:
    band = read_band(text)
    if band.details or not band.told:
        raise UnreadableError("Gaps are priced at a sound grade.", instead=("G4", "F12", "VF20-VF35"))
    return band


#: Where a piece stands that fills a place.
WHERE = {Where.TABLE: "in its heap", Where.PULLED: "pulled"}
