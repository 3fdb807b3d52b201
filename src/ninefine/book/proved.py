"""What was proved of a book or a copy of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from ninefine.book.chain import Stored


@dataclass(frozen=True, slots=True, kw_only=True)
class Proved:
    """What was proved of a copy.

    Attributes:
        entries: how many, in an unbroken chain, and counted against the laws.
        files: how many attachments, each whole.
        digest: the last entry's, in hexadecimal; empty where there is none.
        said_at: when the last entry was said.
    """

    entries: int
    files: int
    digest: str
    said_at: datetime | None


def proved(records: Sequence[Stored], files: int) -> Proved:
    """What records come to that have just been proved."""
    last = records[-1] if records else None
    return Proved(
        entries=len(records),
        files=files,
        digest=last.digest.hex() if last else "",
        said_at=last.said_at if last else None,
    )
