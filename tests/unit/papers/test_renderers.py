"""Every form of a paper says what its data says: text, page, workbook, table, calendar; and none can be led astray."""

import csv
import io
import re
from datetime import date, timedelta
from decimal import Decimal
from html.parser import HTMLParser
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar
from python_calamine import CalamineWorkbook

from ninefine.catalog.kinds import Basis
from ninefine.errors import NotFoundError, RangeError
from ninefine.measure.numbers import to_places
from ninefine.papers.as_csv import FORMULA_STARTS, as_csv
from ninefine.papers.as_html import as_html
from ninefine.papers.as_ics import as_ics
from ninefine.papers.as_pdf import Sheet
from ninefine.papers.as_text import as_text
from ninefine.papers.as_xlsx import as_xlsx
from ninefine.papers.document import (
    NOTHING,
    Block,
    Code,
    Column,
    Cut,
    Document,
    Event,
    Group,
    Heading,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Picture,
    Prose,
    Row,
    Slip,
    Slips,
    Value,
)
from ninefine.papers.formats import FORMATS, file_name, format_named, formats_for

D = Decimal
DAY = date(2026, 6, 12)
HOSTILE = [
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "$x^2$ #panic() *b* _i_ `c` @ref <lab> \\u{41}",
    "http://example.invalid/x",
    "007",
    "1e9",
    "{{ 7*7 }}",
    "a, b; c\\d",
    "\u202eright to left",
]


def paper(*blocks: Block, events: tuple[Event, ...] = ()) -> Document:
    return Document(name="try", title="A try", on=DAY, book="Our silver", blocks=blocks, events=events)


GOLDEN = paper(
    Prose(text="There is this much.", answer=True),
    Pairs(
        pairs=(
            Pair(name="Melt", value=D("20476.5"), of=Of.MONEY, unit="USD"),
            Pair(name="Sale", value=None, of=Of.MONEY, unit="USD"),
            Pair(name="Day", value=DAY, of=Of.DATE),
        )
    ),
    Ledger(
        caption="What there is",
        groups_are="Place",
        columns=(
            Column(head="Goods"),
            Column(head="Fine", of=Of.OUNCE, basis=Basis.TRADE, summed=True),
            Column(head="Melt", of=Of.MONEY, unit="USD", summed=True),
        ),
        groups=(
            Group(name="A1", rows=(Row(cells=("dimes", D("71.5"), D("4719")), notes=(("2 photos", NOTHING),)),)),
            Group(name="B1", rows=(Row(cells=("a mend", None, D("-3"))),)),
        ),
    ),
    Notes(title="How", lines=(("By scale.", NOTHING),)),
)


def test_text_as_it_is_printed() -> None:
    assert as_text(GOLDEN) == (
        "A try\n=====\n\n12 June 2026, Our silver\n\nThere is this much.\n\n"
        "Melt  20,476.50 USD\nSale          –\nDay   12 June 2026\n\n"  # noqa: RUF001 - a dash for what is not known
        "What there is\n"
        "Goods                    Fine      Melt\n"
        "                    ozt trade       USD\n"
        "------------------  ---------  --------\n"
        "Place A1\n"
        "dimes                 71.5000  4,719.00\n"
        "  2 photos\n"
        "Place A1, together    71.5000  4,719.00\n"
        "Place B1\n"
        "a mend                      –     −3.00\n"  # noqa: RUF001 - a true minus, as on paper
        "Place B1, together          –     −3.00\n"  # noqa: RUF001
        "All                   71.5000  4,716.00\n\n"
        "How\n- By scale.\n"
    )


def test_a_table_file_has_plain_figures_and_its_groups_in_a_column() -> None:
    assert as_csv(GOLDEN) == (
        'Place,Goods,"Fine, ozt trade","Melt, USD"\r\nA1,dimes,71.5000,4719.00\r\nB1,a mend,,-3.00\r\n'
    )


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_of_a_table_file_can_start_a_formula(text: str) -> None:
    """Spreadsheets run what begins with = + - @, a tab or a line's end (common practice, no source)."""
    ledger = Ledger(caption=text, columns=(Column(head=text),), groups=(Group(name=text, rows=(Row(cells=(text,)),)),))

    cells = [cell for row in csv.reader(io.StringIO(as_csv(paper(ledger)), newline="")) for cell in row]

    assert cells.count(text) + cells.count(f"'{text}") == 3
    assert not [cell for cell in cells if cell.startswith(FORMULA_STARTS)]


@given(st.lists(st.tuples(st.text(max_size=30), st.decimals(-(10**9), 10**9, places=4)), min_size=1, max_size=20))
def test_a_table_file_reads_back_as_its_data(rows: list[tuple[str, D]]) -> None:
    columns = (Column(head="Goods"), Column(head="Fine", of=Of.OUNCE, basis=Basis.SCALE))
    ledger = Ledger(caption="x", columns=columns, groups=(Group(rows=tuple(Row(cells=row) for row in rows)),))

    read = list(csv.reader(io.StringIO(as_csv(paper(ledger)), newline="")))[1:]

    assert [D(row[1]) for row in read] == [row[1] for row in rows]
    assert all(row[0] in {said, f"'{said}"} for row, (said, _) in zip(read, rows, strict=True))


def test_what_has_no_table_and_no_days_says_so() -> None:
    with pytest.raises(RangeError, match="holds no table"):
        as_csv(paper(Prose(text="words")))
    with pytest.raises(RangeError, match="no days to put in a calendar"):
        as_ics(paper())
    assert [one.name for one in formats_for(paper())] == ["pdf", "html", "text"]


PAPERS = ["inventory", "letter", "purchase", "gains", "storage", "card", "calendar", "key"]


@pytest.mark.parametrize("name", PAPERS)
def test_a_workbook_reads_back_as_the_paper_s_data(demo_papers: dict[str, Document], name: str) -> None:
    """Read by another library than wrote it; a cell is a double, rounded here to its column's places."""
    document = demo_papers[name]

    book = CalamineWorkbook.from_filelike(io.BytesIO(as_xlsx(document)))

    assert book.sheet_names[0] == "Paper"
    assert len(book.sheet_names) == 1 + len(document.ledgers)
    for number, ledger in enumerate(document.ledgers, 1):
        grouped = any(group.name for group in ledger.groups)
        sheet = book.get_sheet_by_index(number).to_python()
        rows = sheet[1 : 1 + len(ledger.rows)]
        cells = [tuple(row[1 if grouped else 0 :][: len(ledger.columns)]) for row in rows]
        read = [tuple(_read(column, cell) for column, cell in zip(ledger.columns, row, strict=True)) for row in cells]
        assert read == [
            tuple(_told(column, cell) for column, cell in zip(ledger.columns, row.cells, strict=True))
            for row in ledger.rows
        ]
        if grouped:
            assert [row[0] for row in rows] == [group.name for group in ledger.groups for _ in group.rows]
        if ledger.sums and ledger.rows:
            last = sheet[1 + len(ledger.rows)][1 if grouped else 0 :]
            for place, (column, total) in enumerate(zip(ledger.columns, ledger.totals(), strict=True)):
                assert not column.summed or _read(column, last[place]) == _told(column, total)


def _read(column: Column, cell: object) -> Value:
    if cell == "":
        return None
    return to_places(D(repr(cell)), column.digits) if isinstance(cell, float) else cell  # type: ignore[return-value]


def _told(column: Column, cell: Value) -> Value:
    if cell is None or cell == "":
        return None
    return to_places(D(cell), column.digits) if isinstance(cell, D | int) else cell


@pytest.mark.parametrize("text", HOSTILE)
def test_a_workbook_holds_text_as_text(text: str) -> None:
    ledger = Ledger(caption=text, columns=(Column(head=text),), groups=(Group(rows=(Row(cells=(text,)),)),))

    made = as_xlsx(paper(Prose(text=text), Pairs(pairs=(Pair(name=text, value=text),)), ledger))

    with ZipFile(io.BytesIO(made)) as parts:
        sheets = [parts.read(name).decode() for name in parts.namelist() if name.startswith("xl/worksheets/sheet")]
        names = parts.namelist()
    assert not [sheet for sheet in sheets if "<f>" in sheet or "hyperlink" in sheet]
    assert not [name for name in names if "externalLink" in name]
    read = CalamineWorkbook.from_filelike(io.BytesIO(made)).get_sheet_by_index(1).to_python()
    assert isinstance(read[1][0], str)


def test_sheets_of_a_workbook_have_names_that_may_be() -> None:
    ledgers = tuple(
        Ledger(caption=caption, columns=(Column(head="a"),), groups=())
        for caption in ("a" * 40, "a" * 40, "In/Out: [all]?*", "'", "PAPER")
    )

    names = CalamineWorkbook.from_filelike(io.BytesIO(as_xlsx(paper(*ledgers)))).sheet_names

    assert names == ["Paper", "a" * 31, "a" * 27 + " (2)", "In Out   all", "Ledger", "PAPER (2)"]


class Page(HTMLParser):
    """Reads a page: its tags in balance, its text, its addresses."""

    VOID = frozenset({"meta", "hr", "img", "link", "br"})

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.text: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.text.append(data)


@pytest.mark.parametrize("name", [*PAPERS, "bag-slips"])
def test_a_page_stands_alone(demo_papers: dict[str, Document], name: str) -> None:
    """No script, no address, no handler: it works on a phone without a network."""
    html = as_html(demo_papers[name])

    page = Page(html)

    assert page.open == []
    assert not {"script", "iframe", "link", "img", "object", "form"} & set(page.tags)
    assert not [key for key, _ in page.attributes if key.startswith("on") or key in {"href", "src", "srcset", "action"}]
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/)", html)
    assert "default-src 'none'" in html
    assert '<meta name="viewport" content="width=device-width' in html
    for ledger in demo_papers[name].ledgers:
        assert not ledger.rows or ledger.caption in "".join(page.text)


@pytest.mark.parametrize("text", HOSTILE)
def test_a_page_shows_any_text_as_it_is(text: str) -> None:
    ledger = Ledger(
        caption=text,
        columns=(Column(head=text, unit=text),),
        groups=(Group(name=text, rows=(Row(cells=(text,), notes=((text, NOTHING),)),)),),
    )
    blocks: tuple[Block, ...] = (
        Prose(text=text),
        Heading(text=text),
        Pairs(pairs=(Pair(name=text, value=text),)),
        ledger,
        Notes(title=text, lines=((text, NOTHING),)),
        Picture(svg='<svg xmlns="http://www.w3.org/2000/svg"></svg>', alt=text, caption=text),
        Code(text=text, words=text),
        Slips(cut=Cut.BAG, slips=(Slip(name=text, goods=text, lines=((text, NOTHING),), code=text),)),
    )
    page = Page(as_html(paper(*blocks)))

    assert page.open == []
    assert not {"script", "img", "lab"} & set(page.tags)
    assert "".join(page.text).replace("\r", "\n").count(text.replace("\r", "\n")) >= 15


def test_a_page_has_heads_for_who_hears_it() -> None:
    html = as_html(GOLDEN)

    assert html.count('<th scope="col"') == 3
    assert html.count('<th scope="row"') == 5
    assert html.count('<th scope="rowgroup"') == 2


EVENTS = (
    Event(uid="one@x", on=date(2026, 11, 15), words="lots L1, L4 long-term", more="a; b, c\\ \nd"),
    Event(uid="two@x", on=date(2027, 1, 31), words="review: insurance", every_months=12),
)


def test_a_calendar_reads_back_as_its_days() -> None:
    calendar = Calendar.from_ical(as_ics(paper(events=EVENTS)))

    read = [
        (
            str(one["UID"]),
            one.decoded("DTSTART"),
            one.decoded("DTEND"),
            str(one["SUMMARY"]),
            str(one.get("DESCRIPTION", "")),
        )
        for one in calendar.walk("VEVENT")
    ]
    assert read == [(one.uid, one.on, one.on + timedelta(days=1), one.words, one.more) for one in EVENTS]
    assert calendar.walk("VEVENT")[1]["RRULE"] == {"FREQ": ["MONTHLY"], "INTERVAL": [12]}
    assert all(len(line) <= 75 for line in as_ics(paper(events=EVENTS)).split(b"\r\n")), "RFC 5545 folds at 75 octets"


@pytest.mark.parametrize("name", [*PAPERS, "tube-labels"])
def test_the_same_paper_gives_the_same_bytes(demo_papers: dict[str, Document], name: str) -> None:
    document = demo_papers[name]
    for one in formats_for(document):
        assert one.make(document, Sheet.A4) == one.make(document, Sheet.A4), one.name


def test_formats_and_files_have_names() -> None:
    assert list(FORMATS) == ["pdf", "html", "xlsx", "csv", "text", "ics"]
    assert file_name(GOLDEN, format_named(" PDF ")) == "try-2026-06-12.pdf"
    assert file_name(GOLDEN, format_named("text")) == "try-2026-06-12.txt"
    with pytest.raises(NotFoundError, match="No paper can be had as 'docx'"):
        format_named("docx")
