"""Book: the journal entry by entry, mends and withdrawals in the open, notes with files, and the proof."""

import json

import msgspec
from starlette.responses import Response

from ninefine.book.entries import Bought, Mended, Received, Sorted, Withdrawn, files_of
from ninefine.desk import records
from ninefine.desk.journal import JournalLine, entry_line, journal
from ninefine.desk.proof import prove
from ninefine.desk.tables import flat
from ninefine.errors import BookError, BrokenLawError, NotFoundError
from ninefine.measure.numbers import read_reference
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.visit import Visit, done, shown

A_PAGE = 40
#: Files that a browser may show by itself; any other is handed over to be kept.
SHOWN = frozenset({"image/jpeg", "image/png", "image/webp"})


def page(visit: Visit) -> Response:
    """The journal, newest first."""
    kit = visit.kit
    before = read_reference(visit.asked("before"))
    lines = journal(kit, before=before, most=A_PAGE)
    count = len(kit.journal.records())
    last = lines[-1].stored.serial if lines else 1
    return visit.page(
        "book.html",
        stage="book",
        count=count,
        name=kit.journal.name,
        plain=kit.journal.is_plain,
        digest=kit.journal.records()[-1].digest.hex() if count else "",
        entries=_entries(visit, lines),
        older=visit.path_to("book", asking={"before": str(last)}) if last > 1 else "",
        said=visit.asked("said"),
        status=200 if visit.form.ok else 400,
    )


def _entries(visit: Visit, lines: list[JournalLine]) -> Ledger:
    return Ledger(
        caption="The journal, newest first",
        columns=(
            Column(key="entry", head="Entry"),
            Column(key="on", head="Happened", of=Of.DATE),
            Column(key="words", head="What"),
        ),
        rows=[
            Row(
                cells={
                    "entry": Cell(
                        value=f"{line.stored.serial} {line.name}",
                        href=visit.path_to("entry", serial=line.stored.serial),
                    ),
                    "on": line.on,
                    "words": line.sentence,
                },
                note=_standing(line),
                weight=Weight.QUIET if line.withdrawn_by or line.mended_by else Weight.PLAIN,
            )
            for line in lines
        ],
        empty="The book is empty. What you book appears here, and stays.",
    )


def _standing(line: JournalLine) -> str:
    if line.withdrawn_by:
        return f"withdrawn by entry {line.withdrawn_by}"
    return f"mended by entry {line.mended_by[-1]}" if line.mended_by else ""


def entry(visit: Visit) -> Response:
    """One entry: its sentence, every field, and what corrected it."""
    return _entry_page(visit, _serial(visit))


def _serial(visit: Visit) -> int:
    part = visit.part("serial")
    serial = read_reference(part)
    if serial is None:
        raise NotFoundError(f"{part[:20]!r} is no entry's number.")
    return serial


def _entry_page(visit: Visit, serial: int, status: int = 200) -> Response:
    kit = visit.kit
    line = entry_line(kit, serial)
    said = line.stored.entry
    mendable = not isinstance(said, Withdrawn) and not line.withdrawn_by
    fields: dict[str, str] = {}
    if mendable:
        try:
            fields = _fields(records.standing(kit, serial))
        except BookError:
            mendable = False
    if not visit.form.values:
        visit.form = Form(starting=fields)
    fact = said.instead if isinstance(said, Mended) else said
    return visit.page(
        "entry.html",
        stage="book",
        status=status,
        line=line,
        mendable=mendable,
        standing=_standing(line),
        fields=list(fields),
        files=files_of(said),
        lots=_lots_of(fact),
        said=visit.asked("said"),
    )


def _fields(fact: object) -> dict[str, str]:
    """Every field of a fact by its path, as text."""
    whole = json.loads(msgspec.json.encode(fact))
    whole.pop("entry", None)
    return flat({name: value for name, value in whole.items() if value not in (None, [], {})})


def _lots_of(fact: object) -> list[str]:
    if isinstance(fact, Bought | Received):
        return [line.lot for line in fact.lines]
    return [fact.heap.lot] if isinstance(fact, Sorted) else []


def mend(visit: Visit) -> Response:
    """Put fields of an entry right: only those that were changed."""
    serial = _serial(visit)
    kit, form = visit.kit, visit.form
    before = _fields(records.standing(kit, serial))
    changes = {name: form.text(name) for name in before if name in form.values and form.text(name) != before[name]}
    stored = form.attempt(records.mend_fields, kit, serial, changes, why=form.text("why"))
    if stored is None:
        return _entry_page(visit, serial, status=400)
    return visit.goto("entry", serial=serial, asking={"said": f"Entry {stored.serial}: entry {serial} was mended."})


def withdraw(visit: Visit) -> Response:
    """Say that an entry never happened."""
    serial = _serial(visit)
    stored = visit.form.attempt(records.withdraw, visit.kit, serial, why=visit.form.text("why"))
    if stored is None:
        return _entry_page(visit, serial, status=400)
    return visit.goto("entry", serial=serial, asking={"said": f"Entry {stored.serial}: entry {serial} was withdrawn."})


def note(visit: Visit) -> Response:
    """Keep a remark, a photo or a receipt."""
    uploads = [records.Upload(name=name, data=data) for name, data in visit.form.files.values()]
    stored = visit.form.attempt(records.note, visit.kit, visit.form.fields, uploads)
    if stored is None:
        return page(visit)
    return visit.goto("book", asking={"said": f"Entry {stored.serial}: noted."})


def proof(visit: Visit) -> Response:
    """Prove the book and say so."""
    try:
        found = prove(visit.kit)
    except BrokenLawError as error:
        return visit.refusal(409, head="The book does not hold", words=str(error))
    said = f"The book holds: {found.entries} entries in an unbroken chain, {found.attachments} attachments whole."
    return visit.goto("book", asking={"said": said})


def attachment(visit: Visit) -> Response:
    """A kept file: pictures are shown, anything else is handed over."""
    wanted = visit.part("sha256")
    for stored in visit.kit.journal.records():
        for file in files_of(stored.entry):
            if file.sha256 == wanted:
                shown_here = file.media in SHOWN
                name = "".join(one for one in file.name if one.isascii() and (one.isalnum() or one in "._- "))
                how = "inline" if shown_here else f'attachment; filename="{name}"'
                media = file.media if shown_here else "application/octet-stream"
                return Response(
                    visit.kit.journal.attachment(wanted), media_type=media, headers={"Content-Disposition": how}
                )
    raise NotFoundError("The book holds no such file.")


routes = [
    shown("/book", page, name="book"),
    done("/book/notes", note, name="book.note"),
    done("/book/proof", proof, name="book.proof"),
    shown("/book/files/{sha256}", attachment, name="attachment"),
    shown("/book/{serial}", entry, name="entry"),
    done("/book/{serial}/mend", mend, name="entry.mend"),
    done("/book/{serial}/withdraw", withdraw, name="entry.withdraw"),
]
