"""Pieces laid aside from their heap: what each is, its grade as a band, its weight, and where it lies now.

A piece is called by the flip, tube or pocket that it goes into if it is pulled: its label is its place to be. Until
then it counts as part of its heap. Whether it was pulled is read off the journal: the sorting that put it at its label.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import HeapRef
from ninefine.book.holdings import Heap
from ninefine.catalog.catalog import HEAPS
from ninefine.catalog.kinds import Kind
from ninefine.desk.fields import Fields
from ninefine.desk.goods import Named, read_named
from ninefine.desk.heaps import heap_name, read_heap, ref_of, say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.pulled import at_of, pulls
from ninefine.desk.records import set_down
from ninefine.desk.tables import rows_said_by
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.table import filled
from ninefine.measure.mass import read_mass
from ninefine.measure.numbers import EXACT, plain
from ninefine.worth.band import Band, read_band

TABLE = "piece"
LONGEST_LABEL = 40


class Where(StrEnum):
    """Where a piece lies."""

    TABLE = "on the table"
    """Laid aside, and still part of its heap."""
    PULLED = "pulled"
    """A heap of its own."""
    GONE = "no longer held"
    """Sold, or its heap is no longer held as it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A piece laid aside, or several alike in every way.

    Attributes:
        label: its name, and its place once it is pulled.
        heap: the heap that it was laid aside from.
        kind, issue: what it is.
        count: how many, alike in every way.
        band: its grade; none where nobody has said.
        gross_g: grams of one, where it was weighed, or its heap was and holds nothing else.
        wanted: why the person wants it themself; empty where they do not.
        serial: the entry that says all this.
        where: whether it is on the table, pulled, or gone.
        held: the heap in which it lies now; none where it is gone.
        pulled_by: the entry that pulled it.
    """

    label: str
    heap: HeapRef
    kind: Kind
    issue: str
    count: int
    band: Band | None
    gross_g: Decimal | None
    wanted: str
    note: str
    serial: int
    where: Where
    held: Heap | None
    pulled_by: int | None

    @property
    def cell(self) -> tuple[str, str]:
        """Kind and issue."""
        return self.kind.slug, self.issue


def laid(kit: Kit) -> tuple[Laid, ...]:
    """Every piece that was laid aside, in the order in which they were; struck ones are not among them."""
    return kit.keep("laid aside", lambda: _laid(kit))


def laid_named(kit: Kit, label: str) -> Laid:
    """A piece by its label.

    Raises:
        NotFoundError: no such piece.
    """
    found = next((one for one in laid(kit) if one.label == label), None)
    if found is None:
        raise NotFoundError(f"No piece {label[:40]!r} is laid aside.", instead=[one.label for one in laid(kit)][-6:])
    return found


def lay(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Lay a piece aside, on a day or today.

    Fields: `label`, `heap`, `what` (a kind with its date; as its heap where left out), `count`, `band`, `grams` (of one
    piece, as any weight), `wanted`, `note`.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the piece")
    label = fields.read("label", partial(_free_label, kit), "", needed=True)
    heap = fields.read("heap", partial(_heap_here, kit), None, needed=True)
    named = fields.read("what", partial(read_named, kit.catalog()), None)
    count = fields.count("count", 1) or 1
    row = _looked_at(fields)
    if heap is not None and fields.sound:
        named = named or Named(kind=kit.catalog().kind(heap.kind), issue=heap.issue)
        _check_named(kit, fields, heap, named)
        _check_count(kit, fields, heap, named.kind, count)
    fields.done()
    if heap is None or named is None:
        raise NotFoundError("No heap was named.")
    whole = {"heap": heap_name(heap), "kind": named.kind.slug, "issue": named.issue, "count": str(count), **row}
    return set_down(kit, TABLE, label, filled(whole), on=on)


def look_again(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Say anew what a piece is like. Fields: `label`, `band`, `grams`, `wanted`, `note`; the rest stays.

    Raises:
        NotFoundError: no such piece.
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the piece")
    known = laid_named(kit, fields.raw("label"))
    row = _looked_at(fields)
    fields.done()
    before = kit.holdings().tables[TABLE][known.label]
    kept = {name: before[name] for name in ("heap", "kind", "issue", "count") if name in before}
    return set_down(kit, TABLE, known.label, filled({**kept, **row}), on=on)


def strike(kit: Kit, label: str) -> Stored:
    """Forget that a piece was laid aside; where it lies does not change.

    Raises:
        NotFoundError: no such piece.
    """
    return set_down(kit, TABLE, laid_named(kit, label).label, None)


def looked_at_fields(one: Laid) -> dict[str, str]:
    """The form of a piece that can be said anew, filled in."""
    return {
        "label": one.label,
        "band": "" if one.band is None else str(one.band),
        "grams": "" if one.gross_g is None else f"{plain(one.gross_g)} g",
        "wanted": one.wanted,
        "note": one.note,
    }


def say_piece(kit: Kit, one: Laid) -> str:
    """A piece in words: `Mercury (Winged Liberty) dime 1921-D, VG8`."""
    many = f"{one.count} of " if one.count > 1 else ""
    band = f", {one.band}" if one.band is not None else ""
    return f"{many}{say_goods(one.kind.slug, one.issue.replace(':', ', '), kit.catalog())}{band}"


def next_label(kit: Kit) -> str:
    """A label that is free: `P1`, `P2`, and on."""
    taken = {heap.place for heap in kit.holdings().heaps} | set(kit.holdings().tables.get(TABLE, {}))
    number = 1
    while f"P{number}" in taken:
        number += 1
    return f"P{number}"


def _looked_at(fields: Fields) -> dict[str, str]:
    """What looking at a piece says of it, as the row keeps it."""
    band = fields.read("band", read_band, None)
    mass = fields.read("grams", read_mass, None)
    if mass is not None and mass.grams <= 0:
        fields.fault("grams", "A piece weighs something.")
    return {
        "band": "" if band is None else str(band),
        "grams": "" if mass is None else plain(mass.grams),
        "wanted": fields.raw("wanted"),
        "note": fields.raw("note"),
    }


def _free_label(kit: Kit, text: str) -> str:
    label = " ".join(text.split())
    if len(label) > LONGEST_LABEL or "@" in label:
        raise RangeError("A label has at most 40 characters, and no @ among them.", instead=("E1-3", "P7"))
    held = kit.holdings()
    if label in held.tables.get(TABLE, {}):
        raise RangeError(f"{label} is a piece already.", expected="Each has a label of its own.")
    if any(heap.place == label for heap in held.heaps) or any(key[3] == label for key in pulls(kit)):
        raise RangeError(
            f"Something lies or lay at {label}.",
            expected="The label is the place that the piece goes to if it is pulled, and its alone: a flip, a tube.",
            instead=(next_label(kit),),
        )
    return label


def _heap_here(kit: Kit, text: str) -> Heap:
    held = kit.holdings()
    heap = read_heap(held, text)
    if held.lots[heap.lot].awaited:
        raise RangeError(f"Lot {heap.lot} is still on its way.", expected="Receive it first.")
    return heap


def _check_named(kit: Kit, fields: Fields, heap: Heap, named: Named) -> None:
    catalog = kit.catalog()
    if named.kind.slug in HEAPS:
        fields.fault("what", "Say which coin it is, with its date: merc dime 1921-D.")
    elif heap.issue and (named.kind.slug, named.issue) != (heap.kind, heap.issue):
        known = say_goods(heap.kind, heap.issue, catalog)
        fields.fault("what", f"That heap is told apart already: it is {known}.")
    elif named.kind not in catalog.family(heap.kind):
        fields.fault("what", f"{catalog.kind(heap.kind).name} holds no {named.kind.name}.")


def _check_count(kit: Kit, fields: Fields, heap: Heap, kind: Kind, count: int) -> None:
    """No more pieces can be laid aside than the heap holds."""
    aside = sum(one.count for one in laid(kit) if one.where is Where.TABLE and one.held == heap)
    most = heap.count
    if most is None and heap.face is not None and kind.face:
        most = int(EXACT.divide(heap.face, kind.face))
    if most is not None and aside + count > most:
        already = f", and {aside} of them laid aside already" if aside else ""
        fields.fault("count", f"That heap holds {most:,}{already}.")


def _laid(kit: Kit) -> tuple[Laid, ...]:
    rows = kit.holdings().tables.get(TABLE, {})
    said_by = rows_said_by(kit, TABLE)
    return tuple(_one(kit, label, row, said_by[label]) for label, row in rows.items())


def _one(kit: Kit, label: str, row: Mapping[str, object], serial: int) -> Laid:
    said = {name: str(value) for name, value in row.items()}
    ref = ref_of(said["heap"])
    issue = said.get("issue", "")
    pull = pulls(kit).get((ref.lot, said["kind"], issue, label))
    lot, *at = at_of(ref) if pull is None else pull[1]
    there = kit.holdings().lots.get(lot)
    heaps = () if there is None else there.heaps
    held = next((heap for heap in heaps if [heap.kind, heap.issue, heap.place] == at), None)
    where = Where.GONE if held is None else Where.TABLE if pull is None else Where.PULLED
    count = int(said.get("count", "1"))
    return Laid(
        label=label,
        heap=ref,
        kind=kit.catalog().kind(said["kind"]),
        issue=issue,
        count=count,
        band=read_band(said["band"]) if "band" in said else None,
        gross_g=Decimal(said["grams"]) if "grams" in said else _weighed(held, count),
        wanted=said.get("wanted", ""),
        note=said.get("note", ""),
        serial=serial,
        where=where,
        held=held,
        pulled_by=None if pull is None else pull[0],
    )


def _weighed(held: Heap | None, count: int) -> Decimal | None:
    """What one weighs by the scale's word for a heap of just these."""
    if held is None or held.gross_g is None or held.count != count:
        return None
    return EXACT.divide(held.gross_g, count)
