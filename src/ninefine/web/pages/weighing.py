"""Weighing heaps: what each should weigh stands beside the field for what the scale says."""

from starlette.responses import Response

from ninefine.desk import arrivals as desk
from ninefine.desk.amounts import say_amount
from ninefine.desk.heaps import say_heap
from ninefine.desk.scale import ToWeigh, to_weigh, to_weigh_again
from ninefine.measure.numbers import read_reference
from ninefine.web.format import figure
from ninefine.web.forms import Form
from ninefine.web.pages.asked import first_of, turned
from ninefine.web.pages.booked import lead_on
from ninefine.web.pages.rows import lift, names_sent, row_numbers
from ninefine.web.visit import Visit, done, shown

#: Heaps on one page: as many as one weighs in a sitting.
A_SITTING = 20


def page(visit: Visit) -> Response:
    """Heaps that were not weighed yet, or every heap of one lot."""
    visit.form = Form(starting={"on": visit.kit.today().isoformat()})
    return _sheet(visit, visit.asked("lot"), first_of(visit))


def weigh_it(visit: Visit) -> Response:
    """Book the weights."""
    stored = visit.form.attempt(desk.weigh, visit.kit, visit.form.fields)
    if stored is not None:
        return lead_on(visit, stored, "arrivals")
    lift(visit.form, "heap")
    first = read_reference(visit.form.text("first")) or 0
    return _sheet(visit, visit.form.text("of"), first, status=400)


def _sheet(visit: Visit, lot: str, first: int, status: int = 200) -> Response:
    sent = tuple(names_sent(visit.form, "heap"))
    heaps = to_weigh_again(visit.kit, sent) or to_weigh(visit.kit, lot=lot, first=first, most=A_SITTING)
    numbers = row_numbers(visit.form, "heap", [heap.name for heap in heaps])
    waiting = len(desk.weighable(visit.kit))
    return visit.page(
        "weigh.html",
        stage="arrivals",
        status=status,
        lot=lot,
        first=first,
        waiting=waiting,
        rows=[
            (number, heap.name, _words(visit, heap), _should(heap)) for number, heap in zip(numbers, heaps, strict=True)
        ],
        newer="" if lot or not first else turned(visit, "weigh", first - A_SITTING),
        older="" if lot or first + A_SITTING >= waiting else turned(visit, "weigh", first + A_SITTING),
    )


def _words(visit: Visit, one: ToWeigh) -> str:
    return f"{say_amount(one.heap.amount)} of {say_heap(one.heap, visit.kit.catalog())}"


def _should(one: ToWeigh) -> str:
    if one.unworn_g is None or one.trade_g is None:
        return "No set weight: the scale alone decides."
    words = f"{figure(one.unworn_g, 1)} g as struck"
    if one.trade_g < one.unworn_g:
        words += f", {figure(one.trade_g, 1)} g by the trade's count"
    return words


routes = [shown("/arrivals/weigh", page, name="weigh"), done("/arrivals/weigh", weigh_it, name="weigh.book")]
