"""An application with one page that holds every part of the look, filled with invented figures; never shipped."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

from starlette.applications import Starlette
from starlette.responses import Response
from starlette.routing import BaseRoute

from ninefine.catalog.kinds import Basis
from ninefine.desk.kit import Kit
from ninefine.errors import BookError, Fault, Faults, NotFoundError, PassphraseError, UnreadableError
from ninefine.papers import charts
from ninefine.web.app import Content, make_app
from ninefine.web.format import money, percent
from ninefine.web.forms import Form
from ninefine.web.frame import FrameFacts
from ninefine.web.keys import Keys
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.visit import Visit, done, shown

AUTHORITY = "127.0.0.1:8765"
D = Decimal


def _row(name: str | Cell, *figures: Cell | Decimal | None, **more: Any) -> Row:
    return Row(
        cells=dict(zip(("kind", "face", "fine", "cost", "bid", "change"), (name, *figures), strict=True)), **more
    )


HOLDINGS = Ledger(
    caption="What is held, by kind",
    columns=(
        Column(key="kind", head="Kind"),
        Column(key="face", head="Face", of=Of.MONEY, unit="USD"),
        Column(key="fine", head="Fine silver", of=Of.OUNCE, basis=Basis.TRADE),
        Column(key="cost", head="Cost", of=Of.MONEY, unit="USD"),
        Column(key="bid", head="Shop bid", of=Of.MONEY, unit="USD"),
        Column(key="change", head="Over cost", of=Of.PERCENT, signed=True),
    ),
    rows=(
        _row(
            *("90% dimes", D(120), D("85.8"), D("2316.00"), D("2443.2"), D("5.4922")),
            worked=Worked(
                steps=(
                    Step(
                        what="Fine silver by trade count",
                        how="120.00 face x 0.7150",
                        result="85.8000 ozt trade",
                        whence="The trade's convention for worn coin: common practice, no source.",
                    ),
                    Step(
                        what="The shop's bid",
                        how="20.36 a face dollar x 120.00",
                        result="2,443.20",
                        whence="River Street Coins (invented), bid of 1 March 2026, entry 41 of the book.",
                    ),
                )
            ),
        ),
        _row(
            *("90% quarters", D(202), D("144.43"), D("4210.10"), D("4112.72"), D("-2.3131")),
            note="two bags, one not yet sorted",
        ),
        _row(
            *("War nickels", D("4.1"), Cell(value=D("4.612"), basis=Basis.UNWORN), D("96.55"), None, None),
            weight=Weight.QUIET,
            note="no way out has a bid for these",
        ),
        _row(
            *(Cell(value="Bars and rounds", href="/sheet"), None, Cell(value=D("75.408"), basis=Basis.SCALE)),
            *(D(2401), D("2290.14"), D("-4.6172")),
            weight=Weight.LOOK,
            note="the scale says 0.092 ozt less than the seller did",
        ),
        _row("All silver", D("326.1"), D("310.25"), D("9023.65"), D("8846.06"), D("-1.9680"), weight=Weight.TOTAL),
    ),
)

MINTS = ("Philadelphia", "Denver", "San Francisco", "New Orleans", "Carson City", "West Point")
SPREAD = Ledger(
    caption="Found by year and mint",
    wide=True,
    columns=(Column(key="year", head="Year"), *(Column(key=mint, head=mint, of=Of.COUNT) for mint in MINTS)),
    rows=tuple(
        Row(cells={"year": str(year), "Philadelphia": year % 37 * 3, "Denver": year % 11, "New Orleans": 0})
        for year in range(1958, 1965)
    ),
)

SHARES = tuple(
    charts.Share(name=name, percent=D(part), words=f"{part}%")
    for name, part in (
        ("constitutional", "81.2"),
        ("bars and rounds", "10.6"),
        ("other coin", "5.1"),
        ("household", "3.1"),
    )
)
FORMS = Ledger(
    caption="By form",
    columns=(
        Column(key="form", head="Form"),
        Column(key="fine", head="Fine silver", of=Of.OUNCE, basis=Basis.TRADE),
        Column(key="share", head="Share", of=Of.PERCENT, places=1),
    ),
    rows=tuple(Row(cells={"form": one.name, "fine": one.percent * 3, "share": one.percent}) for one in SHARES),
)
RULER = tuple(
    charts.RulerMark(name=name, at=D(at), words=percent(D(at)), look=at == "1.20")
    for name, at in (
        ("River Street, a bag", "4.11"),
        ("club table, quarters", "1.20"),
        ("online lot 7", "9.84"),
        ("estate box", "-2.35"),
        ("online lot 9", "9.10"),
    )
)
BARS = tuple(
    charts.Bar(name=name, length=D(pays), words=money(D(pays)), look=pays == "9120")
    for name, pays in (
        ("Club member", "9120"),
        ("River Street Coins", "8846.06"),
        ("Online, after fees", "8410.50"),
        ("Refiner", "8002"),
    )
)
MONTHS = [date(2024 + month // 12, month % 12 + 1, 1) for month in range(26)]
PRICES = [charts.Point(on=on, value=D(24 + (i * 7) % 9 + i // 3)) for i, on in enumerate(MONTHS)]
BOUGHT = (
    charts.DayMark(on=MONTHS[4], value=PRICES[4].value, words="bag of dimes"),
    charts.DayMark(on=MONTHS[17], value=PRICES[17].value, words="bars", look=True),
)
YEARS = [
    charts.YearCount(
        year=year,
        found=(year * 7) % 23 + (9 if year > 1955 else 0),
        expected=D((year * 7) % 19 + 3) if year % 4 else None,
    )
    for year in range(1916, 1965)
]
WORTH = [charts.Point(on=on, value=D(3000 + 220 * i + (i * 37) % 400)) for i, on in enumerate(MONTHS)]
COST = [charts.Point(on=on, value=D(3100 + 1400 * (i // 7))) for i, on in enumerate(MONTHS)]

#: Every chart of the sheet: how to draw it, its caption, its size.
DRAWINGS: dict[str, tuple[Callable[[charts.Palette, int], charts.Spec], str, tuple[int, int]]] = {
    "share": (
        lambda ink, width: charts.share_bar(SHARES, ink, width),
        "Each reed is one per cent of the fine ounces held by trade count.",
        (440, 134),
    ),
    "ruler": (
        lambda ink, width: charts.premium_ruler(RULER, ink, width, unit="per cent over melt"),
        "What each offer costs over its melt, landed.",
        (640, 200),
    ),
    "exits": (
        lambda ink, width: charts.exit_bars(
            BARS, ink, width, unit="what each way out pays, USD", line=D("9310"), line_words="melt"
        ),
        "The dashed line is melt; nobody pays it.",
        (640, 224),
    ),
    "price": (
        lambda ink, width: charts.price_line(PRICES, BOUGHT, ink, width, unit="USD an ozt"),
        "Spot as entered, with a ring at each purchase.",
        (720, 280),
    ),
    "years": (
        lambda ink, width: charts.counts_by_year(YEARS, ink, width, unit="dimes"),
        "A level line is what a fair draw would have held.",
        (720, 260),
    ),
    "worth": (
        lambda ink, width: charts.worth_by_month(WORTH, COST, ink, width, unit="USD"),
        "Worth is the shop's bid at each month's price.",
        (720, 280),
    ),
}


def _sheet(visit: Visit, status: int) -> Response:
    pictures = {
        name: visit.picture(draw, alt=f"Chart: {caption}", caption=caption, size=size)
        for name, (draw, caption, size) in DRAWINGS.items()
    }
    return visit.page(
        "all_parts.html",
        stage="offers",
        status=status,
        holdings=HOLDINGS,
        spread=SPREAD,
        forms=FORMS,
        pictures=pictures,
    )


def show_sheet(visit: Visit) -> Response:
    """The page of all parts."""
    visit.form = Form(starting={"seller": "Harbor Coin and Book (invented)", "how": "shop"})
    return _sheet(visit, 200)


def take_sheet(visit: Visit) -> Response:
    """The form of the sheet: everything is wrong with it."""
    visit.form.attempt(_refuse)
    return _sheet(visit, 400)


def _refuse() -> None:
    raise Faults(
        [
            Fault(where="price", wrong="'23.4q' is not a price. Try: 23.40 a dollar, spot+1.20, 4% over."),
            Fault(where="face", wrong="Face is \N{MINUS SIGN}4. It must be more than zero."),
            Fault(where="", wrong="The offer ends before it begins."),
        ],
        source="the offer",
    )


def show_bare(visit: Visit) -> Response:
    """A page with nothing on it yet."""
    return visit.page("bare.html", stage="arrivals")


def refuse(visit: Visit) -> Response:
    """Raise whatever error the path names."""
    match visit.part("what"):
        case "unreadable":
            raise UnreadableError("'abc' is not a weight.", instead=("1461 g", "47.0 ozt"))
        case "faults":
            raise Faults(
                [Fault(where="line 3", wrong="no year"), Fault(where="line 9", wrong="no mint")], source="tally.csv"
            )
        case "lost":
            raise NotFoundError("No lot 99 is held.", instead=("lot 9",))
        case "book":
            raise BookError("Lot 4 was sold on 3 March 2026; it cannot be moved after that.")
        case "store":
            raise PassphraseError("The passphrase does not open this book.")
        case _:
            raise RuntimeError("a defect, told in\ntwo lines")


ROUTES: list[BaseRoute] = [
    shown("/", show_bare, name="first"),
    shown("/sheet", show_sheet, name="offers"),
    done("/sheet", take_sheet, name="offers.add"),
    shown("/arrivals", show_bare, name="arrivals"),
    shown("/sorting", show_bare, name="sorting"),
    shown("/holdings", show_bare, name="holdings"),
    shown("/exits", show_bare, name="exits"),
    shown("/prices", show_bare, name="prices"),
    shown("/reference", show_bare, name="reference"),
    shown("/book", show_bare, name="book"),
    shown("/refuse/{what}", refuse, name="refuse"),
]


def facts(_: Kit) -> FrameFacts:
    """An invented book's frame."""
    return FrameFacts(
        today=date(2026, 3, 3),
        book="Demo (invented)",
        currency="USD",
        waiting={"arrivals": 1, "sorting": 12, "offers": 2},
    )


def sheet_app(keys: Keys, authority: str = AUTHORITY, *, report: list[str] | None = None) -> Starlette:
    """The application of the sheet; `report` gathers the lines about unexpected errors."""
    lines = [] if report is None else report
    return make_app(
        lambda: cast("Kit", None),  # no page of the sheet asks the desk
        keys,
        authority=authority,
        frame_source=facts,
        content=Content(routes=ROUTES, templates=(Path(__file__).parent / "sheet",)),
        report=lines.append,
    )
