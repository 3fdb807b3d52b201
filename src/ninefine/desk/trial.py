"""An entry tried out before it is booked: what it would make of the lots that it touches, and what would leave by it.

The book itself is not touched: its records are counted once more with the entry behind them, so that whatever the book
would refuse is refused here in the same words.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, time

from ninefine.book.chain import Stored, store
from ninefine.book.entries import Fact
from ninefine.book.gains import GainRow, gain_row
from ninefine.book.holdings import Lot
from ninefine.book.ledger import Ledger
from ninefine.desk.describe import describe
from ninefine.desk.kit import Kit
from ninefine.errors import BookError


@dataclass(frozen=True, slots=True, kw_only=True)
class LotChange:
    """A lot that an entry touches: as it stands (none where it is new), and as it would stand."""

    before: Lot | None
    after: Lot

    @property
    def name(self) -> str:
        """The lot's name."""
        return self.after.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """An entry tried out.

    Attributes:
        entry: what would be booked.
        sentence: the same in words.
        serial: the book's last entry when it was tried: what is shown holds only for that book.
        lots: each lot that would change.
        left: what would leave by it, with basis, gain and term by the lots' own cost.
    """

    entry: Fact
    sentence: str
    serial: int
    lots: tuple[LotChange, ...]
    left: tuple[GainRow, ...]


def try_out(kit: Kit, entry: Fact) -> Trial:
    """Try an entry out.

    Raises:
        BookError: the book would refuse it; in the book's own words.
    """
    before, records = kit.holdings(), kit.journal.records()
    ledger = Ledger(kit.journal.currency, records)
    # the moment decides nothing here: entries count by the day on which they happened
    moment = datetime.combine(kit.today(), time.max, UTC)
    said = max(moment, records[-1].said_at) if records else moment
    new = store(entry, said_at=said, after=ledger.last)
    ledger.add(new)
    after = ledger.holdings()
    return Trial(
        entry=entry,
        sentence=describe(entry, kit.catalog()),
        serial=before.serial,
        lots=tuple(
            LotChange(before=before.lots.get(name), after=lot)
            for name, lot in after.lots.items()
            if before.lots.get(name) != lot
        ),
        left=tuple(gain_row(one) for one in after.disposals if one.serial == new.serial),
    )


def book(kit: Kit, trial: Trial) -> Stored:
    """Book an entry as it was tried out.

    Raises:
        BookError: the book has changed meanwhile.
    """
    if kit.holdings().serial != trial.serial:
        raise BookError("The book has changed since this was worked out. Look at it again, then book it.")
    return kit.journal.append(trial.entry)
