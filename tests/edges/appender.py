"""A window in a process of its own: appends notes (or marks) and says each one aloud once it is acknowledged.

    python appender.py BOOK WORDS WHO HOW_MANY [mark]

Writes `ready`, waits for a line, then appends; `WORDS` are the passphrase, `-` for a plain book.
"""

# ruff: noqa: T201 - it speaks to the test that started it
import sys
from datetime import date
from pathlib import Path

from ninefine.book.entries import Noted
from ninefine.store.file import open_book


def main(path: str, words: str, who: str, how_many: str, what: str = "note") -> None:
    with open_book(Path(path), None if words == "-" else words, patience_ms=30_000) as book:
        print("ready", flush=True)
        sys.stdin.readline()
        for number in range(int(how_many)):
            if what == "mark":
                said = book.mark(1, "us-dime-90", who, 1)
            else:
                said = book.append(Noted(on=date(2026, 1, 1), text=f"{who} {number}")).serial
            print(said, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
