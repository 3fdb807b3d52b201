"""A journal written out line by line as JSON, and read back: the same entries, the same moments, digest for digest.

Each line is proved as it is read: an entry by its place in the chain, a file by its name, the first and last line by
digests of their own. `docs/in-and-out.md` shows the lines; `docs/journal-format.md` the entries.
"""

import base64
import binascii
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import TypeVar

import msgspec

from ninefine.book import codec
from ninefine.book.chain import GENESIS, Stored, moment, seal
from ninefine.errors import BookError, BrokenLawError, UnreadableError

#: The only version of the lines so far.
VERSION = 1


class CountMark(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One mark of a count; an undo has a delta of 0 and names the mark that it cancels."""

    seq: int
    kind: str
    issue: str
    delta: int
    note: str
    cancels: int | None
    said_at: str


class Count(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """A count under way: of which heap, in words, since when, and mark by mark. `sha256` is of itself without one."""

    count: int
    heap: str
    title: str
    started_at: str
    marks: tuple[CountMark, ...]
    sha256: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Journal:
    """A whole journal outside its file.

    Attributes:
        name: what the person calls the book.
        currency: its one currency, ISO 4217.
        records: every entry in order.
        files: the bytes of every attachment, by their SHA-256.
        counts: those under way, in the order in which they were begun.
    """

    name: str
    currency: str
    records: Sequence[Stored]
    files: Mapping[str, bytes]
    counts: Sequence[Count] = ()


class _Head(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    ninefine: int
    name: str
    currency: str
    entries: int
    files: int
    counts: int
    sha256: str = ""


class _Line(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    serial: int
    said_at: str
    digest: str
    body: msgspec.Raw


class _File(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    file: str
    base64: str


class _End(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    last: str
    sha256: str


T = TypeVar("T", bound=msgspec.Struct)
L = TypeVar("L", _Head, Count)

_ENCODE = msgspec.json.Encoder().encode


def write_lines(journal: Journal) -> Iterator[bytes]:
    """The journal's lines, each with its line feed.

    Raises:
        BrokenLawError: an entry is not what was said.
    """
    whole = sha256()
    for line in _lines(journal):
        whole.update(line)
        yield line
    last = journal.records[-1].digest.hex() if journal.records else ""
    yield _ENCODE(_End(last=last, sha256=whole.hexdigest())) + b"\n"


def _lines(journal: Journal) -> Iterator[bytes]:
    head = _Head(
        ninefine=VERSION,
        name=journal.name,
        currency=journal.currency,
        entries=len(journal.records),
        files=len(journal.files),
        counts=len(journal.counts),
    )
    yield _ENCODE(_sealed(head)) + b"\n"
    for record in journal.records:
        body, stamp = codec.encode(record.entry), moment(record.said_at)
        if record.digest != seal(record.previous, record.serial, stamp, body):
            raise BrokenLawError(f"Entry {record.serial} is not what was said: its digest does not fit.")
        line = _Line(serial=record.serial, said_at=stamp, digest=record.digest.hex(), body=msgspec.Raw(body))
        yield _ENCODE(line) + b"\n"
    for name, data in sorted(journal.files.items()):
        yield _ENCODE(_File(file=name, base64=base64.b64encode(data).decode("ascii"))) + b"\n"
    for count in journal.counts:
        yield _ENCODE(_sealed(count)) + b"\n"


def _sealed(line: L) -> L:
    """A line with the digest of itself, written without one."""
    bare = msgspec.structs.replace(line, sha256="")
    return msgspec.structs.replace(bare, sha256=sha256(_ENCODE(bare)).hexdigest())


def read_lines(data: bytes) -> Journal:
    """Read a journal back, proving each line.

    Raises:
        UnreadableError: not a journal's lines at all, or of a later version.
        BrokenLawError: a line is missing, was added or is not what was written; names it.
    """
    lines = [line + b"\n" for line in data.split(b"\n")]
    head = _head(lines[0])
    if lines.pop() != b"\n":
        raise _changed(len(lines) + 1)
    records = tuple(_records(lines[1 : 1 + head.entries]))
    after = 1 + head.entries
    files = dict(_files(lines[after : after + head.files], after + 1))
    after += head.files
    counts = tuple(_counts(lines[after : after + head.counts], after + 1))
    _end(lines, head, records)
    return Journal(name=head.name, currency=head.currency, records=records, files=files, counts=counts)


def _head(line: bytes) -> _Head:
    try:
        head = msgspec.json.decode(line, type=_Head)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise UnreadableError(
            "The first line is not that of a journal written out.",
            expected="Give the file journal.jsonl as `ninefine export` wrote it.",
        ) from error
    if head.ninefine != VERSION:
        raise UnreadableError(f"These lines are of version {head.ninefine}; this ninefine reads version {VERSION}.")
    if _ENCODE(_sealed(head)) + b"\n" != line:
        raise _changed(1)
    return head


def _records(lines: Iterable[bytes]) -> Iterator[Stored]:
    previous = GENESIS
    for number, line in enumerate(lines, 2):
        said = _decoded(line, number, _Line)
        body = bytes(said.body)
        try:
            fits = said.serial == number - 1 and seal(previous, said.serial, said.said_at, body).hex() == said.digest
            entry = codec.decode(body) if fits else None
            said_at = datetime.fromisoformat(said.said_at).astimezone(UTC)
        except (BookError, ValueError, OverflowError) as error:
            raise _changed(number) from error
        if entry is None or codec.encode(entry) != body or moment(said_at) != said.said_at:
            raise _changed(number)
        digest = bytes.fromhex(said.digest)
        yield Stored(serial=said.serial, said_at=said_at, entry=entry, digest=digest, previous=previous)
        previous = digest


def _files(lines: Iterable[bytes], first: int) -> Iterator[tuple[str, bytes]]:
    before = ""
    for number, line in enumerate(lines, first):
        said = _decoded(line, number, _File)
        try:
            whole = base64.b64decode(said.base64, validate=True)
        except (binascii.Error, ValueError) as error:
            raise _changed(number) from error
        if sha256(whole).hexdigest() != said.file or said.file <= before:
            raise _changed(number)
        before = said.file
        yield said.file, whole


def _counts(lines: Iterable[bytes], first: int) -> Iterator[Count]:
    for number, line in enumerate(lines, first):
        said = _decoded(line, number, Count)
        if _sealed(said) != said:
            raise _changed(number)
        yield msgspec.structs.replace(said, sha256="")


def _end(lines: Sequence[bytes], head: _Head, records: Sequence[Stored]) -> None:
    number = 2 + head.entries + head.files + head.counts
    if len(lines) != number:
        raise BrokenLawError(
            f"Line 1 speaks of {number} lines in all, and there are {len(lines)}: the file was cut short or added to."
        )
    end = _decoded(lines[-1], number, _End)
    last = records[-1].digest.hex() if records else ""
    if end.last != last or end.sha256 != sha256(b"".join(lines[:-1])).hexdigest():
        raise _changed(number)


def _decoded(line: bytes, number: int, kind: type[T]) -> T:
    """A line read, if it stands exactly as it would be written."""
    try:
        said = msgspec.json.decode(line, type=kind)
        written = _ENCODE(said) + b"\n"
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise _changed(number) from error
    if written != line:
        raise _changed(number)
    return said


def _changed(number: int) -> BrokenLawError:
    return BrokenLawError(f"Line {number} is not what was written: it was changed, or a line before it is missing.")
