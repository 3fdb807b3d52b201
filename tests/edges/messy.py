"""Spreadsheets as people keep them, all invented: what each is brought in as, figure by figure, or refused for."""

import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

import xlsxwriter

TODAY = date(2026, 11, 25)
AFTERNOON = datetime(2020, 4, 5, 14, 30)  # noqa: DTZ001 - workbooks know no zones

#: What is compared of a line bought or held: day, kind, issue, pieces, face, grams, price or cost, costs, whom.
Line = tuple[str, str, str, str, str, str, str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Messy:
    """One spreadsheet.

    Attributes:
        name: the file.
        data: its bytes.
        purpose: what it is of.
        form: what the person says of it.
        lines: what it is brought in as; empty where it is refused.
        passed: numbers of the lines that are passed over.
        faults: where each fault stands, and words of it, in order; empty where it is brought in.
    """

    name: str
    data: bytes
    purpose: str = "purchases"
    form: Mapping[str, str] = field(default_factory=dict)
    lines: Sequence[Line] = ()
    passed: Sequence[int] = ()
    faults: Sequence[tuple[str, str]] = ()


def line(  # noqa: PLR0917 - a line of a table
    on: str, kind: str, pieces: str, face: str, price: str, costs: str = "0", whom: str = "", issue: str = "",
    grams: str = "",
) -> Line:  # fmt: skip
    return on, kind, issue, pieces, face, grams, price, costs, whom


def text(*lines: str, coding: str = "utf-8", ends: str = "\n") -> bytes:
    return ends.join((*lines, "")).encode(coding)


def workbook(*sheets: tuple[str, Sequence[Sequence[object]]], merged: Sequence[tuple[str, str]] = ()) -> bytes:
    """A workbook with days as days; merged ranges are of the first sheet."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "default_date_format": "dd.mm.yy"})
    for name, rows in sheets:
        paper = book.add_worksheet(name)
        for number, row in enumerate(rows):
            for place, cell in enumerate(row):
                if isinstance(cell, date | datetime):
                    paper.write_datetime(number, place, cell)
                elif cell is not None:
                    paper.write(number, place, cell)
        if name == sheets[0][0]:
            for cells, words in merged:
                paper.merge_range(cells, words)
    book.close()
    return out.getvalue()


def ods(rows: Sequence[Sequence[str | float | date]]) -> bytes:
    """A table of an open document: only what a reader needs (OASIS OpenDocument 1.2, part 1, chapter 9)."""
    cells = "".join(f"<table:table-row>{''.join(map(_ods_cell, row))}</table:table-row>" for row in rows)
    names = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="{names}:office:1.0" '
        f'xmlns:table="{names}:table:1.0" xmlns:text="{names}:text:1.0" office:version="1.2"><office:body>'
        f'<office:spreadsheet><table:table table:name="Shelf">{cells}</table:table></office:spreadsheet>'
        "</office:body></office:document-content>"
    )
    manifest = (
        f'<?xml version="1.0" encoding="UTF-8"?><manifest:manifest xmlns:manifest="{names}:manifest:1.0">'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
        archive.writestr("META-INF/manifest.xml", manifest)
    return out.getvalue()


def _ods_cell(cell: str | float | date) -> str:
    if isinstance(cell, date):
        kind = f'office:value-type="date" office:date-value="{cell.isoformat()}"'
    elif isinstance(cell, str):
        kind = 'office:value-type="string"'
    else:
        kind = f'office:value-type="float" office:value="{cell}"'
    return f"<table:table-cell {kind}><text:p>{cell}</text:p></table:table-cell>"


BROUGHT_IN: Sequence[Messy] = (
    Messy(
        name="dollar signs, quoted thousands, month first, a total below.csv",
        data=text(
            "My silver,,,,,,",
            ",,,,,,",
            "Date,Item,Face Value ($),Price Paid,Shipping,Total Cost,Dealer",
            '1/5/2021,Junk silver,$500.00,"$11,250.00",$9.95,"$11,259.95",Elm Coins',
            '12/31/2021,90% dimes,50,"$1,310.00",,"$1,310.00",Oak Street',
            ",,,,,,",
            'TOTAL,,$550.00,"$12,560.00",$9.95,"$12,569.95",',
            ends="\r\n",
        ),
        lines=[
            line("2021-01-05", "us-90", "", "500", "11250", "9.95", "Elm Coins"),
            line("2021-12-31", "us-dime-90", "500", "50", "1310", "0", "Oak Street"),
        ],
        passed=[7],
    ),
    Messy(
        name="semicolons, decimal commas, day first, Windows-1252.csv",
        data=text(
            "Silberliste;;;;",
            "Date;Item;Qty;Price each;Seller",
            "03.02.2023;10 oz bar;2;265,50;Müller & Söhne",
            "28.02.2023;100 oz bar;1;2.610,00;Müller & Söhne",
            coding="cp1252",
        ),
        lines=[
            line("2023-02-03", "xag-generic-bar-10oz", "2", "", "531", "0", "Müller & Söhne"),
            line("2023-02-28", "xag-generic-bar-100oz", "1", "", "2610", "0", "Müller & Söhne"),
        ],
        passed=[],
    ),
    Messy(
        name="tabs in UTF-16.txt",
        data=text(
            "Date\tCoin\tQuantity\tUnit Price\tCarriage\tBought from",
            "2022-05-14\tMercury dimes\t250\t2.10\t6.40\tCafé Lune coin table",
            "2022-06-01\tWalkers\t20\t11.25\t\t",
            coding="utf-16",
        ),
        lines=[
            line("2022-05-14", "us-dime-mercury", "250", "25", "525", "6.4", "Café Lune coin table"),
            line("2022-06-01", "us-half-walking-liberty", "20", "10", "225"),
        ],
    ),
    Messy(
        name="a byte order mark and a word on the separator.csv",
        data=b"\xef\xbb\xbf" + text("sep=|", "Date|Description|FV|Cost", "5-Mar-2019|junk 90%|100|1180.50"),
        lines=[line("2019-03-05", "us-90", "", "100", "1180.5")],
    ),
    Messy(
        name="two lines of headings, merged, and days that are days.xlsx",
        data=workbook(
            (
                "Log",
                [
                    ["Our stack since 2020"],
                    [None, None, None, "Purchase", None, "Purchase"],
                    ["Item", "Qty", "Face", "Date", "Price", "Dealer"],
                    ["Morgan dollar", 20, 20, date(2020, 4, 3), 700.1 + 0.2, "Oak"],
                    ["90% quarters", None, 25.5, AFTERNOON, 300, None],
                    ["Total", None, "=SUM(C4:C5)", None, 1000.3, None],
                ],
            ),
            merged=[("D2:F2", "Purchase")],
        ),
        lines=[
            line("2020-04-03", "us-dollar-morgan", "20", "20", "700.3", "0", "Oak"),
            line("2020-04-05", "us-quarter-90", "102", "25.5", "300"),
        ],
        passed=[6],
    ),
    Messy(
        name="the second sheet.xlsx",
        data=workbook(
            ("Empty", []),
            ("Chart", [["see the other sheet"]]),
            ("Buys 2024", [["Date", "Item", "Pieces", "Cost"], [date(2024, 2, 29), "1 oz round", 12, 342.6]]),
        ),
        form={"sheet": "Buys 2024"},
        lines=[line("2024-02-29", "xag-generic-round-1oz", "12", "", "342.6")],
    ),
    Messy(
        name="an open document.ods",
        data=ods(
            [
                ["Acquired", "What", "Face", "Cost", "Where kept"],
                [date(2015, 7, 1), "90% halves", 40.0, 512.25, "A1"],
                [date(2015, 7, 2), "war nickels", 2.0, 30.0, "A2"],
            ]
        ),
        purpose="holdings",
        lines=[
            line("2015-07-01", "us-half-90", "80", "40", "512.25"),
            line("2015-07-02", "us-five-cent-wartime", "40", "2", "30"),
        ],
    ),
    Messy(
        name="money out in brackets, a discount either way.csv",
        data=text(
            "Date,Item,Face,Paid,Fee,Discount",
            "2023-01-14,90% dimes,100,(2310.00),(4.00),(10.00)",
            "2023-01-20,90% halves,50,(1200.00),,5",
        ),
        lines=[
            line("2023-01-14", "us-dime-90", "1000", "100", "2310", "-6"),
            line("2023-01-20", "us-half-90", "100", "50", "1200", "-5"),
        ],
    ),
    Messy(
        name="years of two figures, told by one day above twelve.csv",
        data=text(
            "Purchased,Item,Pcs,Cost",
            "03/04/98,Morgan dollars,10,95.00",
            "04/17/26,Peace dollars,5,210.00",
            "01/02/03,Franklin halves,20,70.00",
        ),
        lines=[
            line("1998-03-04", "us-dollar-morgan", "10", "10", "95"),
            line("2026-04-17", "us-dollar-peace", "5", "5", "210"),
            line("2003-01-02", "us-half-franklin", "20", "10", "70"),
        ],
    ),
    Messy(
        name="price for one, as the totals tell.csv",
        data=text(
            "Date,Item,Qty,Price,S&H,Total",
            "2022-03-01,10 oz bar,3,262.00,15.00,801.00",
            "2022-03-09,1 oz round,20,29.35,,587.00",
        ),
        lines=[
            line("2022-03-01", "xag-generic-bar-10oz", "3", "", "786", "15"),
            line("2022-03-09", "xag-generic-round-1oz", "20", "", "587"),
        ],
    ),
    Messy(
        name="totals that leave carriage out.csv",
        data=text(
            "Date,Item,Qty,Price each,Total,Shipping",
            "2022-03-01,10 oz bar,3,262.00,786.00,15.00",
            "2022-03-09,1 oz round,20,29.35,587.00,",
        ),
        lines=[
            line("2022-03-01", "xag-generic-bar-10oz", "3", "", "786", "15"),
            line("2022-03-09", "xag-generic-round-1oz", "20", "", "587"),
        ],
    ),
    Messy(
        name="printed pages: headings again, remarks, days on first lines alone.csv",
        data=text(
            "Date,Item,Face,Cost,Dealer,Notes",
            "2021-02-06,90% dimes,10,235.00,Elm Coins,",
            ",90% quarters,20,470.00,,second tube",
            "prices with postage,,,,,",
            ",,,,,",
            "Date,Item,Face,Cost,Dealer,Notes",
            "2021-03-01,90% halves,30,720.00,Oak,",
            "Sum,,60,1425.00,,",
        ),
        form={"repeat": "yes"},
        lines=[
            line("2021-02-06", "us-dime-90", "100", "10", "235", "0", "Elm Coins"),
            line("2021-02-06", "us-quarter-90", "80", "20", "470", "0", "Elm Coins"),
            line("2021-03-01", "us-half-90", "60", "30", "720", "0", "Oak"),
        ],
        passed=[4, 6, 8],
    ),
    Messy(
        name="a shelf with years, mints, grades and unknown costs.csv",
        data=text(
            "Item;Year;Mint;Qty;Grade;Cost basis;Date acquired;How acquired;Location;Melt value",
            "Mercury dime;1921;D;2;VG8;95,00;14.05.2011;purchased;A1;4,20",
            "Morgan dollar;1889;;1;AU;;;gift;A1;22,00",
            "Walking Liberty half;;;40;;;;inheritance;B2;n/a",
        ),
        purpose="holdings",
        lines=[
            line("2011-05-14", "us-dime-mercury", "2", "0.2", "95", issue="1921-D"),
            line("", "us-dollar-morgan", "1", "1", ""),
            line("", "us-half-walking-liberty", "40", "20", ""),
        ],
    ),
    Messy(
        name="quotes of the trade, rolls and kilograms.csv",
        data=text(
            "Date,Item,How much,Price,Gross grams",
            "2024-03-05,90% dimes,3 rolls,23.40x,",
            "2024-03-06,90% quarters,250 face,5875.00,",
            "2024-03-07,sterling,,610.00,1.2 kg",
        ),
        form={"head-1": "Price", "col-1": "price"},
        lines=[
            line("2024-03-05", "us-dime-90", "150", "15", "351"),
            line("2024-03-06", "us-quarter-90", "1000", "250", "5875"),
            line("2024-03-07", "household-sterling-925", "", "", "610", grams="1200"),
        ],
    ),
    Messy(
        name="days in words beside days in figures, units behind figures.csv",
        data=text(
            "When,Coin,No. of coins,Each,Ref",
            '"March 5, 2024",silver eagle,20 pcs,31.10 ea,K-1',
            "2024-03-06,silver eagle,5 coins,$31.25,K-2",
            "7th Mar 2024,maple leaf,1,30.90,",
        ),
        lines=[
            line("2024-03-05", "xag-us-eagle-1oz", "20", "20", "622"),
            line("2024-03-06", "xag-us-eagle-1oz", "5", "5", "156.25"),
            line("2024-03-07", "xag-ca-maple-1oz", "1", "", "30.9"),
        ],
    ),
    Messy(
        name="words of one's own, columns of one's own, one without a heading.csv",
        data=text(
            "Dt,Stuff,FV,$,,Mood",
            "2020-01-02,the good quarters,10,215.00,x,fine",
            "2020-01-03,Nanas dimes,5,100.00,,glad",
        ),
        form={
            "head-1": "Dt",
            "col-1": "date",
            "head-2": "Stuff",
            "col-2": "kind",
            "head-3": "$",
            "col-3": "price",
            "head-4": "column 5",
            "col-4": "-",
            "head-5": "Mood",
            "col-5": "note",
            "word-1": "the good quarters",
            "means-1": "90% quarters",
            "word-2": "nanas dimes",
            "means-2": "us-dime-90",
        },
        lines=[
            line("2020-01-02", "us-quarter-90", "40", "10", "215"),
            line("2020-01-03", "us-dime-90", "50", "5", "100"),
        ],
    ),
)

REFUSED: Sequence[Messy] = (
    Messy(
        name="days that may be either.csv",
        data=text("Date,Item,Face,Cost", "03/04/2024,90% dimes,10,230.00", "05/06/2024,90% dimes,10,231.00"),
        faults=[("line 2, Date", "3 April 2024 (day-month-year), or 4 March 2024 (month-day-year)")],
    ),
    Messy(
        name="days in two orders.csv",
        data=text("Date,Item,Face,Cost", "13/04/2024,90% dimes,10,230.00", "05/16/2024,90% dimes,10,231.00"),
        faults=[("line 2, Date", "'05/16/2024' (line 3, Date) cannot be day-month-year")],
    ),
    Messy(
        name="decimals that may be either.csv",
        data=text("Date,Item,Face,Cost", '2024-03-01,90% dimes,"1,000","23,400"'),
        faults=[("line 2, Face", "'1,000' may be 1000 or 1")],
    ),
    Messy(
        name="a point here, a comma there.csv",
        data=text("Date;Item;Face;Cost", "2024-03-01;90% dimes;10;230,50", "2024-03-02;90% dimes;10;231.50"),
        faults=[("line 3, Cost", "but '230,50' (line 2, Cost) a decimal comma")],
    ),
    Messy(
        name="thousands that commas parted.csv",
        data=text("Date,Item,Face,Cost", "2024-03-01,90% dimes,100,2,340.00", "2024-03-02,90% dimes,1,23.40"),
        faults=[("line 2", "5 cells stand under 4 headings")],
    ),
    Messy(
        name="figures that contradict each other.csv",
        data=text(
            "Date,Item,Qty,Price each,Total",
            "2024-03-01,10 oz bar,2,265.00,530.00",
            "2024-03-02,10 oz bar,2,265.00,540.00",
        ),
        faults=[("line 3, Price each", "comes to 530 for the goods, but 'Total' to 540")],
    ),
    Messy(
        name="a price that may be for one or for all.csv",
        data=text("Date,Item,Qty,Price", "2024-03-01,10 oz bar,2,265.00"),
        faults=[("line 2, Price", "Say which it is: price (the line), each (one piece)")],
    ),
    Messy(
        name="many faults at once.csv",
        data=text(
            "Date,Item,Qty,Cost,Currency",
            "2024-13-45,90% dimes,100,230.00,USD",
            "2024-03-02,qwertz,1,5.00,USD",
            "2024-03-03,1922 Mercury dime,1,5.00,USD",
            "2024-03-04,90% dimes,1.5,5.00,USD",
            "2024-03-05,90% dimes,10,abc,USD",
            ",90% dimes,10,23.00,USD",
            "2024-03-07,,10,23.00,USD",
            "2024-03-08,90% dimes,,23.00,USD",
            "2024-03-09,90% dimes,10,,USD",
            "2027-01-01,90% dimes,10,23.00,USD",
            "2024-03-11,90% dimes,10,23.00,EUR",
            "2024-03-12,90% dimes,10,24.00,USD",
        ),
        faults=[
            ("line 2, Date", "is not a day as"),
            ("line 3, Item", "names no kind"),
            ("line 4, Item", "1922"),
            ("line 5, Qty", "whole numbers"),
            ("line 6, Cost", "'abc' is not a number"),
            ("line 7, Date", "does not say when"),
            ("line 8, Item", "does not say what it is"),
            ("line 9, Item", "does not say how much"),
            ("line 10, Cost", "does not say what it cost"),
            ("line 11, Date", "has not come yet"),
            ("line 12, Currency", "'EUR' is not USD"),
        ],
    ),
    Messy(
        name="euros in a book of dollars.csv",
        data=text("Date,Item,Face,Cost", "2024-03-01,90% dimes,10,€ 230.00"),
        faults=[("line 2, Cost", "is not in USD, the currency of this book")],
    ),
    Messy(
        name="days as a spreadsheet counts them.csv",
        data=text("Date,Item,Face,Cost", "45352,90% dimes,10,230.00"),
        faults=[("line 2, Date", "Try: 2024-03-01")],
    ),
    Messy(
        name="a heading that nobody knows.csv",
        data=text("Date,Item,Face,Cost,Freightage", "2024-03-01,90% dimes,10,230.00,12.00"),
        faults=[("line 1", "'Freightage' is not a heading known here (line 2 holds '12.00')")],
    ),
    Messy(
        name="quotation marks left open.csv",
        data=text("Date,Item,Face,Cost", '2024-03-01,"90% dimes,10,230.00', "2024-03-02,90% dimes,10,230.00"),
        faults=[("line 2", "cells cannot be told apart")],
    ),
    Messy(
        name="no headings at all.csv",
        data=text("2024-03-01,90% dimes,10,230.00", "2024-03-02,90% dimes,10,230.00"),
        faults=[("line 1", "No line of headings is found")],
    ),
    Messy(
        name="sold more than was held.csv",
        data=text(
            "Date sold,Item,Face,Proceeds,Buyer",
            "2026-01-05,90% dimes,10,300.00,Elm",
            "2026-02-05,90% dimes,200,6000.00,Elm",
        ),
        purpose="sales",
        faults=[("line 3", "200 face was asked of it")],
    ),
    Messy(
        name="refunds among purchases.csv",
        data=text("Date,Item,Face,Cost", "2024-03-01,90% dimes,10,230.00", "2024-03-02,90% dimes,10,-230.00"),
        faults=[("line 3, Cost", "-230 is below zero")],
    ),
)
