"""Entries to bytes and back: one canonical wording for each entry, with the version of the format in every record.

A record is JSON: `{"v":1,"said":{...}}`. Nothing is omitted, so that a default changed in code never changes what was
said; decimals are strings that keep their digits; keys of free tables are sorted. Equal entries give equal bytes: each
is written in the earliest version that has its kind of entry, so that an older ninefine reads all that it can know.
`docs/journal-format.md` shows each entry.
"""

import re
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from ninefine.book.entries import (
    Entry,
    Given,
    Inherited,
    Joined,
    Lost,
    Mended,
    Opened,
    Refined,
    Split,
    Swapped,
    Tested,
    Used,
)
from ninefine.errors import BookError

#: The latest version of the format. Every earlier one stays readable.
FORMAT = 3
#: Entries that version 2 added; all that a version has stands in every later one alike.
_SINCE_2 = frozenset({Given, Inherited, Opened, Swapped, Lost, Refined, Split, Joined, Used})
#: Entries that version 3 added.
_SINCE_3 = frozenset({Tested})


class _Record(msgspec.Struct, frozen=True, gc=False, forbid_unknown_fields=True):
    """The envelope of all versions."""

    v: Literal[1, 2, 3]
    said: Entry


class _Version(msgspec.Struct, frozen=True, gc=False):
    """What every version's envelope has: its number."""

    v: Annotated[int, Meta(ge=1)]


_ENCODER = msgspec.json.Encoder(decimal_format="string", order="deterministic")
_DECODER = msgspec.json.Decoder(_Record)
_VERSION = msgspec.json.Decoder(_Version)

_PATH = re.compile(r"^(?P<what>.*?)(?: - at `(?P<path>.*)`)?$", re.DOTALL)
_STEP = re.compile(r"\.(?P<name>\w+)|\[(?P<index>\d+|\.\.\.)\]")


def encode(entry: Entry) -> bytes:
    """The entry's canonical bytes.

    Raises:
        BookError: a table's row holds something that cannot be written.
    """
    try:
        return _ENCODER.encode(_Record(_written_in(entry), entry))
    except (TypeError, ValueError, OverflowError, RecursionError) as error:
        raise BookError(f"The entry cannot be written: {error}.") from error


def decode(body: bytes | bytearray | memoryview | str) -> Entry:
    """Read an entry back.

    Raises:
        BookError: written by a later version, or not an entry; says where, in words.
    """
    try:
        record = _DECODER.decode(body)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        version = version_of(body)
        if version is not None and version > FORMAT:
            raise BookError(
                f"The entry is written in format {version}; this ninefine reads up to {FORMAT}. Use a later ninefine."
            ) from error
        raise BookError(f"The entry cannot be read: {in_words(error)}.") from error
    if record.v != _written_in(record.said):
        raise BookError(f"The entry cannot be read: format {record.v} is not the one that it is written in.")
    return record.said


def _written_in(entry: Entry) -> Literal[1, 2, 3]:
    """The earliest version that has this kind of entry."""
    fact = entry.instead if isinstance(entry, Mended) else entry
    if type(fact) in _SINCE_3:
        return 3
    return 2 if type(fact) in _SINCE_2 else 1


def version_of(body: bytes | bytearray | memoryview | str) -> int | None:
    """The format's version in a record's envelope, or none where there is no envelope."""
    try:
        return _VERSION.decode(body).v
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return None


def settled(entry: Entry) -> Entry:
    """The entry as it will be read back: checked field by field, and free tables in plain JSON terms.

    Raises:
        BookError: a field does not hold what it must; says which, in words.
    """
    return decode(encode(entry))


def in_words(error: Exception) -> str:
    """A fault of reading with its place said in words: `lines 2, price: ...`."""
    match = _PATH.match(str(error))
    assert match is not None
    what = match["what"].replace("`", "").rstrip(".")
    steps: list[str] = []
    for step in _STEP.finditer(match["path"] or ""):
        if step["name"] is not None:
            steps.append(step["name"])
        elif steps:
            steps[-1] += " (one of them)" if step["index"] == "..." else f" {int(step['index']) + 1}"
    if steps and steps[0] == "said":
        del steps[0]
    return f"{', '.join(steps)}: {what}" if steps else what
