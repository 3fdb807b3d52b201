"""Proving the book: an unbroken chain, laws that hold, attachments whole."""

from dataclasses import dataclass

from ninefine.book.entries import files_of
from ninefine.desk.kit import Kit
from ninefine.errors import BrokenLawError

LAWS = (
    "every entry carries its own digest and that of the one before",
    "what each lot cost is held or left with what was sold; so is a gift's basis for losses",
    "all lots together cost what entries said, less credits; what left brought what they said",
    "pieces and face that came are held or left, wherever they were said",
    "nothing is below zero, and what nobody knows the cost of has none",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What was proved: so many entries and attachments, the last digest, and the laws that hold."""

    entries: int
    attachments: int
    digest: str
    laws: tuple[str, ...]


def prove(kit: Kit) -> Proof:
    """Prove the whole book.

    Raises:
        BrokenLawError: says every law that does not hold, and every attachment that is missing or altered.
    """
    faults = kit.journal.faults()
    if faults:
        raise BrokenLawError("\n".join(faults))
    records = kit.journal.records()
    kept = {file.sha256 for one in records for file in files_of(one.entry)}
    last = records[-1].digest.hex() if records else ""
    return Proof(entries=len(records), attachments=len(kept), digest=last, laws=LAWS)
