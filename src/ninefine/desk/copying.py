"""A copy of the book's file, to be kept elsewhere: made, opened and proved before it is handed over."""

from collections.abc import Mapping
from dataclasses import dataclass

from ninefine.book.proved import Proved
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Copied:
    """A copy: the name that it may have, its bytes, and what was proved of it."""

    name: str
    data: bytes
    proved: Proved


def make_copy(kit: Kit, form: Mapping[str, str]) -> Copied:
    """Make a copy. Fields: `passphrase` and `again`, the copy's own; both empty where the book is kept without one.

    Raises:
        Faults: no passphrase for a book that has one, or two that differ.
        InputError: a book in memory has no file to copy.
        StoreError: the copy cannot be written, or does not hold.
    """
    if kit.copies is None:
        raise InputError("This book is kept in memory alone: there is no file to copy.")
    fields = Fields(form, source="the copy")
    passphrase: str | None = form.get("passphrase", "")
    if kit.journal.is_plain:
        passphrase = None
    elif not (passphrase or "").strip():
        fields.fault("passphrase", "A copy needs a passphrase; it may be the book's own.")
    elif passphrase != form.get("again", ""):
        fields.fault("again", "The two are not the same.")
    fields.done()
    data, proved = kit.copies.make(passphrase)
    return Copied(name=f"silver-{kit.today().isoformat()}.ninefine", data=data, proved=proved)
