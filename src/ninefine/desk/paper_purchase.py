"""The record of one purchase, gathered from its entry and from all that later entries say of it."""

from collections.abc import Sequence

from ninefine.book.entries import Bought, Credited, Noted, Received
from ninefine.book.standing import Standing, standing
from ninefine.catalog.catalog import Catalog
from ninefine.desk.describe import describe
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.paper_lines import about
from ninefine.desk.records import standing as fact_at
from ninefine.errors import NotFoundError
from ninefine.papers.document import NOTHING, Document, Tells
from ninefine.papers.purchase_record import Afterwards, Purchase, purchase_record


def purchase_paper(kit: Kit, fields: Fields) -> Document:
    """The record of the purchase that `entry` names; of the last one where it names none."""
    records = kit.journal.records()
    facts = standing(records)
    bought = [serial for _, serial, fact in facts if isinstance(fact, Bought)]
    serial = fields.count("entry", bought[-1] if bought else None)
    if serial is None and fields.sound:
        fields.fault("entry", "There is no purchase in the book yet.")
    fact = None if serial is None else fields.read_value("entry", serial, lambda number: _bought_at(kit, number))
    fields.done()
    if serial is None or fact is None:  # pragma: no cover - a fault was raised above
        raise NotFoundError("There is no such purchase.")
    lots = {line.lot for line in fact.lines}
    notes = [
        note for _, _, note in facts if isinstance(note, Noted) and (note.about == serial or lots & set(note.lots))
    ]
    catalog, held = kit.catalog(), kit.holdings()
    return purchase_record(
        about(kit),
        Purchase(
            serial=serial,
            digest=records[serial - 1].digest.hex(),
            entry=fact,
            names={line.lot: say_goods(line.kind, line.issue, catalog) for line in fact.lines},
            basis={name: held.lots[name].cost for name in lots if name in held.lots},
            later=_afterwards(facts, serial, lots, catalog),
            papers=[file for note in notes for file in note.attachments],
        ),
    )


def _bought_at(kit: Kit, serial: int) -> Bought:
    fact = fact_at(kit, serial)
    if not isinstance(fact, Bought):
        raise NotFoundError(f"Entry {serial} is no purchase.", expected="Give the number of an entry that bought.")
    return fact


def _afterwards(facts: Sequence[Standing], serial: int, lots: set[str], catalog: Catalog) -> list[Afterwards]:
    """Counts, payments back and remarks of the purchase's lots, in order."""
    later = []
    for on, number, fact in facts:
        match fact:
            case Received() if lots & {line.lot for line in fact.lines}:
                tells = Tells.COSTS if fact.claim else NOTHING
            case Credited() if lots & set(fact.lots):
                tells = Tells.COSTS
            case Noted() if fact.about == serial or lots & set(fact.lots):
                tells = Tells.NOTES
            case _:
                continue
        later.append(Afterwards(serial=number, on=on, words=describe(fact, catalog), tells=tells))
    return later
