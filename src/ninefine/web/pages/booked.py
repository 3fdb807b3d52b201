"""After an entry was booked: lead on, and say on the next page what the entry says."""

from starlette.responses import Response

from ninefine.book.chain import Stored
from ninefine.desk.describe import describe
from ninefine.measure.numbers import read_reference
from ninefine.web.visit import Visit

#: The address's name for the entry that was just booked.
BOOKED = "booked"


def lead_on(visit: Visit, stored: Stored, name: str, **asking: str) -> Response:
    """Lead to a route, which says what was booked."""
    return visit.goto(name, asking={**asking, BOOKED: str(stored.serial)})


def said(visit: Visit) -> str:
    """What was just booked, in words; empty on a visit of any other kind."""
    serial, records = read_reference(visit.asked(BOOKED)) or 0, visit.kit.journal.records()
    if not 1 <= serial <= len(records):
        return ""
    stored = records[serial - 1]
    return f"Entry {stored.serial} was booked. {describe(stored.entry, visit.kit.catalog())}"
