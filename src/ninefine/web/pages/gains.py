"""A year's gains: in the order of Form 8949, with sums by term, brokers' reports beside the book, and the reminders."""

from starlette.responses import Response

from ninefine.book.gains import Totals
from ninefine.book.term import Term
from ninefine.desk import gains as desk_gains
from ninefine.desk.book_settings import GainsForm, Method
from ninefine.desk.fields import Fields
from ninefine.desk.gains import FORM_COLUMNS, GainLine, GainsTable, form_totals
from ninefine.desk.papers import sheet_for
from ninefine.desk.reminders import about_sales, words
from ninefine.errors import UnreadableError
from ninefine.papers.as_pdf import Sheet
from ninefine.web.format import UNKNOWN, figure, money
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Value, Weight, Worked
from ninefine.web.pages.asked import A_PAGE, first_of, settle
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.reported import Match

#: Each part of the form: its term, its words, and its name in the address.
PARTS = (
    (Term.SHORT, "Part I, short term: held for a year or less", "short"),
    (Term.LONG, "Part II, long term: held for more than a year", "long"),
    (Term.UNKNOWN, "Term not known", "untold"),
)
METHODS = {Method.LOTS: "each lot's own cost", Method.AVERAGE: "average cost of all that is quoted alike"}
#: Fields of a line of a broker's report.
REPORT = ("name", "on", "proceeds", "gross", "basis", "to_authority", "entry", "broker", "note")
#: Columns that mean something on the form alone, by their letters.
_OF_THE_FORM = frozenset({"f", "g"})
_OF = {"b": Of.DATE, "c": Of.DATE, "d": Of.MONEY, "e": Of.MONEY, "g": Of.MONEY, "h": Of.MONEY}


def page(visit: Visit) -> Response:
    """A year's gains, of the last year in which anything left where none is asked for."""
    visit.form = Form(starting={"gross": "yes", **{name: visit.asked(name) for name in ("year", "method")}})
    return _year(visit)


def _year(visit: Visit, status: int = 200) -> Response:
    kit = visit.kit
    year, method = _asked(visit)
    table = desk_gains.gains(kit, year, method=method)
    return visit.page(
        "gains.html",
        stage="exits",
        status=status if visit.form.ok else max(status, 400),
        table=table,
        years=_years(visit, table),
        methods=[(one.value, words_) for one, words_ in METHODS.items()],
        by=METHODS[table.method],
        other_method=METHODS[Method.AVERAGE if table.method is Method.LOTS else Method.LOTS],
        parts=[part for part in (_part(visit, table, *one) for one in PARTS) if part is not None],
        sums=_sums(visit, table),
        apart=_apart(visit, table) if table.apart else None,
        matches=_matches(visit, table),
        unreported=table.reports.unreported,
        lines=[(one.name, f"{one.name}: {money(one.proceeds)} of {one.on}") for one in desk_gains.reported(kit)],
        reminders=[words(one) for one in about_sales(kit)],
        files=_files(visit, table.year),
        own_method=table.method is desk_gains.own_method(kit),
        said=said(visit),
    )


def _asked(visit: Visit) -> tuple[int | None, Method | None]:
    """The year and the method that the address asks for; what cannot be read is said, and the usual is shown."""
    fields = Fields({name: visit.asked(name) for name in ("year", "method")}, source="what was asked")
    year = fields.count("year")
    method = fields.read("method", _method, None)
    settle(visit, fields)
    return year, method


def _method(text: str) -> Method:
    if text not in set(Method):
        raise UnreadableError(f"{text[:20]!r} is no method of counting cost.", instead=tuple(Method))
    return Method(text)


def _years(visit: Visit, table: GainsTable) -> list[tuple[int, str]]:
    """Every year in which anything left, with its address; none for the one that is shown."""
    method = visit.asked("method")
    found = sorted({*desk_gains.years_of(visit.kit), table.year}, reverse=True)
    asking = {"method": method} if method else {}
    return [
        (year, "" if year == table.year else visit.path_to("gains", asking={"year": str(year), **asking}))
        for year in found
    ]


def _columns(visit: Visit, table: GainsTable) -> list[Column]:
    of_form, unit = table.form is GainsForm.FORM_8949, visit.kit.journal.currency
    return [
        Column(
            key=letter,
            head=f"({letter}) {head}" if of_form else head,
            of=_OF.get(letter, Of.TEXT),
            unit=unit if _OF.get(letter) is Of.MONEY else "",
            signed=letter in {"g", "h"},
        )
        for letter, head in FORM_COLUMNS
        if of_form or letter not in _OF_THE_FORM
    ]


def _part(visit: Visit, table: GainsTable, term: Term, title: str, name: str) -> dict[str, object] | None:
    """One part of the form, a page of it at a time; its sums are over all of it. None where it holds nothing."""
    lines = [line for line in table.lines if line.term is term]
    if not lines:
        return None
    first = first_of(visit, name)
    rows = [_row(visit, table, line) for line in lines[first : first + A_PAGE]]
    rows.append(_sum_row("All of this part", form_totals(lines)))
    asked = {key: visit.asked(key) for key in ("year", "method") if visit.asked(key)}
    return {
        "name": name,
        "ledger": Ledger(caption=title, columns=_columns(visit, table), rows=rows),
        "earlier": visit.path_to("gains", asking={**asked, name: str(max(0, first - A_PAGE))}) if first else "",
        "later": visit.path_to("gains", asking={**asked, name: str(first + A_PAGE)})
        if len(lines) > first + A_PAGE
        else "",
    }


def _row(visit: Visit, table: GainsTable, line: GainLine) -> Row:
    gone = line.row.disposal
    cells: dict[str, Value] = {
        "a": Cell(value=line.description, href=visit.path_to("lot", lot=gone.lot)),
        "b": line.acquired,
        "c": line.sold,
        "d": line.proceeds,
        "e": line.basis,
        "f": line.codes,
        "g": line.adjustment,
        "h": line.gain,
    }
    notes = [gone.left.value if gone.left.value != "sold" else "", line.row.note, "named late" if line.late else ""]
    return Row(
        cells=cells, note="; ".join(note for note in notes if note), worked=Worked(steps=_steps(visit, table, line))
    )


def _steps(visit: Visit, table: GainsTable, line: GainLine) -> list[Step]:
    gone = line.row.disposal
    lots = visit.kit.holdings().lots
    entry = f"entry {gone.serial}" + (f", to {gone.buyer or gone.exit}" if gone.buyer or gone.exit else "")
    steps = [
        Step(what="brought, before fees", result=figure(gone.proceeds, 2), whence=entry),
        Step(what="fees and costs of it", result=figure(gone.fees, 2), whence=entry if gone.fees else ""),
        Step(
            what="basis",
            result=UNKNOWN if line.basis is None else figure(line.basis, 2),
            how=METHODS[table.method],
            whence=f"lot {gone.lot}, entry {lots[gone.lot].serial}" if gone.lot in lots else "",
        ),
        Step(what="term", result=line.term.value, how=f"acquired {line.acquired}, left {line.sold.isoformat()}"),
        Step(what="pieces", result=gone.rule or gone.left.value, whence=line.identified),
    ]
    if table.form is GainsForm.FORM_8949 and line.box:
        whence = "by whether a broker reported the sale, and its basis, to the authority; from memory"
        steps.append(Step(what="box of the form", result=line.box, whence=whence))
    return steps


def _sum_row(name: str, sums: Totals, weight: Weight = Weight.TOTAL) -> Row:
    untold = f"{sums.untold} more, whose cost nobody knows, in no sum" if sums.untold else ""
    cells: dict[str, Value] = {
        "a": name,
        "count": sums.rows,
        "d": sums.net,
        "e": sums.basis,
        "g": sums.adjustment,
        "h": sums.gain,
    }
    return Row(cells=cells, note=untold, weight=weight)


def _sums(visit: Visit, table: GainsTable) -> Ledger:
    """The sums of each part, and of all."""
    unit = visit.kit.journal.currency
    by_term = [(term, [line for line in table.lines if line.term is term]) for term, _, _ in PARTS]
    rows = [
        _sum_row(
            term.value.capitalize() + (" term" if term is not Term.UNKNOWN else ""), form_totals(lines), Weight.PLAIN
        )
        for term, lines in by_term
        if lines
    ]
    rows.append(_sum_row("All", form_totals(table.lines)))
    columns = [
        Column(key="a", head="Term"),
        Column(key="count", head="Disposals", of=Of.COUNT),
        Column(key="d", head="Proceeds", of=Of.MONEY, unit=unit),
        Column(key="e", head="Basis", of=Of.MONEY, unit=unit),
        Column(key="g", head="Adjustment", of=Of.MONEY, unit=unit, signed=True),
        Column(key="h", head="Gain", of=Of.MONEY, unit=unit, signed=True),
    ]
    return Ledger(caption=f"Sums of {table.year}, by {METHODS[table.method]}", columns=columns, rows=rows)


def _apart(visit: Visit, table: GainsTable) -> Ledger:
    unit = visit.kit.journal.currency
    return Ledger(
        caption="Not for money, and in no sum",
        columns=(
            Column(key="what", head="What"),
            Column(key="left", head="What became of it"),
            Column(key="on", head="On", of=Of.DATE),
            Column(key="basis", head="Basis", of=Of.MONEY, unit=unit),
            Column(key="value", head="Worth that day", of=Of.MONEY, unit=unit),
            Column(key="paid", head="Paid for it", of=Of.MONEY, unit=unit),
        ),
        rows=[
            Row(
                cells={
                    "what": Cell(value=line.description, href=visit.path_to("entry", serial=line.row.disposal.serial)),
                    "left": line.row.disposal.left.value,
                    "on": line.sold,
                    "basis": line.basis,
                    "value": line.row.disposal.value,
                    "paid": line.row.disposal.proceeds,
                }
            )
            for line in table.apart[:A_PAGE]
        ],
    )


def _matches(visit: Visit, table: GainsTable) -> Ledger:
    unit = visit.kit.journal.currency
    return Ledger(
        caption=f"Brokers' reports of {table.year}, held against the book",
        columns=(
            Column(key="name", head="Report"),
            Column(key="on", head="Of", of=Of.DATE),
            Column(key="entry", head="The book's sale"),
            Column(key="said", head="Reported", of=Of.MONEY, unit=unit),
            Column(key="book", head="In the book", of=Of.MONEY, unit=unit),
            Column(key="off", head="Off by", of=Of.MONEY, unit=unit, signed=True),
            Column(key="basis", head="Basis off by", of=Of.MONEY, unit=unit, signed=True),
        ),
        rows=[_match_row(visit, match) for match in table.reports.matches],
        empty="No report of that year has been set down.",
    )


def _match_row(visit: Visit, match: Match) -> Row:
    line = match.reported
    href = "" if match.serial is None else visit.path_to("entry", serial=match.serial)
    notes = [
        line.broker if line.broker != line.name else "",
        "before fees" if line.gross else "after fees",
        "agrees" if match.agrees else match.why,
    ]
    return Row(
        cells={
            "name": line.name,
            "on": line.on,
            "entry": Cell(value=f"entry {match.serial}" if match.serial is not None else "none fits", href=href),
            "said": line.proceeds,
            "book": match.brought,
            "off": match.off,
            "basis": match.basis_off,
        },
        note="; ".join(note for note in notes if note),
        weight=Weight.PLAIN if match.agrees else Weight.LOOK,
    )


def _files(visit: Visit, year: int) -> list[tuple[str, str]]:
    """The year's paper as files: their addresses and words."""
    asking = {"year": str(year)}
    size = "A4" if sheet_for(visit.kit) is Sheet.A4 else "Letter"
    files = (("pdf", f"PDF, {size}"), ("xlsx", "Workbook (XLSX)"), ("csv", "Table (CSV)"))
    return [(visit.path_to("paper.file", name="gains", kind=kind, asking=asking), label) for kind, label in files]


def put(visit: Visit) -> Response:
    """Set a line of a broker's report down."""
    fields = {name: visit.form.text(name) for name in REPORT}
    stored = visit.form.attempt(desk_gains.report, visit.kit, fields)
    if stored is None:
        return _year(visit, status=400)
    return lead_on(visit, stored, "gains", year=visit.form.text("on")[:4])


def strike(visit: Visit) -> Response:
    """Strike a line of a broker's report off."""
    stored = visit.form.attempt(desk_gains.strike_report, visit.kit, visit.form.text("line"))
    return _year(visit, status=400) if stored is None else lead_on(visit, stored, "gains")


routes = [
    shown("/gains", page, name="gains"),
    done("/gains/reported", put, name="gains.report"),
    done("/gains/reported/strike", strike, name="gains.strike"),
]
