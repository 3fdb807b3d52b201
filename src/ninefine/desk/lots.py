"""Lots told apart, put together, and set to the household's own use."""

from collections.abc import Mapping
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Joined, Split, Used
from ninefine.book.holdings import Lot, Origin
from ninefine.book.how import How
from ninefine.desk.arrivals import lot_named
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.picks import next_lot, read_pick, read_yes


def read_split(kit: Kit, form: Mapping[str, str]) -> Split:
    """Read a split without booking it. Fields: `on`, `heap`, `amount` (all if empty), `lot` (next free), `note`.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the split")
    on = fields.past_day("on", kit.today())
    pick = read_pick(kit, fields, kit.holdings(on if on < kit.today() else None), "heap", "amount")
    fields.done()
    assert pick is not None  # a form without a heap was at fault
    heap, amount = pick
    lot = fields.raw("lot") or next_lot(kit.holdings())
    return Split(on=on, heap=heap.ref, amount=amount, lot=lot, note=fields.raw("note"))


def split(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Make a heap, or part of it, a lot of its own.

    Raises:
        Faults: every fault of the form.
        NotEnoughError: the heap holds less.
    """
    return kit.journal.append(read_split(kit, form))


def read_join(kit: Kit, form: Mapping[str, str]) -> Joined:
    """Read a joining of lots into the first. Fields: `on`, `lots` (names parted by commas), `note`.

    Raises:
        Faults: every fault of the form.
    """
    fields, lots = _lots(kit, form, "the joining")
    if len(lots) < 2 and fields.sound:
        fields.fault("lots", "Name two lots at least, parted by commas; the first takes the others in.")
    on = fields.past_day("on", kit.today())
    fields.done()
    return Joined(on=on, lots=tuple(lot.name for lot in lots), note=fields.raw("note"))


def join(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Put lots together into the first.

    Raises:
        Faults: every fault of the form.
        BookError: the lots have different dates or pasts.
    """
    return kit.journal.append(read_join(kit, form))


def read_use(kit: Kit, form: Mapping[str, str]) -> Used:
    """Read that lots serve the household itself, or no longer. Fields: `on`, `lots`, `no_longer` (yes), `note`.

    Raises:
        Faults: every fault of the form.
    """
    fields, lots = _lots(kit, form, "the use")
    own = not read_yes(fields, "no_longer")
    if not lots and fields.sound:
        fields.fault("lots", "Name at least one lot.")
    on = fields.past_day("on", kit.today())
    fields.done()
    return Used(on=on, lots=tuple(lot.name for lot in lots), own=own, note=fields.raw("note"))


def use(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Say that lots serve the household itself, or no longer.

    Raises:
        Faults: every fault of the form.
        BookError: nothing would change.
    """
    return kit.journal.append(read_use(kit, form))


def _lots(kit: Kit, form: Mapping[str, str], source: str) -> tuple[Fields, list[Lot]]:
    """The lots that a form names, each read at the field `lots`."""
    fields = Fields(form, source=source)
    find = partial(lot_named, kit.holdings().lots)
    names = dict.fromkeys(name.strip() for name in fields.raw("lots").split(",") if name.strip())
    found = [fields.read_value("lots", name, find) for name in names]
    return fields, [lot for lot in found if lot is not None]


def since(origin: Origin) -> str:
    """When and how a lot came, in words: `given on 2024-01-05, its giver's since 2001-05-06`."""
    how, acquired, came = origin.how, origin.acquired, origin.came.isoformat()
    if how is How.BOUGHT and acquired == origin.came:
        return f"bought on {came}"
    if how is How.INHERITED:
        death = f", of one who died on {acquired.isoformat()}" if acquired else ""
        return f"inherited, here since {came}{death}"
    if how is How.GIVEN:
        return f"given on {came}, " + (f"its giver's since {acquired.isoformat()}" if acquired else _UNDATED)
    if how is How.SWAPPED:
        return f"swapped for on {came}"
    word = "held" if how is How.HELD else how.value
    return f"{word} before the book, " + (f"since {acquired.isoformat()}" if acquired else _UNDATED)


_UNDATED = "nobody knows since when"
