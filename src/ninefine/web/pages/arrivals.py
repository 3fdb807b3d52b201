"""Arrivals: parcels on their way, counted in against what was ordered; claims and what sellers pay back; wear."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.book.holdings import Lot
from ninefine.catalog.kinds import Basis
from ninefine.desk import arrivals as desk
from ninefine.desk.amounts import say_amount
from ninefine.desk.counting import Compared, compare_count
from ninefine.desk.goods import SHORT_NAMES
from ninefine.desk.heaps import say_goods
from ninefine.desk.holdings import summary
from ninefine.desk.waiting import LATE_DAYS
from ninefine.errors import NotFoundError
from ninefine.measure.numbers import read_reference
from ninefine.papers.charts import RulerMark, premium_ruler
from ninefine.web.charts import Picture
from ninefine.web.format import figure, percent
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.asked import A_PAGE, first_of, turned
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.rows import lift, row_numbers
from ninefine.web.visit import Visit, done, shown

#: Weighings on one page: each opens to its working.
WEIGHINGS = 25
#: Heaps drawn on the ruler of wear.
MOST_DRAWN = 10
#: The trade's short names for kinds, for labels where there is little room.
SHORT = {slug: name for name, slug in SHORT_NAMES.items()}


def page(visit: Visit) -> Response:
    """What is on its way, what is claimed, and how worn what was weighed turned out to be."""
    kit, first = visit.kit, first_of(visit)
    parcels = desk.parcels(kit)
    wears = desk.wears(kit, first=first, most=WEIGHINGS + 1)
    return visit.page(
        "arrivals.html",
        stage="arrivals",
        now=summary(kit),
        parcels=len(parcels),
        claimed=desk.claimed(kit),
        coming=_coming(visit, parcels[:A_PAGE]),
        claims=_claims(visit, desk.claims(kit)[:A_PAGE]),
        unweighed=len(desk.weighable(kit)),
        worn=_worn(visit, wears[:WEIGHINGS]),
        ruler=_ruler(visit, wears[:MOST_DRAWN]),
        newer=turned(visit, "arrivals", first - WEIGHINGS) + "#wear" if first else "",
        older=turned(visit, "arrivals", first + WEIGHINGS) + "#wear" if len(wears) > WEIGHINGS else "",
        said=said(visit),
    )


def _coming(visit: Visit, parcels: Sequence[desk.Parcel]) -> Ledger:
    catalog = visit.kit.catalog()
    return Ledger(
        caption="Paid for and on its way, the oldest first",
        columns=(
            Column(key="parcel", head="Parcel"),
            Column(key="goods", head="Ordered"),
            Column(key="bought", head="Bought", of=Of.DATE),
            Column(key="days", head="On its way", of=Of.COUNT, unit="days"),
            Column(key="cost", head="Cost", of=Of.MONEY, unit=visit.kit.journal.currency),
        ),
        rows=[
            Row(
                cells={
                    "parcel": Cell(
                        value="Count it in", href=visit.path_to("count", asking={"parcel": str(parcel.serial)})
                    ),
                    "goods": f"{say_amount(lot.ordered)} of {say_goods(lot.kind, '', catalog)}",
                    "bought": parcel.bought,
                    "days": parcel.days,
                    "cost": lot.cost,
                },
                note=f"lot {lot.name}" + (f", {parcel.seller}" if parcel.seller else "") + _late(parcel),
                weight=Weight.LOOK if parcel.days > LATE_DAYS else Weight.PLAIN,
            )
            for parcel in parcels
            for lot in parcel.lots
        ],
        empty="Nothing is on its way.",
    )


def _late(parcel: desk.Parcel) -> str:
    return f"; over {LATE_DAYS} days: ask after it" if parcel.days > LATE_DAYS else ""


def _claims(visit: Visit, lots: Sequence[Lot]) -> Ledger:
    return Ledger(
        caption="Claimed and not yet paid back",
        columns=(
            Column(key="lot", head="Lot"),
            Column(key="seller", head="Of"),
            Column(key="received", head="Received", of=Of.DATE),
            Column(key="claim", head="Claimed", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="do", head="To do"),
        ),
        rows=[
            Row(
                cells={
                    "lot": Cell(value=lot.name, href=visit.path_to("lot", lot=lot.name)),
                    "seller": lot.seller or "the seller",
                    "received": lot.received,
                    "claim": lot.claim,
                    "do": Cell(value="Book the credit", href=visit.path_to("credit", asking={"lot": lot.name})),
                }
            )
            for lot in lots
        ],
        empty="Nothing is claimed of any seller.",
    )


def _worn(visit: Visit, wears: Sequence[desk.Wear]) -> Ledger:
    return Ledger(
        caption="What was weighed, against what it weighed when struck and against the trade's count",
        columns=(
            Column(key="heap", head="Heap"),
            Column(key="spec", head="As struck", of=Of.FIGURE, places=1, unit="g"),
            Column(key="scale_g", head="On the scale", of=Of.FIGURE, places=1, unit="g"),
            Column(key="worn", head="Against that", of=Of.PERCENT, signed=True),
            Column(key="trade", head="Trade count", of=Of.OUNCE, basis=Basis.TRADE),
            Column(key="scale", head="By scale", of=Of.OUNCE, basis=Basis.SCALE),
            Column(key="over", head="Against the trade", of=Of.PERCENT, signed=True),
        ),
        rows=[_worn_row(visit, wear) for wear in wears],
        empty="Nothing has been weighed yet.",
    )


def _worn_row(visit: Visit, wear: desk.Wear) -> Row:
    fineness = f"{figure(wear.scale_g, 1)} g x {wear.kind.fineness} / 31.1034768 g"
    steps = (
        Step(
            what="as struck",
            how=say_amount(wear.heap.amount),
            result=f"{figure(wear.nominal_g, 1)} g",
            whence=f"{wear.kind.source}: {wear.kind.evidence.sentence}",
        ),
        Step(what="fine silver by scale", how=fineness, result=f"{figure(wear.scale_ozt, 4)} ozt scale"),
        Step(
            what="fine silver by the trade's count",
            result=f"{figure(wear.trade_ozt, 4)} ozt trade",
            whence="The trade's convention for worn coin: common practice, no source.",
        ),
    )
    return Row(
        cells={
            "heap": Cell(
                value=say_goods(wear.heap.kind, wear.heap.issue, visit.kit.catalog()),
                href=visit.path_to("lot", lot=wear.heap.lot),
            ),
            "spec": wear.nominal_g,
            "scale_g": wear.scale_g,
            "worn": wear.from_spec * 100,
            "trade": wear.trade_ozt,
            "scale": wear.scale_ozt,
            "over": wear.from_trade * 100,
        },
        note=f"lot {wear.heap.lot}" + (f", at {wear.heap.place}" if wear.heap.place else ""),
        worked=Worked(steps=steps),
    )


def _ruler(visit: Visit, wears: Sequence[desk.Wear]) -> Picture | None:
    if not wears:
        return None
    marks = [
        RulerMark(
            name=f"{wear.heap.lot} {SHORT.get(wear.heap.kind, wear.kind.name[:16])}",
            at=wear.from_spec * 100,
            words=percent(wear.from_spec * 100, signed=True),
        )
        for wear in wears
    ]
    lines = sorted({round(wear.trade_from_spec * 100, 4) for wear in wears} - {Decimal(0)})
    marks += [RulerMark(name="the trade's count", at=at, words=percent(at, signed=True), look=True) for at in lines]
    told = "; ".join(f"{mark.name} {mark.words}" for mark in marks)
    return visit.picture(
        partial(premium_ruler, marks, unit="per cent against the weight as struck"),
        alt=f"Where wear puts each heap on one ruler: {told}.",
        caption="How far each weighed heap lies from its weight as struck, at the dashed line. The red pin is what the "
        "trade's count supposes: a heap to the left of it holds less silver than it was sold as.",
        size=(720, 90 + 22 * len(marks)),
    )


def count(visit: Visit) -> Response:
    """The form for counting a parcel in."""
    visit.form = Form(starting={"on": visit.kit.today().isoformat()})
    return _count_page(visit, _serial(visit.asked("parcel")))


def count_it(visit: Visit) -> Response:
    """Set a count against the order, or book it."""
    serial = _serial(visit.form.text("parcel"))
    if visit.form.text("do") == "compare":
        compared = visit.form.attempt(compare_count, visit.kit, visit.form.fields)
        return _count_page(visit, serial, compared=compared or (), status=400 if compared is None else 200)
    stored = visit.form.attempt(desk.receive, visit.kit, visit.form.fields)
    return _count_page(visit, serial, status=400) if stored is None else lead_on(visit, stored, "arrivals")


def _serial(text: str) -> int:
    serial = read_reference(text)
    if serial is None:
        raise NotFoundError(f"{text[:20]!r} is no entry's number.")
    return serial


def _count_page(visit: Visit, serial: int, *, compared: Sequence[Compared] = (), status: int = 200) -> Response:
    parcel, catalog = desk.parcel(visit.kit, serial), visit.kit.catalog()
    lift(visit.form, "lot")
    numbers = row_numbers(visit.form, "lot", [lot.name for lot in parcel.lots])
    return visit.page(
        "count.html",
        stage="arrivals",
        status=status,
        parcel=parcel,
        lots=[
            (number, lot.name, f"{say_amount(lot.ordered)} of {say_goods(lot.kind, '', catalog)}", lot.quote)
            for number, lot in zip(numbers, parcel.lots, strict=True)
        ],
        compared=_compared(visit, compared) if compared else None,
        short=[one for one in compared if one.share],
    )


def _compared(visit: Visit, compared: Sequence[Compared]) -> Ledger:
    unit = visit.kit.journal.currency
    return Ledger(
        caption="Counted against ordered; nothing is booked yet",
        columns=(
            Column(key="lot", head="Lot"),
            Column(key="ordered", head="Ordered"),
            Column(key="counted", head="Counted"),
            Column(key="short", head="Short by", of=Of.FIGURE),
            Column(key="price", head="Its price", of=Of.MONEY, unit=unit),
            Column(key="share", head="Of that, short", of=Of.MONEY, unit=unit),
        ),
        rows=[
            Row(
                cells={
                    "lot": one.lot.name,
                    "ordered": say_amount(one.lot.ordered),
                    "counted": say_amount(one.counted),
                    "short": Cell(value=one.short, note=one.measure),
                    "price": one.price,
                    "share": one.share,
                },
                note=_short_words(one),
                weight=Weight.LOOK if one.share else Weight.PLAIN,
            )
            for one in compared
        ],
    )


def _short_words(one: Compared) -> str:
    if one.short is None:
        return "counted and ordered share no measure"
    if not one.short:
        return "all of it is here"
    return "short" if one.short > 0 else "more came than was ordered"


def credit(visit: Visit) -> Response:
    """The form for money that a seller paid back."""
    name = visit.asked("lot")
    starting = {"on": visit.kit.today().isoformat(), "lots": name}
    claim = {lot.name: lot.claim for lot in desk.claims(visit.kit)}.get(name)
    visit.form = Form(starting=starting if claim is None else {**starting, "amount": f"{claim:f}"})
    return visit.page("credit.html", stage="arrivals")


def credit_it(visit: Visit) -> Response:
    """Book money that a seller paid back."""
    stored = visit.form.attempt(desk.credit, visit.kit, visit.form.fields)
    if stored is None:
        return visit.page("credit.html", stage="arrivals", status=400)
    return lead_on(visit, stored, "arrivals")


routes = [
    shown("/arrivals", page, name="arrivals"),
    shown("/arrivals/count", count, name="count"),
    done("/arrivals/count", count_it, name="count.book"),
    shown("/arrivals/credit", credit, name="credit"),
    done("/arrivals/credit", credit_it, name="credit.book"),
]
