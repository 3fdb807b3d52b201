"""Entries to bytes and back: one canonical wording for each entry, with the version of the format in every record.

A record is JSON: `{"v":1,"said":{...}}`. Nothing is omitted, so that a default changed in code never changes what was
said; decimals are strings that keep their digits; keys of free tables are sorted. Equal entries give equal bytes: each
is written in the earliest version that has its kind of entry, so that an older ninefine reads all that it can know.
`docs/journal-format.md` shows each entry.
"""

import re
from typing import Annotated, Literal, get_args

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
from ninefine.book.said import ClockTime, IssueKey, LotName, MetalCode, Slug
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

#: What a field takes, by the pattern that holds it.
_PATTERNS = {
    get_args(LotName)[1].pattern: "a lot is named by up to 40 letters, digits, blanks, dots, hyphens and underscores, "
    "the first a letter or a digit",
    get_args(Slug)[1].pattern: "a kind is named by its slug of the catalog, as us-dime-90",
    get_args(IssueKey)[1].pattern: "a date and mint are written as 1921-D",
    get_args(ClockTime)[1].pattern: "a time of day is written as 10:15",
    get_args(MetalCode)[1].pattern: "a metal is XAG (silver), XAU (gold), XPT (platinum) or XPD (palladium)",
}
#: How the library that reads entries says what is wrong, and the same in plain words.
_PLAINLY = tuple(
    (re.compile(pattern), words)
    for pattern, words in (
        (r"Expected str of length <= (\d+)", r"at most \1 characters are kept"),
        (r"Expected str of length >= 1", "this must not be empty"),
        (r"Expected array of length >= 1", "at least one is needed"),
        (r"Invalid decimal string", "this is no number; write digits and at most one point"),
        (r"Invalid RFC3339 encoded date", "this is no date; write year, month, day: 2024-03-01"),
        (r"Expected bool, got \w+", "say true or false"),
        (r"Expected int(?: \| null)?, got \w+", "this is no whole number"),
        (r"Expected int >= (\d+)", r"this must be \1 or more"),
        (r"Integer value out of range", "this has more digits than any in a household"),
    )
)
#: A pattern that is a choice of words, as Python writes it: `'^(spot|bid|ask)$'`.
_CHOICE = re.compile(r"'\^(?:\$\|\^)?\(([a-z |]+)\)\$'")
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
    body = encode(entry)
    try:
        return _DECODER.decode(body).said
    except msgspec.MsgspecError as error:
        raise BookError(f"The entry cannot be written: {in_words(error)}.") from error


def in_words(error: Exception) -> str:
    """A fault of reading with its place said in words: `lines 2, price: ...`."""
    steps, what = _parted(error)
    words: list[str] = []
    for step in steps:
        if not step.isdecimal() and step != "...":
            words.append(step)
        elif words:
            words[-1] += " (one of them)" if step == "..." else f" {step}"
    return f"{', '.join(words)}: {what}" if words else what


def place_of(error: Exception) -> tuple[str, str]:
    """The path of the field that a fault of reading stands at, `lines.2.price`, and what is wrong in words."""
    steps, what = _parted(error)
    return ".".join(steps), what


def _parted(error: Exception) -> tuple[list[str], str]:
    match = _PATH.match(str(error))
    assert match is not None
    steps = [
        step["name"] or (step["index"] if step["index"] == "..." else str(int(step["index"]) + 1))
        for step in _STEP.finditer(match["path"] or "")
    ]
    if steps and steps[0] == "said":
        del steps[0]
    return steps, _said_plainly(match["what"].replace("`", "").rstrip("."))


def _said_plainly(what: str) -> str:
    for pattern, words in _PLAINLY:
        found = pattern.fullmatch(what)
        if found is not None:
            return found.expand(words)
    held = re.fullmatch(r"Expected str matching regex (.*)", what)
    if held is None:
        return what
    known = [plain for pattern, plain in _PATTERNS.items() if held[1] == repr(pattern)]
    choice = _CHOICE.fullmatch(held[1])
    if choice is not None:
        return f"say {' or '.join(choice[1].split('|'))}"
    return known[0] if known else "this is not written as it must be"
