"""Everything that the book holds, written out: the journal line by line with its files, and plain tables."""

import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256

from ninefine.book.chain import Stored, moment
from ninefine.book.entries import files_of
from ninefine.book.lines import Count, CountMark, Journal, write_lines
from ninefine.desk.kit import Kit, TallyAbout
from ninefine.desk.tables_out import tables
from ninefine.errors import BrokenLawError

JOURNAL = "journal.jsonl"
READ_ME = "read-me.txt"


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenOut:
    """A book written out.

    Attributes:
        files: name -> content: the journal, the tables, and a page of words about them.
        entries: how many entries the journal holds.
        kept: how many files of the book are in it.
        digest: the last entry's, in hexadecimal; empty where there is none.
    """

    files: dict[str, bytes]
    entries: int
    kept: int
    digest: str


def journal_of(kit: Kit) -> Journal:
    """The whole journal, with every file that an entry names, and the counts under way.

    Raises:
        NotFoundError: the book does not hold a file that an entry names.
        BrokenLawError: a file is not what was kept.
    """
    records = kit.journal.records()
    files: dict[str, bytes] = {}
    for name in dict.fromkeys(_named(records)):
        files[name] = kit.journal.attachment(name)
        if sha256(files[name]).hexdigest() != name:
            raise BrokenLawError(f"The file {name[:12]} is not what was kept. `ninefine check` says more.")
    counts = tuple(_count(kit, about) for about in kit.tallies.open_tallies())
    return Journal(name=kit.journal.name, currency=kit.journal.currency, records=records, files=files, counts=counts)


def _count(kit: Kit, about: TallyAbout) -> Count:
    """A count under way, mark by mark."""
    marks = kit.tallies.marks(about.number)
    return Count(
        count=about.number,
        heap=about.heap,
        title=about.title,
        started_at=moment(about.started_at),
        marks=tuple(
            CountMark(
                seq=mark.seq,
                kind=mark.kind,
                issue=mark.issue,
                delta=mark.delta,
                note=mark.note,
                cancels=mark.cancels,
                said_at=moment(mark.said_at or about.started_at),
            )
            for mark in marks
        ),
    )


def write_out(kit: Kit) -> WrittenOut:
    """Write everything out.

    Raises:
        NotFoundError, BrokenLawError: as `journal_of` does.
    """
    whole = journal_of(kit)
    files = {JOURNAL: b"".join(write_lines(whole))}
    # with a mark at the beginning, by which spreadsheets tell UTF-8
    files |= {name: text.encode("utf-8-sig") for name, text in tables(kit).items()}
    digest = whole.records[-1].digest.hex() if whole.records else ""
    words = _READ_ME.format(
        name=whole.name, entries=len(whole.records), files=len(whole.files), digest=digest or "none"
    )
    files[READ_ME] = words.encode()
    return WrittenOut(files=files, entries=len(whole.records), kept=len(whole.files), digest=digest)


def as_zip(written: WrittenOut) -> bytes:
    """The same files in one ZIP archive."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in written.files.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _named(records: Sequence[Stored]) -> Iterator[str]:
    """The digest of every file that an entry names, mends among them."""
    for record in records:
        yield from (file.sha256 for file in files_of(record.entry))


_READ_ME = """{name}: everything that the book holds, in plain text. Anyone can read it: keep it as you keep the silver.

journal.jsonl  the journal, an entry to a line, with its files; `ninefine rebuild` makes the book of it again
holdings.csv   what is held, heap by heap, with its cost
lots.csv       every lot that ever came
purchases.csv  every line bought
sales.csv      every line sold
gains.csv      everything that left, with its basis and gain

Entries: {entries}. Files: {files}. Digest of the last entry: {digest}

Amounts are exact decimals in the book's currency. What nobody knows is left empty. Ounces name their basis.
Counts under way stand in the journal's last lines; those that were booked or put aside are only in the book's file.
"""
