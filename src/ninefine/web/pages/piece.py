"""One piece laid aside: its worth by each way out, the verdict and the reason; looked at again, pulled, forgotten."""

from collections.abc import Sequence

from starlette.responses import Response

from ninefine.book.chain import Stored
from ninefine.catalog.kinds import Basis
from ninefine.desk.heaps import heap_name, say_heap
from ninefine.desk.pieces import Where, laid_named, look_again, looked_at_fields, say_piece, strike
from ninefine.desk.records import metal_name
from ninefine.desk.triage import answer, pull, stamp_or_none
from ninefine.web.format import money, ounces, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.booked import BOOKED, lead_on, said
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.collectors import CollectorSale
from ninefine.worth.verdict import Triaged


def page(visit: Visit) -> Response:
    """One piece."""
    label = visit.asked("label")
    visit.form = Form(starting={**looked_at_fields(laid_named(visit.kit, label)), "on": visit.kit.today().isoformat()})
    return _page(visit, label)


def _page(visit: Visit, label: str, status: int = 200) -> Response:
    one = answer(visit.kit, label)
    return visit.page(
        "piece.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "triage"),
        said=said(visit),
        one=one,
        stamp=stamp_or_none(visit.kit, one.laid.kind.metal),
        metal_name=metal_name(one.laid.kind.metal),
        words=say_piece(visit.kit, one.laid),
        lies=say_heap(one.laid.held or one.laid.heap, visit.kit.catalog()),
        on_table=one.laid.where is Where.TABLE,
        pulled=one.laid.where is Where.PULLED,
        metal=_metal(visit, one.found) if one.found is not None else None,
        sales=_sales(visit, one.found) if one.found is not None else None,
        worked=_worked(one.found) if one.found is not None and one.found.collected is not None else None,
        many=one.laid.count > 1,
        heap=heap_name(one.laid.held) if one.laid.held is not None else "",
    )


def _metal(visit: Visit, found: Triaged) -> Ledger:
    fine, stamp = found.metal.fine, stamp_or_none(visit.kit, found.piece.kind.metal)
    rows = [
        Row(
            cells={"way": "Its metal", "melt": found.metal.melt, "face": found.metal.face},
            note="what the metal is; nobody need pay it",
            worked=Worked(
                steps=(
                    Step(
                        what="fine metal",
                        result=ounces(fine.ozt, fine.basis),
                        how="as weighed" if fine.basis is Basis.SCALE else "by the trade's count",
                    ),
                    Step(
                        what="at the price on record",
                        result=money(None if stamp is None else stamp.per_ozt),
                        whence="" if stamp is None else f"{stamp.whose}: {stamp.note}",
                    ),
                )
            ),
        ),
        *(
            Row(cells={"way": bid.exit.name, "bid": bid.net}, note="for one more piece in a heap")
            for bid in found.metal.bids
        ),
    ]
    unit = visit.kit.journal.currency
    face = (Column(key="face", head="Face", of=Of.MONEY),) if found.metal.face is not None else ()
    return Ledger(
        caption="As metal, in its heap",
        columns=(
            Column(key="way", head="By"),
            Column(key="melt", head="Melt", of=Of.MONEY, unit=unit),
            Column(key="bid", head="Bid", of=Of.MONEY, unit=unit),
            *face,
        ),
        rows=rows,
    )


def _sales(visit: Visit, found: Triaged) -> Ledger:
    sales: Sequence[CollectorSale] = found.collected.sales if found.collected is not None else ()
    return Ledger(
        caption="To a collector, by each way out: what would reach your pocket",
        columns=(
            Column(key="way", head="Way out"),
            Column(key="low", head="Low", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="mid", head="Middle", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="high", head="High", of=Of.MONEY, unit=visit.kit.journal.currency),
        ),
        rows=[_sale(sale) for sale in sales],
        empty=found.unpriced or "No way out to collectors is set down.",
    )


def _sale(sale: CollectorSale) -> Row:
    steps = [
        Step(
            what=line.words,
            result=" / ".join(money(end, signed=True) for end in (line.amount.low, line.amount.mid, line.amount.high)),
        )
        for line in sale.lines
    ]
    return Row(
        cells={"way": sale.exit.name, "low": sale.net.low, "mid": sale.net.mid, "high": sale.net.high},
        note="" if sale.taken else "takes no piece that brings so little",
        weight=Weight.PLAIN if sale.taken else Weight.QUIET,
        worked=Worked(steps=steps, title="How worked out: low / middle / high"),
    )


def _worked(found: Triaged) -> Worked:
    """How the sheet's price came about."""
    assert found.collected is not None
    price = found.collected.price
    steps = [Step(what="an end of its band", result="", how=words) for words in price.worked]
    sound = f"{money(price.worth.low)}, {money(price.worth.mid)}, {money(price.worth.high)}"
    whence = f"{price.curve.sheet}, {price.curve.on}, {plural(price.age, 'day')} old"
    steps.append(Step(what="a sound piece: low, middle, high", result=sound, whence=whence))
    if found.collected.share:
        worth = found.collected.worth
        own = f"{money(worth.low)}, {money(worth.mid)}, {money(worth.high)}"
        steps.append(Step(what="this piece", result=own, how=found.collected.share, whence="your own shares"))
    return Worked(steps=steps, title="How the sheet's price was worked out")


def again(visit: Visit) -> Response:
    """Say anew what a piece is like."""
    return _done(visit, visit.form.attempt(look_again, visit.kit, visit.form.fields))


def pull_it(visit: Visit) -> Response:
    """Pull a piece: it becomes a heap of its own."""
    return _done(visit, visit.form.attempt(pull, visit.kit, visit.form.fields))


def _done(visit: Visit, stored: Stored | None) -> Response:
    label = visit.form.text("label")
    if stored is None:
        form = visit.form
        if form.fault("label"):  # the label is sent and not shown: its fault stands above the form
            form.general.append(form.faults.pop("label"))
        return _page(visit, label, status=400)
    return visit.goto("piece", asking={"label": label, BOOKED: str(stored.serial)})


def forget(visit: Visit) -> Response:
    """Forget that a piece was laid aside; where it lies does not change."""
    return lead_on(visit, strike(visit.kit, visit.form.text("label")), "triage")


routes = [
    shown("/sorting/triage/piece", page, name="piece"),
    done("/sorting/triage/piece", again, name="piece.again"),
    done("/sorting/triage/pull", pull_it, name="piece.pull"),
    done("/sorting/triage/strike", forget, name="piece.strike"),
]
