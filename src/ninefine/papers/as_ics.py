"""The days of a paper as an iCalendar file (RFC 5545): whole days, no alarm, the same bytes every time."""

from datetime import UTC, datetime, time, timedelta

from ninefine.errors import RangeError
from ninefine.papers.document import Document


def as_ics(document: Document) -> bytes:
    """Every event of a paper.

    An event's UID stays the same from one making to the next, so that a calendar that takes the file again puts its
    days in place of the old ones.

    Raises:
        RangeError: the paper has no days.
    """
    if not document.events:
        raise RangeError(
            f"{document.title} has no days to put in a calendar.", expected="Ask for it as text, a page or a PDF."
        )
    from icalendar import Calendar, Event, vRecur  # noqa: PLC0415 - only calendars need it

    calendar = Calendar()
    calendar.add("prodid", "-//ninefine//papers//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", document.title)
    made = datetime.combine(document.on, time(0), UTC)
    for event in document.events:
        entry = Event()
        entry.add("uid", event.uid)
        entry.add("dtstamp", made)
        entry.add("dtstart", event.on)
        entry.add("dtend", event.on + timedelta(days=1))
        entry.add("summary", event.words)
        if event.more:
            entry.add("description", event.more)
        if event.every_months is not None:
            entry.add("rrule", vRecur({"FREQ": "MONTHLY", "INTERVAL": event.every_months}))
        entry.add("transp", "TRANSPARENT")  # a reminder takes up no time of the day
        calendar.add_component(entry)
    held: bytes = calendar.to_ical()
    return held
