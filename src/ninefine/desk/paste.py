"""A tally from elsewhere, looked at and then marked on a tally under way: all of it or nothing."""

from collections.abc import Mapping

from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.sorting import Board
from ninefine.errors import Fault, Faults, UnreadableError
from ninefine.intake.columns import LEFT_OUT
from ninefine.intake.tally_csv import FIELDS, TallyRead, read_tally_csv
from ninefine.sorting.tally import FROM_TABLE

#: A table that was read by the wrong columns is at fault on every line; so many are told.
_MOST_FAULTS = 40


def read_paste(kit: Kit, form: Mapping[str, str]) -> TallyRead:
    """Read a table without marking anything.

    Fields: `table` (the text), `what` (the denomination or kind of lines that name none), `columns` (a line for each
    column that is named otherwise: `heading = year`).

    Raises:
        Faults: every fault of the table with its line, at `table`, or of the other fields.
    """
    fields = Fields(form, source="the table")
    columns: dict[str, str] = fields.read("columns", _mapping, {})
    text = fields.read("table", str, "", needed=True)
    fields.done()
    try:
        return read_tally_csv(text, kit.catalog(), columns=columns or None, what=fields.raw("what"))
    except Faults as error:
        raise Faults([Fault(where="table", wrong=at_once(error))], source="the table") from error


def keep_paste(kit: Kit, number: int, form: Mapping[str, str]) -> TallyRead:
    """Read a table and mark all of it on a tally; its `slip` keeps it from being marked twice.

    Raises:
        Faults: as for `read_paste`; nothing is marked then.
        BookError: the tally was ended.
    """
    read = read_paste(kit, form)
    slip = FROM_TABLE + form.get("slip", "")
    if kit.running(number).noted(slip) is None:
        kit.tallies.mark_all(number, [(row.kind, row.issue, row.count) for row in read.rows], slip)
    return read


def over_by(now: Board, read: TallyRead) -> int:
    """How many more pieces a table holds than the heap has left; none where that is not known."""
    return 0 if now.pieces_left is None else max(0, read.pieces - now.pieces_left)


def _mapping(text: str) -> dict[str, str]:
    """Columns by their headings, a line each."""
    said: dict[str, str] = {}
    for line in text.splitlines():
        heading, equals, name = line.rpartition("=")
        if line.strip() and not (equals and heading.strip()):
            raise UnreadableError(
                f"{line.strip()[:40]!r} does not name a column.",
                expected=f"Write a heading, =, and one of {', '.join(FIELDS.names)}, or {LEFT_OUT} to leave it out.",
                instead=("MM = mint", "Remarks = -"),
            )
        if line.strip():
            said[heading.strip()] = name.strip()
    return said


def at_once(error: Faults) -> str:
    """Every fault on a line of its own; of very many, the first."""
    more = len(error.faults) - _MOST_FAULTS
    told = [str(fault) for fault in error.faults[:_MOST_FAULTS]]
    return "\n".join([*told, f"and {more} more like these"] if more > 0 else told)
