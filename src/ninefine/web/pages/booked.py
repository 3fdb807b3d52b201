"""After an entry was booked: lead on, and say on the next page what the entry says."""

from starlette.responses import Response

from ninefine.book.chain import Stored
from ninefine.desk.describe import describe
from ninefine.web.visit import Visit

#: The address's name for the entry that was just booked.
BOOKED = "booked"


def lead_on(visit: Visit, stored: Stored, name: str, **asking: str) -> Response:
    """Lead to a route, which says what was booked."""
    return visit.goto(name, asking={**asking, BOOKED: str(stored.serial)})


def said(visit: Visit) -> str:
    """What was just booked, in words; empty on a visit of any other kind."""
    asked, records = visit.asked(BOOKED), visit.kit.journal.records()
    if not (asked.isascii() and asked.isdigit() and len(asked) < 10 and 1 <= int(asked) <= len(records)):
        return ""
    stored = records[int(asked) - 1]
    return f"Entry {stored.serial} was booked. {describe(stored.entry, visit.kit.catalog())}"
