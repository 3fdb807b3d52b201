"""A calendar: when each lot turns long-term, and when a price or a cover is due for review."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import NAMESPACE_URL, uuid5

from ninefine.book.holdings import Lot
from ninefine.book.term import turns_long
from ninefine.papers.document import NOTHING, Column, Document, Event, Group, Ledger, Notes, Of, Prose, Row
from ninefine.papers.inventory import About
from ninefine.papers.settings import Review
from ninefine.papers.words import and_list
from ninefine.papers.written import day_words

#: Identifiers of events are made under this name: the same lot gives the same one every time (RFC 9562, UUIDv5).
_SPACE = uuid5(NAMESPACE_URL, "urn:ninefine:lot-calendar")
_LONG_NOTE = (
    "Long-term: more than a year, counted from the day after acquisition. Whether it matters is for your own tax rules "
    "to say."
)
_LONG_WORDS = "From this day a sale of it counts as held for more than a year."


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """Lots that turn long-term on one day."""

    on: date
    lots: tuple[str, ...]


def turnings(lots: Iterable[Lot], today: date) -> tuple[Turning, ...]:
    """Every day from today on from which lots still held count as long-term, with those lots."""
    days: dict[date, list[str]] = {}
    for lot in lots:
        day = turns_long(lot)
        if lot.heaps and day is not None and day >= today:
            days.setdefault(day, []).append(lot.name)
    return tuple(Turning(on=day, lots=tuple(names)) for day, names in sorted(days.items()))


def lot_calendar(about: About, turning: Sequence[Turning], reviews: Sequence[Review]) -> Document:
    """The calendar, as a paper and as days."""
    events = [_turning(about, one) for one in turning] + [_review(about, one) for one in reviews]
    events.sort(key=lambda event: (event.on, event.words))
    rows = tuple(
        Row(cells=(event.on, event.words, f"every {event.every_months} months" if event.every_months else ""))
        for event in events
    )
    first = f"Next: {day_words(events[0].on)}, {events[0].words}." if events else "Nothing is due."
    return Document(
        name="calendar",
        title="Days to remember",
        on=about.on,
        book=about.book,
        blocks=(
            Prose(text=first, answer=True),
            Ledger(
                caption="Days",
                columns=(Column(head="Day", of=Of.DATE), Column(head="What", wide=True), Column(head="Again")),
                groups=(Group(rows=rows),) if rows else (),
                empty="No lot is about to turn long-term, and no review has been set down.",
                main=True,
            ),
            Notes(lines=((_LONG_NOTE, NOTHING),)),
        ),
        events=tuple(events),
    )  # fmt: skip


def _turning(about: About, one: Turning) -> Event:
    lots = and_list(one.lots)
    words = f"lot{'s' if len(one.lots) > 1 else ''} {lots} held long-term from this day"
    return Event(uid=_uid(about, f"long {one.on} {lots}"), on=one.on, words=words, more=_LONG_WORDS)


def _review(about: About, one: Review) -> Event:
    return Event(
        uid=_uid(about, f"review {one.name}"),
        on=one.on,
        words=f"review: {one.name}",
        more=one.note,
        every_months=one.every_months,
    )


def _uid(about: About, what: str) -> str:
    return str(uuid5(_SPACE, f"{about.book}\n{what}"))
