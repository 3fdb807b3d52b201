"""A year's gains as a preparer asks for them: every disposal with its basis, its term, and how its pieces were named.

Also brokers' reports beside the book, and both methods of counting cost beside each other. Arithmetic and reminders:
what goes on a return is for the person and a licensed preparer.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.book.entries import Mended, Withdrawn
from ninefine.book.gains import GainRow, Totals, YearGains, totals, year_gains, years
from ninefine.book.holdings import Disposal
from ninefine.book.term import Term
from ninefine.desk.amounts import say_amount
from ninefine.desk.averaging import all_averages
from ninefine.desk.book_settings import GainsForm, Method, settings
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.worth.reported import Reconciled, Reported, reconcile, reported_from

ZERO = Decimal(0)
TABLE = "reported"
#: A sale that was written down later than this many days after it is said to be late: pieces are named at the sale.
LATE_DAYS = 3
#: Column (f) of Form 8949: collectibles; expenses that the reported proceeds leave in; a loss that does not count.
#: From the form's instructions, second hand and from memory.
COLLECTIBLES, EXPENSES, NO_LOSS = "C", "E", "L"
#: Heads of the columns in the order of Form 8949, by their letters.
FORM_COLUMNS: tuple[tuple[str, str], ...] = (
    ("a", "Description"),
    ("b", "Acquired"),
    ("c", "Sold"),
    ("d", "Proceeds"),
    ("e", "Cost or basis"),
    ("f", "Code"),
    ("g", "Adjustment"),
    ("h", "Gain or loss"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class GainLine:
    """A disposal as the table shows it.

    Attributes:
        row: the disposal with its basis, adjustment and term.
        description: how much of what, and its lot.
        identified: how its pieces were chosen, and when that was written down.
        late: written down more than a few days after the sale, or mended since.
        reported: the broker's line that is about its sale, if there is one.
        collectible: whether code C goes with it.
    """

    row: GainRow
    description: str
    identified: str
    late: bool
    reported: Reported | None
    collectible: bool

    @property
    def acquired(self) -> str:
        """Column (b): the date, INHERITED, or that nobody knows it."""
        return self.row.acquired_words

    @property
    def sold(self) -> date:
        """Column (c)."""
        return self.row.disposal.on

    @property
    def proceeds(self) -> Decimal:
        """Column (d): net of fees; as reported, before fees, where a broker reported them so."""
        return self.row.disposal.proceeds if self._before_fees else self.row.net

    @property
    def basis(self) -> Decimal | None:
        """Column (e); none where nobody knows it."""
        return self.row.basis

    @property
    def codes(self) -> str:
        """Column (f): codes in alphabetical order, run together."""
        codes = COLLECTIBLES if self.collectible else ""
        if self._before_fees and self.row.disposal.fees:
            codes += EXPENSES
        return codes + (NO_LOSS if self.row.adjustment else "")

    @property
    def adjustment(self) -> Decimal:
        """Column (g): fees that the proceeds leave in, below zero; a loss that does not count, above."""
        return self.row.adjustment - (self.row.disposal.fees if self._before_fees else ZERO)

    @property
    def gain(self) -> Decimal | None:
        """Column (h): (d) less (e) plus (g); none where nobody knows the basis."""
        return self.row.gain

    @property
    def term(self) -> Term:
        """Short (part I of the form), long (part II), or not known."""
        return self.row.term

    @property
    def box(self) -> str:
        """The form's box by what a broker reported (from memory): A to C short, D to F long; empty if not known."""
        if self.term is Term.UNKNOWN:
            return ""
        first = "A" if self.term is Term.SHORT else "D"
        if self.reported is None:
            return chr(ord(first) + 2)
        return first if self.reported.to_authority else chr(ord(first) + 1)

    @property
    def _before_fees(self) -> bool:
        return self.reported is not None and self.reported.gross


@dataclass(frozen=True, slots=True, kw_only=True)
class GainsTable:
    """A year's gains.

    Attributes:
        year: the calendar year.
        method: how cost is counted.
        form: which table the person keeps.
        lines: what left for money or money's worth.
        apart: what was lost, stolen, destroyed or given away: in no total.
        short: sums over lines held short, what served the household itself included. long, untold: the same.
        whole: sums over all lines.
        own_use: sums over what served the household itself, among them.
        other: sums over all lines by the other method of counting cost.
        reports: brokers' lines beside the book.
    """

    year: int
    method: Method
    form: GainsForm
    lines: tuple[GainLine, ...]
    apart: tuple[GainLine, ...]
    short: Totals
    long: Totals
    untold: Totals
    whole: Totals
    own_use: Totals
    other: Totals
    reports: Reconciled


def form_totals(lines: Iterable[GainLine]) -> Totals:
    """The sums of a form's columns (d), (e), (g) and (h), over lines whose gain is known; the others are counted.

    They differ from sums of net proceeds by the fees that a broker's report leaves in; the gain is the same.
    """
    every = tuple(lines)
    known = [line for line in every if line.basis is not None]
    return Totals(
        net=sum((line.proceeds for line in known), ZERO),
        basis=sum((line.basis or ZERO for line in known), ZERO),
        adjustment=sum((line.adjustment for line in known), ZERO),
        gain=sum((line.gain or ZERO for line in known), ZERO),
        rows=len(known),
        untold=len(every) - len(known),
    )


def gains(kit: Kit, year: int | None = None, *, method: Method | None = None) -> GainsTable:
    """A year's gains; of the last year in which anything left, by the book's own method, where none is asked for."""
    wanted = last_year(kit) if year is None else year
    chosen = method or own_method(kit)
    return kit.keep(("gains", wanted, chosen), lambda: _gains(kit, wanted, chosen))


def own_method(kit: Kit) -> Method:
    """How the book itself counts cost."""
    return settings(kit).method


def last_year(kit: Kit) -> int:
    """The last year in which anything left, or this one."""
    found = years(kit.holdings().disposals)
    return found[0] if found else kit.today().year


def years_of(kit: Kit) -> tuple[int, ...]:
    """The years in which anything left, the latest first."""
    return kit.keep("years of gains", lambda: years(kit.holdings().disposals))


def year_of(kit: Kit, year: int, method: Method | None = None) -> YearGains:
    """A year's disposals by a method, without words: what papers are made of."""
    disposals = kit.holdings().disposals
    if (method or settings(kit).method) is Method.LOTS:
        return year_gains(disposals, year)
    return year_gains(disposals, year, averaged=all_averages(kit).basis)


def _gains(kit: Kit, year: int, method: Method) -> GainsTable:
    found = year_of(kit, year, method)
    other = year_of(kit, year, Method.AVERAGE if method is Method.LOTS else Method.LOTS)
    reports = reconcile((line for line in reported(kit) if line.on.year == year), found.sold)
    by_entry = {match.serial: match.reported for match in reports.matches if match.serial is not None}
    form = settings(kit).form
    said = _said(kit, {row.disposal.serial for row in (*found.sold, *found.apart)})
    collectible = form is GainsForm.FORM_8949

    def line(row: GainRow) -> GainLine:
        words, late = _identified(row.disposal, *said[row.disposal.serial])
        return GainLine(
            row=row,
            description=describe_disposal(kit, row.disposal),
            identified=words,
            late=late,
            reported=by_entry.get(row.disposal.serial),
            collectible=collectible,
        )

    return GainsTable(
        year=year,
        method=method,
        form=form,
        lines=tuple(line(row) for row in found.sold),
        apart=tuple(line(row) for row in found.apart),
        short=totals(found.of_term(Term.SHORT)),
        long=totals(found.of_term(Term.LONG)),
        untold=totals(found.of_term(Term.UNKNOWN)),
        whole=totals(found.sold),
        own_use=totals(found.own_use),
        other=totals(other.sold),
        reports=reports,
    )


def describe_disposal(kit: Kit, disposal: Disposal) -> str:
    """What left, in words: `100 face of 90% halves, lot L4`."""
    goods = say_goods(disposal.kind, disposal.issue, kit.catalog())
    return f"{say_amount(disposal.amount)} of {goods}, lot {disposal.lot}"


def _said(kit: Kit, serials: set[int]) -> dict[int, tuple[date, bool]]:
    """When each entry was written down as it stands, and whether that was by a mend."""
    wordings: dict[int, dict[int, date]] = {serial: {} for serial in serials}
    roots: dict[int, int] = {}
    for stored in kit.journal.records():
        entry = stored.entry
        if stored.serial in serials:
            wordings[stored.serial][stored.serial] = stored.said_at.date()
        elif isinstance(entry, Mended):
            root = roots[stored.serial] = roots.get(entry.serial, entry.serial)
            if root in serials:
                wordings[root][stored.serial] = stored.said_at.date()
        elif isinstance(entry, Withdrawn) and entry.serial in roots:
            wordings.get(roots[entry.serial], {}).pop(entry.serial, None)
    return {root: (said[max(said)], max(said) != root) for root, said in wordings.items()}


def _identified(disposal: Disposal, said: date, mended: bool) -> tuple[str, bool]:  # noqa: FBT001 - read off a record
    days = (said - disposal.on).days
    late = mended or days > LATE_DAYS
    words = f"{disposal.rule}, {'mended' if mended else 'written down'} on {said.isoformat()}"
    if days > LATE_DAYS:
        words += f", {days} days after"
    return words, late


def reported(kit: Kit) -> tuple[Reported, ...]:
    """Every line of brokers' reports, as set down."""
    rows = kit.holdings().tables.get(TABLE, {})
    return tuple(reported_from(name, row) for name, row in rows.items())


def report(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set a line of a broker's report down.

    Fields: `name` (made up of broker, day and amount if empty), `on`, `proceeds`, `gross` (no: after fees), `basis`,
    `to_authority` (yes: the basis was reported too), `entry`, `broker`, `note`.

    Raises:
        Faults: every fault of the form.
    """
    row = {name: text for name, text in form.items() if name != "name"}
    found = reported_from(form.get("name", "").strip(), row)
    name = found.name or f"{found.broker or 'report'} {found.on.isoformat()} {found.proceeds}"
    return set_down(kit, TABLE, name[:80], found.as_dict())


def strike_report(kit: Kit, name: str) -> Stored:
    """Strike a line of a broker's report.

    Raises:
        NotFoundError: no such line.
    """
    return set_down(kit, TABLE, name, None)
