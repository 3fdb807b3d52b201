"""The journal as a person reads it: every entry in a sentence, with what mended or withdrew it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ninefine.book.chain import Stored
from ninefine.book.entries import Mended, Noted, Withdrawn
from ninefine.desk.describe import describe
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalLine:
    """One entry: its sentence, and the serials of later entries that mended, withdrew or spoke of it."""

    stored: Stored
    sentence: str
    name: str
    mended_by: tuple[int, ...] = ()
    withdrawn_by: int | None = None
    notes: tuple[int, ...] = ()

    @property
    def on(self) -> date:
        """The date on which it happened."""
        return self.stored.entry.on


def journal(kit: Kit, *, before: int | None = None, most: int = 50) -> list[JournalLine]:
    """Entries newest first, `most` of them, below serial `before`.

    Only the lines answered are put in words, so that a long book is read a page at a time.
    """
    records = kit.journal.records()
    top = len(records) if before is None else max(0, min(before - 1, len(records)))
    wanted = records[max(0, top - most) : top]
    later = _spoken_of(records)
    return [_line(kit, stored, later.get(stored.serial, [])) for stored in reversed(wanted)]


def entry_line(kit: Kit, serial: int) -> JournalLine:
    """One entry.

    Raises:
        NotFoundError: no such entry.
    """
    records = kit.journal.records()
    if not 1 <= serial <= len(records):
        raise NotFoundError(f"There is no entry {serial}.", expected=f"The book has {len(records)} entries.")
    return _line(kit, records[serial - 1], _spoken_of(records).get(serial, []))


def _spoken_of(records: Sequence[Stored]) -> dict[int, list[Stored]]:
    """Serial -> the later entries that mend, withdraw or note it."""
    later: dict[int, list[Stored]] = {}
    for stored in records:
        entry = stored.entry
        if isinstance(entry, Mended | Withdrawn):
            later.setdefault(entry.serial, []).append(stored)
        elif isinstance(entry, Noted) and entry.about is not None:
            later.setdefault(entry.about, []).append(stored)
    return later


def _line(kit: Kit, stored: Stored, later: list[Stored]) -> JournalLine:
    withdrawn = [one.serial for one in later if isinstance(one.entry, Withdrawn)]
    return JournalLine(
        stored=stored,
        sentence=describe(stored.entry, kit.catalog()),
        name=type(stored.entry).__name__.lower(),
        mended_by=tuple(one.serial for one in later if isinstance(one.entry, Mended)),
        withdrawn_by=withdrawn[0] if withdrawn else None,
        notes=tuple(one.serial for one in later if isinstance(one.entry, Noted)),
    )
