"""Every error that ninefine raises on purpose, in one tree.

::

    NinefineError
    ├── InputError (ValueError)         something typed or read cannot be used
    │   ├── UnreadableError             no reading of the text fits; says what would be read
    │   ├── RangeError                  read, but outside what can be
    │   ├── NotFoundError (LookupError) no such kind, lot, entry, exit, price; offers near misses
    │   ├── NeverStruckError            a date and mint that was never struck; says what was
    │   └── Faults                      every fault of one form or file, each at its field or line
    ├── BookError (ValueError)          the book refuses what would make it untrue
    │   ├── NotEnoughError              a heap holds less than was asked of it
    │   └── BrokenLawError              a law of the book does not hold (damage, or a defect)
    └── StoreError (OSError)            the book's file
        ├── PassphraseError             wrong passphrase, or not a book at all
        ├── ForeignFileError            the file is something else
        ├── DamagedFileError            the file was a book and no longer reads whole
        ├── NewerFileError              written by a later version
        └── BusyError                   another window held the book for too long

An error says what was wrong, what was expected, and what to type instead. `facts` carries the same in
parts, so that a page can put each where it belongs.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


class NinefineError(Exception):
    """Root of the tree. `str()` is one or more plain sentences fit to show a person."""


class InputError(NinefineError, ValueError):
    """Something typed or read cannot be used.

    Args:
        wrong: what was wrong, as a sentence.
        expected: what would have been right, as a sentence; may be empty.
        instead: texts that would be read, ready to type.
    """

    def __init__(self, wrong: str, *, expected: str = "", instead: Sequence[str] = ()) -> None:
        self.wrong = wrong
        self.expected = expected
        self.instead = tuple(instead)
        super().__init__(wrong, expected, self.instead)

    def __str__(self) -> str:
        parts = [self.wrong]
        if self.expected:
            parts.append(self.expected)
        if self.instead:
            between = "; " if any("," in text for text in self.instead) else ", "
            parts.append("Try: " + between.join(self.instead) + ".")
        return " ".join(parts)


class UnreadableError(InputError):
    """No reading of the text fits."""


class RangeError(InputError):
    """The text was read, but the value is outside what can be."""


class NotFoundError(InputError, LookupError):
    """No such kind, issue, lot, entry, exit or price; `instead` holds the near misses."""

    def __str__(self) -> str:
        return InputError.__str__(self)


class NeverStruckError(InputError):
    """A date and mint that was never struck; `instead` says what was struck nearby."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault of a form or file: where it stands and what to do about it."""

    where: str
    wrong: str

    def __str__(self) -> str:
        return f"{self.where}: {self.wrong}" if self.where else self.wrong


class Faults(InputError):  # noqa: N818 - it is many errors, and reads as what it is
    """Every fault of one form or file at once; nothing was written.

    Args:
        faults: at least one.
        source: the file or form, as the person would name it.
    """

    def __init__(self, faults: Iterable[Fault], *, source: str = "") -> None:
        self.faults = tuple(faults)
        self.source = source
        count = len(self.faults)
        if not count:
            raise AssertionError("Faults needs at least one fault")
        head = f"{count} fault{'s' if count != 1 else ''}" + (f" in {source}" if source else "")
        super().__init__(head + "; nothing was written.")

    def __str__(self) -> str:
        return "\n".join([self.wrong, *(f"  {fault}" for fault in self.faults)])


class BookError(NinefineError, ValueError):
    """The book refuses what would make it untrue; nothing was written."""


class NotEnoughError(BookError):
    """A heap holds less than was asked of it.

    Args:
        what: the heap, as a person would name it.
        held: what it holds, with its unit.
        asked: what was asked of it, with its unit.
    """

    def __init__(self, what: str, *, held: str, asked: str) -> None:
        self.what, self.held, self.asked = what, held, asked
        super().__init__(f"{what} holds {held}; {asked} was asked of it.")


class BrokenLawError(BookError):
    """A law of the book does not hold: the file is damaged, or ninefine has a defect."""


class StoreError(NinefineError, OSError):
    """The book's file cannot be used as asked."""


class PassphraseError(StoreError):
    """Wrong passphrase, or the file is not a book at all: encryption hides which."""


class ForeignFileError(StoreError):
    """The file is something else than a ninefine book."""


class DamagedFileError(StoreError):
    """The file was a ninefine book and no longer reads whole."""


class NewerFileError(StoreError):
    """The book was written by a later version of ninefine."""


class BusyError(StoreError):
    """Another window held the book for too long."""
