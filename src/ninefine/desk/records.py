"""Keeping things right: moves, prices read, notes with photos and receipts, mends and withdrawals."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial

import msgspec

from ninefine.book.chain import Stored
from ninefine.book.codec import place_of
from ninefine.book.entries import Fact, Listed, Mended, Moved, Noted, Priced, Withdrawn
from ninefine.book.standing import standing as facts_standing
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields, read_clock
from ninefine.desk.heaps import read_heap
from ninefine.desk.kit import Kit
from ninefine.errors import BookError, Fault, Faults, InputError, NotFoundError, RangeError, UnreadableError
from ninefine.measure.days import FIRST_YEAR
from ninefine.measure.money import METALS, metal_code
from ninefine.measure.numbers import read_reference

#: A photo or receipt larger than this is refused; phones' pictures are about a tenth of it.
LARGEST_ATTACHMENT = 32 * 1024 * 1024
#: Kinds of file that can be kept: their name's ending and the media type they are served as.
MEDIA = {
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".png": "image/png",
    ".webp": "image/webp",
    ".pdf": "application/pdf",
    ".txt": "text/plain",
    ".wav": "audio/wav",
    ".flac": "audio/flac",
    ".csv": "text/csv",
}


def move(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a move. Fields: `on`, `heap`, `amount` (empty: all of it), `to`, `note`.

    Raises:
        Faults: every fault of the form.
        NotEnoughError: the heap holds less.
    """
    fields = Fields(form, source="the move")
    on = fields.day("on", kit.today())
    heap = fields.read("heap", partial(read_heap, kit.holdings()), None, needed=True)
    if not fields.raw("to"):
        fields.fault("to", "Say where it went: a location code of your own, such as A1.")
    amount = None
    if heap is not None:
        amount = fields.read("amount", partial(read_amount, kind=kit.catalog().kind(heap.kind)), None)
        if heap.place == fields.raw("to"):
            fields.fault("to", f"It is at {heap.place} already.")
    fields.done()
    if heap is None:
        raise NotFoundError("No heap was named.")
    return kit.journal.append(Moved(on=on, heap=heap.ref, amount=amount, to=fields.raw("to"), note=fields.raw("note")))


def price(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set down a price that was read. Fields: `on`, `at`, `metal`, `per_ozt`, `side`, `whose`, `note`.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the price")
    on = fields.day("on", kit.today())
    if on > kit.today():
        fields.fault("on", "This day has not come yet.")
    at = fields.read("at", read_clock, "")
    metal = fields.read("metal", metal_code, "XAG")
    per_ozt = fields.positive("per_ozt", needed=True)
    side = fields.raw("side") or "spot"
    if side not in {"spot", "bid", "ask"}:
        fields.fault("side", "A price is spot, bid or ask.")
    fields.done()
    return kit.journal.append(
        Priced(
            on=on,
            at=at,
            metal=metal,
            per_ozt=per_ozt or Decimal(0),
            side=side,
            whose=fields.raw("whose"),
            note=fields.raw("note"),
        )
    )


def metal_name(code: str) -> str:
    """A metal's plain name by its ISO 4217 code."""
    return METALS[code][1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Upload:
    """A file that a person hands in."""

    name: str
    data: bytes


def note(kit: Kit, form: Mapping[str, str], uploads: Sequence[Upload] = ()) -> Stored:
    """Keep a remark, with files. Fields: `on`, `text`, `lots` (names parted by commas), `about` (an entry's number).

    Raises:
        Faults: every fault of the form and of each file.
    """
    fields = Fields(form, source="the note")
    on = fields.day("on", kit.today())
    held = kit.holdings()
    lots = tuple(name.strip() for name in fields.raw("lots").split(",") if name.strip())
    for name in lots:
        if name not in held.lots:
            fields.fault("lots", str(NotFoundError(f"There is no lot {name[:40]!r}.", instead=list(held.lots)[-6:])))
    about = fields.count("about")
    if about is not None and about > held.serial:
        fields.fault("about", f"There is no entry {about}; the last is {held.serial}.")
    files = [upload for upload in uploads if upload.name]
    media = [fields.read_value("files", upload, media_of) for upload in files]
    if not fields.raw("text") and not files:
        fields.fault("text", "A note needs words or a file.")
    fields.done()
    kept = tuple(
        kit.journal.attach(upload.name, kind or "", upload.data) for upload, kind in zip(files, media, strict=True)
    )
    return kit.journal.append(Noted(on=on, text=fields.raw("text"), lots=lots, about=about, attachments=kept))


def media_of(upload: Upload) -> str:
    """The media type of a file that can be kept, by its name's ending.

    Raises:
        UnreadableError: a kind of file that is not kept.
        RangeError: empty, or larger than 32 MiB.
    """
    ending = "." + upload.name.rpartition(".")[2].lower()
    if ending not in MEDIA:
        raise UnreadableError(f"{upload.name[:60]!r} is not a kind of file kept here.", instead=sorted(MEDIA))
    if not upload.data:
        raise RangeError(f"{upload.name[:60]!r} is empty.")
    if len(upload.data) > LARGEST_ATTACHMENT:
        size = len(upload.data) // (1024 * 1024)
        raise RangeError(f"{upload.name[:60]!r} has {size} MiB.", expected="At most 32 MiB are kept in one piece.")
    return MEDIA[ending]


def set_down(kit: Kit, table: str, key: str, body: Mapping[str, object] | None, *, on: date | None = None) -> Stored:
    """Set down a row of one of the person's own tables, or strike it with no body. The body has been read already."""
    if body is None and key not in kit.holdings().tables.get(table, {}):
        raise NotFoundError(
            f"There is no {table} {key!r} to strike.", instead=list(kit.holdings().tables.get(table, {}))
        )
    return kit.journal.append(
        Listed(on=on or kit.today(), table=table, key=key, body=None if body is None else dict(body))
    )


def set_down_all(
    kit: Kit, rows: Sequence[tuple[str, str, Mapping[str, object]]], *, on: date | None = None
) -> tuple[Stored, ...]:
    """Set down several rows, each with its table and its key, or none of them. The bodies have been read already."""
    day = on or kit.today()
    return kit.journal.append_all([Listed(on=day, table=table, key=key, body=dict(body)) for table, key, body in rows])


def standing(kit: Kit, serial: int) -> Fact:
    """The fact that stands at a serial number, mends counted.

    Raises:
        NotFoundError: no such entry.
        BookError: the entry was withdrawn, or is itself a withdrawal.
    """
    records = kit.journal.records()
    if not 1 <= serial <= len(records):
        raise NotFoundError(f"There is no entry {serial}.", expected=f"The book has {len(records)} entries.")
    for _, number, fact in facts_standing(records):
        if number == serial:
            return fact
    entry = records[serial - 1].entry
    if isinstance(entry, Mended):
        return standing(kit, entry.serial)
    if isinstance(entry, Withdrawn):
        raise BookError(
            f"Entry {serial} only says that entry {entry.serial} never happened; it has no wording to mend."
        )
    raise BookError(f"Entry {serial} was withdrawn, so there is nothing to put right.")


def mend_fields(kit: Kit, serial: int, changes: Mapping[str, str], *, why: str = "") -> Stored:
    """Put single fields of an entry right, named by their path: `price`, `lines.1.price`, `on`; the rest stays.

    Raises:
        NotFoundError: no such entry or field.
        InputError: no change at all.
        Faults: the new value does not fit the field.
        BookError: the book as mended would not hold.
    """
    fact = standing(kit, serial)
    if not changes:
        raise InputError("No field was changed, so nothing was mended.")
    whole = msgspec.json.decode(msgspec.json.encode(fact))  # lists, where records hold tuples
    for path, text in changes.items():
        _set_path(whole, path, text)
    try:
        instead: Fact = msgspec.convert(whole, Fact, strict=False)
    except (msgspec.ValidationError, ValueError) as error:
        field, wrong = place_of(error)
        raise Faults(
            [Fault(where=field, wrong=f"{wrong[:1].upper()}{wrong[1:]}.")], source=f"entry {serial}"
        ) from error
    _must_have_come(kit, fact, instead)
    return kit.journal.append(Mended(on=kit.today(), serial=serial, instead=instead, why=why))


def mend(kit: Kit, serial: int, instead: Fact, *, why: str = "") -> Stored:
    """Put an entry right with a whole new wording.

    Raises:
        InputError: nothing changed.
        BookError: the book as mended would not hold.
    """
    fact = standing(kit, serial)
    if fact == instead:
        raise InputError(f"Entry {serial} says this already; nothing was mended.")
    _must_have_come(kit, fact, instead)
    return kit.journal.append(Mended(on=kit.today(), serial=serial, instead=instead, why=why))


def _must_have_come(kit: Kit, fact: Fact, instead: Fact) -> None:
    """Refuse to put an entry on a day that has not come, or on one of no household."""
    on = instead.on
    if on != fact.on and not (on.year >= FIRST_YEAR and on <= kit.today()):
        raise RangeError(
            f"{on} {'has not come yet' if on > kit.today() else f'is in the year {on.year}'}.",
            expected="An entry stands on the day on which it happened.",
        )


def withdraw(kit: Kit, serial: int, *, why: str = "") -> Stored:
    """Say that an entry never happened.

    Raises:
        NotFoundError: no such entry.
        BookError: the book without it would not hold (later entries rest on it).
    """
    count = len(kit.journal.records())
    if not 1 <= serial <= count:
        raise NotFoundError(f"There is no entry {serial}.", expected=f"The book has {count} entries.")
    return kit.journal.append(Withdrawn(on=kit.today(), serial=serial, why=why))


def _set_path(whole: object, path: str, text: str) -> None:
    *steps, last = path.split(".")
    here = whole
    for step in steps:
        here = _step(here, step, path)
    if isinstance(here, list) and 1 <= (place := read_reference(last) or 0) <= len(here):
        here[place - 1] = text
    elif isinstance(here, dict) and (last in here or path.startswith("other_costs.")):
        here[last] = None if text == "" and here.get(last) is None else text
    else:
        raise _no_field(here, path)


def _step(here: object, step: str, path: str) -> object:
    if isinstance(here, dict) and step in here:
        return here[step]
    if isinstance(here, list) and 1 <= (place := read_reference(step) or 0) <= len(here):
        return here[place - 1]
    raise _no_field(here, path)


def _no_field(here: object, path: str) -> NotFoundError:
    names = (
        list(here)
        if isinstance(here, dict)
        else [str(number + 1) for number in range(len(here) if isinstance(here, list) else 0)]
    )
    return NotFoundError(f"The entry has no field {path!r}.", instead=[name for name in names if name != "entry"])
