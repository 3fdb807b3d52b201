"""Which facts stand: every mend and withdrawal applied, in the order in which things happened.

A mend makes an entry stand with another wording, at that wording's date but in the place of the first serial; the last
mend wins. A mend may name the first entry or an earlier mend of it: both mean the first. Withdrawing an entry removes
it; withdrawing a mend lets the wording before it stand again. What was withdrawn cannot be mended or withdrawn again:
say it anew. Corrections count whatever their own date, because a correction is known when the book is read.
"""

from collections.abc import Iterable
from datetime import date

from ninefine.book.chain import Stored
from ninefine.book.entries import Fact, Mended, Withdrawn
from ninefine.errors import BookError

_CORRECTIONS = (Mended, Withdrawn)

#: When it happened, the serial by which it counts, and the fact.
Standing = tuple[date, int, Fact]


def standing(records: Iterable[Stored]) -> list[Standing]:
    """The facts that stand, ordered by date and serial.

    Raises:
        BookError: a correction names an entry that it cannot correct.
    """
    facts: list[Standing] = []
    corrections: list[tuple[int, Mended | Withdrawn]] = []
    latest = date.min
    in_order = True
    for record in records:
        entry = record.entry
        if isinstance(entry, _CORRECTIONS):
            corrections.append((record.serial, entry))
            continue
        on = entry.on
        if on < latest:
            in_order = False
        else:
            latest = on
        facts.append((on, record.serial, entry))
    if corrections:
        facts = _corrected(facts, corrections)
    elif in_order:
        return facts
    facts.sort(key=_when)
    return facts


def _when(fact: Standing) -> tuple[date, int]:
    return fact[0], fact[1]


def _corrected(facts: list[Standing], corrections: list[tuple[int, Mended | Withdrawn]]) -> list[Standing]:
    #: first serial -> the mends of it that stand, in order
    wordings: dict[int, dict[int, Fact]] = {}
    root_of: dict[int, int] = {}
    withdrawals: set[int] = set()
    gone: set[int] = set()
    for serial, correction in corrections:
        named = correction.serial
        root = root_of.get(named, named)
        _may_correct(serial, correction, root, withdrawals, gone)
        if isinstance(correction, Mended):
            root_of[serial] = root
            wordings.setdefault(root, {})[serial] = correction.instead
        else:
            withdrawals.add(serial)
            gone.add(named)
            if root != named:
                del wordings[root][named]
    result: list[Standing] = []
    for on, serial, fact in facts:
        if serial in gone:
            continue
        mends = wordings.get(serial)
        if mends:
            last = mends[max(mends)]
            result.append((last.on, serial, last))
        else:
            result.append((on, serial, fact))
    return result


def _may_correct(serial: int, correction: Mended | Withdrawn, root: int, withdrawals: set[int], gone: set[int]) -> None:
    verb = "mend" if isinstance(correction, Mended) else "withdraw"
    named = correction.serial
    if named >= serial:
        raise BookError(
            f"Entry {serial} would {verb} entry {named}, but there is no such earlier entry. "
            f"Name one from 1 to {serial - 1}."
            if serial > 1
            else f"Entry {serial} would {verb} entry {named}, but nothing was said before it."
        )
    if named in withdrawals:
        raise BookError(f"Entry {named} withdraws another, and cannot be taken back. Say the fact anew instead.")
    if named in gone or root in gone:
        raise BookError(f"Entry {named if named in gone else root} was withdrawn. Say the fact anew instead.")
