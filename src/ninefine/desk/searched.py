"""What a search did pay, from the book: finds that were sold, less their own metal, over the hours that it took."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Sold, SoldLine
from ninefine.book.holdings import Disposal
from ninefine.book.standing import standing
from ninefine.catalog.kinds import Basis
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import say_goods
from ninefine.desk.judging import judging
from ninefine.desk.kit import Kit
from ninefine.desk.mix import sources
from ninefine.desk.pieces import Where, laid
from ninefine.desk.records import set_down
from ninefine.desk.triage import Answer, answers, issue_or_none
from ninefine.errors import NotFoundError, UnreadableError
from ninefine.market.prices import Stamp
from ninefine.measure.money import cents, read_money
from ninefine.measure.numbers import EXACT, plain
from ninefine.sorting.searching import Find, Paid, over_melt
from ninefine.worth.ounces import Fine, ounces_of

TABLE = "search"
_FIND = re.compile(r"(?:(?P<pieces>\d{1,6})\s+(?:of\s+)?)?(?P<what>\S[^=]*?)\s*=\s*(?P<amount>[-$\d.,]+)", re.ASCII)
_NO_FINDS: tuple[Find, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FindSold:
    """A find that was sold: what the sale netted, and what its metal would have brought that day.

    `fine` is by the scale where it was weighed, else by the trade.
    """

    what: str
    pieces: int
    serial: int
    on: date
    buyer: str
    net: Decimal
    fine: Fine
    stamp: Stamp
    melt: Decimal

    @property
    def find(self) -> Find:
        """The same, as the search counts it: all its pieces together."""
        return Find(what=self.what, over_melt=over_melt(self.net, self.melt))


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What a search did pay.

    Attributes:
        lot: the bag.
        sold: finds that were sold.
        typed: finds that the person set down by hand, with what they net over melt.
        unsold: pieces pulled from the bag and not sold: they have paid nothing yet.
        hours: that it took; none until the person says.
        timed: what the tally board saw of it, pauses left out.
        paid: what it comes to; none without hours.
        said_finds: the typed finds as they were set down.
    """

    lot: str
    sold: tuple[FindSold, ...]
    typed: tuple[Find, ...]
    unsold: tuple[Answer, ...]
    hours: Decimal | None
    hour_worth: Decimal
    timed: timedelta
    paid: Paid | None
    said_finds: str = ""

    @property
    def worth(self) -> Decimal:
        """Over melt, together."""
        return sum((find.worth for find in self.finds), Decimal(0))

    @property
    def finds(self) -> tuple[Find, ...]:
        """Everything that counts."""
        return (*(one.find for one in self.sold), *self.typed)


def lots_searched(kit: Kit) -> tuple[str, ...]:
    """Lots of which a search may be told: those with hours set down, then those told apart by date."""
    held = list(kit.holdings().tables.get(TABLE, {}))
    return tuple(dict.fromkeys([*held, *(one.key for one in sources(kit) if one.tally is None)]))


def after(kit: Kit, form: Mapping[str, str]) -> After:
    """What the search of a lot did pay. Fields: `lot`, `hours`, `hour`, `finds` (see `read_finds`).

    Hours and typed finds are those that were set down, where the form says none.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the search")
    lot = fields.read("lot", partial(_lot, kit), "", needed=True)
    row = kit.holdings().tables.get(TABLE, {}).get(lot, {})
    hours = fields.positive("hours", Decimal(str(row["hours"])) if "hours" in row else None)
    hour = fields.money("hour", judging(kit).hour_worth)
    typed = fields.read("finds", read_finds, read_finds(str(row.get("finds", ""))))
    fields.done()
    sold = finds_sold(kit, lot)
    finds = (*(one.find for one in sold), *typed)
    return After(
        lot=lot,
        sold=sold,
        typed=typed,
        unsold=tuple(one for one in answers(kit) if one.laid.heap.lot == lot and one.laid.where is Where.PULLED),
        hours=hours,
        hour_worth=hour,
        timed=_timed(kit, lot),
        paid=None if hours is None else Paid(finds=finds, hours=hours, hour_worth=hour),
        said_finds=str(row.get("finds", "")),
    )


def keep_search(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set down how long the search of a lot took. Fields: `lot`, `hours`, `finds`.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the search")
    lot = fields.read("lot", partial(_lot, kit), "", needed=True)
    hours = fields.positive("hours", needed=True)
    fields.read("finds", read_finds, _NO_FINDS)
    fields.done()
    row: dict[str, object] = {"hours": plain(hours or Decimal(0))}
    if fields.raw("finds"):
        row["finds"] = fields.raw("finds")
    return set_down(kit, TABLE, lot, row)


def read_finds(text: str) -> tuple[Find, ...]:
    """Read finds that the book does not hold, a line each: `9 bright quarters = 1.50` net over melt a piece.

    Raises:
        UnreadableError: a line that is no find.
    """
    found = []
    for line in re.split(r"[\n;]", text):
        if not line.strip():
            continue
        read = _FIND.fullmatch(line.strip())
        if read is None:
            raise UnreadableError(
                f"{line.strip()[:40]!r} is not a find.",
                expected="Write how many, what, an equals sign, and what one nets over its own metal.",
                instead=("9 bright quarters = 1.50", "1 scarce dime = 44.76"),
            )
        found.append(Find(what=read["what"], pieces=int(read["pieces"] or 1), over_melt=read_money(read["amount"])))
    return tuple(found)


def finds_sold(kit: Kit, lot: str) -> tuple[FindSold, ...]:
    """What of a lot was found and sold: pieces that were pulled, and dates that sorters look for."""
    return kit.keep(("finds sold", lot), lambda: tuple(_finds_sold(kit, lot)))


def _finds_sold(kit: Kit, lot: str) -> list[FindSold]:
    disposals: dict[int, list[Disposal]] = {}
    for disposal in kit.holdings().disposals:
        disposals.setdefault(disposal.serial, []).append(disposal)
    pulled = {(one.heap.lot, *one.cell, one.label) for one in laid(kit)}
    found = []
    for on, serial, fact in standing(kit.journal.records()):
        if not isinstance(fact, Sold):
            continue
        for line, disposal in zip(fact.lines, disposals.get(serial, ()), strict=True):
            if line.heap.lot == lot and _is_find(kit, line, pulled):
                found.append(_sold(kit, serial, on, disposal))
    return found


def _is_find(kit: Kit, line: SoldLine, pulled: set[tuple[str, str, str, str]]) -> bool:
    heap = line.heap
    if (heap.lot, heap.kind, heap.issue, heap.place) in pulled:
        return True
    issue = issue_or_none(kit, heap.kind, heap.issue) if heap.issue and kit.kind_or_none(heap.kind) else None
    return issue is not None and bool(issue.rank)


def _sold(kit: Kit, serial: int, on: date, disposal: Disposal) -> FindSold:
    kind = kit.catalog().kind(disposal.kind)
    fine = ounces_of(disposal.amount, kind).on(Basis.SCALE)
    stamp = kit.stamp(on, kind.metal)
    return FindSold(
        what=say_goods(disposal.kind, disposal.issue.replace(":", ", "), kit.catalog()),
        pieces=disposal.amount.count or 1,
        serial=serial,
        on=on,
        buyer=disposal.buyer or disposal.exit,
        net=disposal.proceeds - disposal.fees,
        fine=fine,
        stamp=stamp,
        melt=cents(EXACT.multiply(fine.ozt, stamp.per_ozt), kit.journal.currency),
    )


def _timed(kit: Kit, lot: str) -> timedelta:
    """How long hands were at tallies of a lot, by the moments at which their marks were kept."""
    worked, number = timedelta(0), 1
    while True:
        try:
            heap = kit.tallies.tally(number).heap
        except NotFoundError:
            return worked
        if heap.partition("/")[0] == lot:
            worked += kit.running(number).pace.worked
        number += 1


def _lot(kit: Kit, text: str) -> str:
    lots = kit.holdings().lots
    if text not in lots:
        raise NotFoundError(f"There is no lot {text[:40]!r}.", instead=list(lots_searched(kit))[:6] or list(lots)[-6:])
    return text
