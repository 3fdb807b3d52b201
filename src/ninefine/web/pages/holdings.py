"""Holdings: the sentence, the ledger by form, kind and place, the lots, on any date and any ounce basis."""

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis, Kind
from ninefine.desk import records
from ninefine.desk.amounts import say_amount
from ninefine.desk.exits import lot_ways
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import heap_name, say_goods
from ninefine.desk.holdings import HeapLine, LotLine, Summary, lot_line, lot_lines, summary
from ninefine.desk.lots import since
from ninefine.desk.performance import lot_in_constant
from ninefine.desk.records import metal_name
from ninefine.desk.say import holdings_sentence
from ninefine.errors import Faults, UnreadableError
from ninefine.measure.numbers import plain, read_reference, to_places
from ninefine.papers.charts import Share as Slice
from ninefine.papers.charts import share_bar
from ninefine.web.charts import Picture
from ninefine.web.format import figure, ounces, percent
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.booked import said
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.stack import KindWorth, Share

LOTS_A_PAGE = 20
FORM_WORDS = {
    "constitutional": "constitutional coin",
    "other-coin": "other silver coin",
    "bullion": "bullion",
    "household": "household silver",
    "no-silver": "no silver",
}
BASES = [("trade", "by trade count"), ("unworn", "unworn, by specification"), ("scale", "by scale, where weighed")]


def page(visit: Visit) -> Response:
    """What is held, now or on a date."""
    kit = visit.kit
    visit.form = Form(starting={name: visit.asked(name) for name in ("on", "basis", "spot")})
    on, basis, spot = _asked(visit)
    now = summary(kit, on=on, basis=basis, spot=spot)
    first = read_reference(visit.asked("first")) or 0
    lots = lot_lines(kit, on=on, basis=basis, first=first, most=LOTS_A_PAGE + 1)
    return visit.page(
        "holdings.html",
        stage="holdings",
        now=now,
        sentence=holdings_sentence(now, kit.journal.currency),
        said=visit.asked("said"),
        bases=BASES,
        forms=_shares(now, now.here.by_form, "form", "By form"),
        places=_shares(now, now.here.by_place, "place", "By place") if len(now.here.by_place()) > 1 else None,
        kinds=_kinds(visit, now),
        picture=_picture(visit, now),
        lots=_lots(visit, lots[:LOTS_A_PAGE], basis),
        more=_more(visit, first + LOTS_A_PAGE) if len(lots) > LOTS_A_PAGE else "",
        unknown=now.here.unknown,
    )


def _asked(visit: Visit) -> tuple[date | None, Basis, Decimal | None]:
    """The date, ounce basis and spot that the address asks for; what cannot be read is said and left out."""
    fields = Fields(visit.form.fields, source="what was asked")
    today = visit.kit.today()
    on: date | None = fields.day("on", today)
    spot = fields.positive("spot")
    basis = fields.read("basis", _basis, Basis.TRADE)
    try:
        fields.done()
    except Faults as error:
        visit.form.blame(error)
    return (None if on == today or on is None or on > today else on), basis, spot


def _basis(text: str) -> Basis:
    if text not in set(Basis):
        raise UnreadableError(f"{text[:20]!r} is not an ounce basis.", instead=tuple(Basis))
    return Basis(text)


def _more(visit: Visit, first: int) -> str:
    asked = {name: visit.asked(name) for name in ("on", "basis", "spot") if visit.asked(name)}
    return visit.path_to("holdings", asking={**asked, "first": str(first)}) + "#lots"


def _shares(now: Summary, shares_of: Callable[[str], Sequence[Share]], key: str, caption: str) -> Ledger:
    rows: list[Row] = []
    for metal in now.here.metals:
        for share in shares_of(metal):
            name = FORM_WORDS.get(share.name, share.name or "place not told")
            rows.append(
                Row(
                    cells={
                        key: name if metal == "XAG" else f"{name}, {metal_name(metal)}",
                        "ozt": share.ozt,
                        "part": share.part * 100,
                        "gross": share.gross_g,
                        "cost": share.basis if share.basis or not share.uncosted_ozt else None,
                        "melt": share.melt,
                    }
                )
            )
    if len(now.here.metals) == 1 and len(rows) > 1:
        rows.append(
            Row(
                weight=Weight.TOTAL,
                cells={
                    key: "All",
                    "ozt": now.here.ozt(now.here.metals[0]),
                    "cost": now.here.cost,
                    "melt": now.here.melt(),
                },
            )
        )
    return Ledger(
        caption=caption,
        columns=(
            Column(key=key, head=key.capitalize()),
            Column(key="ozt", head="Fine metal", of=Of.OUNCE, basis=now.basis),
            Column(key="part", head="Share", of=Of.PERCENT),
            Column(key="gross", head="Gross", of=Of.FIGURE, places=1, unit="g"),
            Column(key="cost", head="Cost", of=Of.MONEY),
            Column(key="melt", head="Melt", of=Of.MONEY),
        ),
        rows=rows,
        empty="Nothing is held.",
    )


def _kinds(visit: Visit, now: Summary) -> Ledger:
    return Ledger(
        caption="By kind",
        columns=(
            Column(key="kind", head="Kind"),
            Column(key="much", head="How much"),
            Column(key="ozt", head="Fine metal", of=Of.OUNCE),
            Column(key="cost", head="Cost", of=Of.MONEY),
            Column(key="melt", head="Melt", of=Of.MONEY),
        ),
        rows=[_kind_row(visit, now, line) for line in now.here.kinds()],
        empty="Nothing is held.",
    )


def _kind_row(visit: Visit, now: Summary, line: KindWorth) -> Row:
    much = [f"{figure(line.count)} pieces"] if line.count is not None else []
    much += [f"{plain(line.face)} face"] if line.face is not None else []
    if line.weighed_g:
        much.append(f"{figure(line.weighed_g, 1)} g weighed")
    return Row(
        cells={
            "kind": Cell(value=line.kind.name, href=_kind_href(visit, line.kind.slug)),
            "much": ", ".join(much),
            "ozt": Cell(value=line.ozt, basis=line.basis),
            "cost": line.cost if line.cost or not line.uncosted_ozt else None,
            "melt": line.melt,
        },
        note=f"{line.heaps} heap{'s' if line.heaps > 1 else ''}",
        worked=Worked(steps=_steps(now, line)),
    )


def _steps(now: Summary, line: KindWorth) -> list[Step]:
    kind = line.kind
    steps = [
        Step(
            what="fine weight, unworn",
            result=ounces(line.unworn, Basis.UNWORN),
            how=_specification(kind),
            whence=f"{kind.source}: {kind.evidence.sentence}",
        ),
        Step(what="fine weight, by trade count", result=ounces(line.trade, Basis.TRADE), how=_convention(kind)),
    ]
    if line.basis is Basis.SCALE:
        how = f"{figure(line.weighed_g, 1)} g x {plain(kind.fineness * kind.share_low)} / 31.1034768 g"
        steps.append(Step(what="fine weight, by scale", result=ounces(line.ozt, Basis.SCALE), how=how))
    stamp = now.stamps.get(kind.metal)
    if stamp is not None and line.melt is not None:
        steps.append(
            Step(
                what="melt",
                result=figure(line.melt, 2),
                how=f"{figure(line.ozt, 4)} ozt by {line.basis.value} x {plain(stamp.per_ozt)}",
                whence=f"{stamp.whose}: {stamp.note}",
            )
        )
    return steps


def _kind_href(visit: Visit, slug: str) -> str:
    return visit.path_to("kind", slug=slug)


def _specification(kind: Kind) -> str:
    if kind.gross_g is not None:
        return f"{plain(kind.gross_g)} g a piece x {plain(kind.fineness)} / 31.1034768 g"
    if kind.fine_ozt_per_face is not None:
        return f"{plain(to_places(kind.fine_ozt_per_face, 6))} ozt a face dollar"
    return "held by weight"


def _convention(kind: Kind) -> str:
    if kind.trade_ozt_per_face is not None:
        return f"{plain(kind.trade_ozt_per_face)} ozt a face dollar, the worn-coin convention of the trade"
    if kind.trade_ozt is not None:
        return f"{plain(kind.trade_ozt)} ozt a piece, as the trade counts it"
    return "the trade has no convention here: as struck"


def _picture(visit: Visit, now: Summary) -> Picture | None:
    shares = now.here.by_form("XAG")
    if not shares:
        return None
    slices = [
        Slice(
            name=FORM_WORDS.get(share.name, share.name),
            percent=share.part * 100,
            words=f"{percent(share.part * 100, 1)}, {figure(share.ozt, 1)} ozt",
        )
        for share in shares
        if share.ozt
    ]
    words = "; ".join(f"{one.name} {one.words}" for one in slices)
    return visit.picture(
        partial(share_bar, slices),
        alt=f"Share of fine silver by form: {words}.",
        caption=f"Each reed is one per cent of the fine silver held, {_basis_words(now.basis)}.",
        size=(640, 46 + 22 * len(slices)),
    )


def _basis_words(basis: Basis) -> str:
    return dict(BASES)[basis.value]


def _lots(visit: Visit, lots: Sequence[LotLine], basis: Basis) -> Ledger:
    return Ledger(
        caption="Lots, newest first",
        columns=(
            Column(key="lot", head="Lot"),
            Column(key="acquired", head="Acquired", of=Of.DATE),
            Column(key="goods", head="Goods"),
            Column(key="face", head="Face held", of=Of.FIGURE),
            Column(key="ozt", head="Fine metal", of=Of.OUNCE, basis=basis),
            Column(key="cost", head="Cost", of=Of.MONEY),
        ),
        rows=[
            Row(
                cells={
                    "lot": Cell(value=line.lot.name, href=visit.path_to("lot", lot=line.lot.name)),
                    "acquired": line.lot.acquired,
                    "goods": say_goods(line.lot.kind, "", visit.kit.catalog()),
                    "face": line.face,
                    "ozt": line.ozt,
                    "cost": line.cost,
                },
                note="on its way" if line.lot.awaited else line.lot.seller,
                weight=Weight.QUIET if line.lot.awaited else Weight.PLAIN,
            )
            for line in lots
        ],
        empty="No lot is held. Book a purchase, or weigh an offer first.",
    )


def lot(visit: Visit) -> Response:
    """One lot: what is left of it, what it cost, what each way out would pay for it, and what can be done with it."""
    return _lot_page(visit, visit.part("lot"))


def _lot_page(visit: Visit, name: str, status: int = 200) -> Response:
    kit = visit.kit
    line = lot_line(kit, name)
    ways = lot_ways(kit, name)
    return visit.page(
        "lot.html",
        stage="holdings",
        status=status,
        line=line,
        ordered=say_amount(line.lot.ordered),
        goods=say_goods(line.lot.kind, "", kit.catalog()),
        heaps=_heaps(visit, line.heaps),
        names=[(heap_name(held.heap), f"{_heap_words(visit, held.heap)}") for held in line.heaps],
        ways=Ledger(
            caption="What each way out would pay for it today",
            columns=(
                Column(key="exit", head="Way out"),
                Column(key="net", head="Net", of=Of.MONEY),
                Column(key="melt", head="Of trade melt", of=Of.PERCENT),
            ),
            rows=[
                Row(
                    cells={
                        "exit": way.exit.name,
                        "net": way.net if way.paid else None,
                        "melt": None if way.of_melt is None else way.of_melt * 100,
                    },
                    note=f"no bid for {', '.join(way.unsold)}" if way.unsold else "",
                )
                for way in ways
            ],
            empty="No way out has been set down yet.",
        ),
        since=since(line.lot.origin),
        constant=lot_in_constant(kit, line.lot),
        said=visit.asked("said") or said(visit),
    )


def _heap_words(visit: Visit, heap: Heap) -> str:
    place = f" at {heap.place}" if heap.place else ""
    return f"{say_amount(heap.amount)} of {say_goods(heap.kind, heap.issue, visit.kit.catalog())}{place}"


def _heaps(visit: Visit, heaps: Sequence[HeapLine]) -> Ledger:
    return Ledger(
        caption="What is held of it",
        columns=(
            Column(key="goods", head="Heap"),
            Column(key="much", head="How much"),
            Column(key="trade", head="Trade count", of=Of.OUNCE, basis=Basis.TRADE),
            Column(key="unworn", head="Unworn", of=Of.OUNCE, basis=Basis.UNWORN),
            Column(key="scale", head="By scale", of=Of.OUNCE, basis=Basis.SCALE),
            Column(key="cost", head="Cost", of=Of.MONEY),
        ),
        rows=[
            Row(
                cells={
                    "goods": Cell(
                        value=say_goods(line.heap.kind, line.heap.issue, visit.kit.catalog()),
                        href=_kind_href(visit, line.heap.kind) if line.kind is not None else "",
                    ),
                    "much": say_amount(line.heap.amount),
                    "trade": None if line.ounces is None else line.ounces.trade,
                    "unworn": None if line.ounces is None else line.ounces.unworn,
                    "scale": None if line.ounces is None else line.ounces.scale,
                    "cost": line.heap.basis if line.heap.cost_known else None,
                },
                note=f"at {line.heap.place}" if line.heap.place else "place not told",
            )
            for line in heaps
        ],
        empty="All of it has left the book.",
    )


def move(visit: Visit) -> Response:
    """Book a move of a heap of this lot."""
    stored = visit.form.attempt(records.move, visit.kit, visit.form.fields)
    if stored is None:
        return _lot_page(visit, visit.part("lot"), status=400)
    said = f"Entry {stored.serial}: moved to {visit.form.text('to')}."
    return visit.goto("lot", lot=visit.part("lot"), asking={"said": said})


routes = [
    shown("/holdings", page, name="holdings"),
    shown("/holdings/lots/{lot}", lot, name="lot"),
    done("/holdings/lots/{lot}/move", move, name="lot.move"),
]
