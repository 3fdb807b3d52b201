"""Selling: by a rule or heap by heap, shown with basis, gain and term beside first in, first out, and then booked."""

from collections.abc import Sequence

from starlette.responses import Response

from ninefine.desk.amounts import say_amount
from ninefine.desk.exits import exit_names
from ninefine.desk.heaps import say_goods, say_heap
from ninefine.desk.reminders import for_sale, words
from ninefine.desk.sale import RULE_WORDS, RULES, SalePlan, SaleRow, first_in_beside, read_sale, sell
from ninefine.desk.sale_compare import Way, compare_ways
from ninefine.desk.sellable import Sellable, named_heaps, sellable
from ninefine.errors import BookError, Fault, Faults, InputError
from ninefine.web.format import figure, money, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Value, Weight
from ninefine.web.pages.asked import first_of, turned
from ninefine.web.pages.booked import lead_on
from ninefine.web.pages.rows import lift, row_numbers
from ninefine.web.visit import Visit, done, shown

#: Heaps to choose from on one page.
A_PAGE = 25
#: Parts of a sale that are shown one by one; any more are counted.
MOST_SHOWN = 60
_RULES = tuple((rule, RULE_WORDS[rule]) for rule in RULES)


def page(visit: Visit) -> Response:
    """The form: an amount by a rule, or heaps chosen one by one."""
    how = "chosen" if visit.asked("how") == "chosen" else "rule"
    starting = {"on": visit.kit.today().isoformat(), "exit": next(iter(exit_names(visit.kit)), "")}
    starting["rule"] = next(iter(RULES))
    starting |= {name: visit.asked(name) for name in ("lot", "kind", "amount") if visit.asked(name)}
    visit.form = Form(starting=starting)
    first = first_of(visit)
    heaps: Sequence[Sellable] = ()
    if how == "chosen":
        lot, kind = visit.asked("lot"), visit.asked("kind")
        heaps = visit.form.attempt(sellable, visit.kit, lot=lot, kind=kind, first=first, most=A_PAGE + 1) or ()
    return _sheet(visit, how, heaps[:A_PAGE], first=first, more=len(heaps) > A_PAGE)


def sell_it(visit: Visit) -> Response:
    """Show the sale, go back to change it, or book it."""
    form, how = visit.form, "chosen" if visit.form.text("how") == "chosen" else "rule"
    do = form.text("do")
    if do == "change":
        return _sheet(visit, how, _heaps_sent(visit))
    plan = form.attempt(_plan, visit, how)
    if plan is None:
        lift(form, "heap")
        return _sheet(visit, how, _heaps_sent(visit), status=400)
    if do != "book":
        return _preview(visit, how, plan)
    if form.text("serial") != str(visit.kit.holdings().serial):
        form.blame(BookError("The book has changed since this was worked out. Look at it again, then book it."))
        return _preview(visit, how, plan, status=409)
    stored = form.attempt(sell, visit.kit, plan)
    return _sheet(visit, how, _heaps_sent(visit), status=409) if stored is None else lead_on(visit, stored, "exits")


def _plan(visit: Visit, how: str) -> SalePlan:
    asked = _asked(visit.form, how)
    if not asked.get("price") and not asked.get("exit"):
        raise Faults([Fault(where="price", wrong="Give a price, or a way out whose bid is taken.")])
    if how == "rule" and not asked.get("amount"):
        raise Faults([Fault(where="amount", wrong="Say how much is to be sold: 400 face.")])
    return read_sale(visit.kit, asked)


def _asked(form: Form, how: str) -> dict[str, str]:
    """The desk's form: of the heaps shown, only those that were ticked or given an amount."""
    fields = form.trimmed
    if how == "rule":
        return fields
    taken = {number for number in _numbers(form) if form.ticked(f"take-{number}") or form.text(f"amount-{number}")}
    common = {name: text for name, text in fields.items() if name not in {"amount", "kind", "rule"}}
    return {
        name: text
        for name, text in common.items()
        if name.partition("-")[0] not in {"heap", "amount"} or name.partition("-")[2] in taken
    }


def _numbers(form: Form) -> list[str]:
    return [name.removeprefix("heap-") for name in form.values if name.startswith("heap-")]


def _heaps_sent(visit: Visit) -> tuple[Sellable, ...]:
    return named_heaps(visit.kit, tuple(visit.form.text(f"heap-{number}") for number in _numbers(visit.form)))


def _sheet(
    visit: Visit, how: str, heaps: Sequence[Sellable], *, first: int = 0, more: bool = False, status: int = 200
) -> Response:
    kept = {name: visit.form.text(name) for name in ("lot", "kind") if visit.form.text(name)}
    catalog = visit.kit.catalog()
    return visit.page(
        "sale.html",
        stage="exits",
        status=status if visit.form.ok else max(status, 400),
        how=how,
        rules=_RULES,
        exits=[*((name, name) for name in exit_names(visit.kit)), ("", "none of these")],
        rows=[
            (
                number,
                one.name,
                f"{say_amount(one.heap.amount)} of {say_heap(one.heap, catalog)}",
                _about(one),
            )
            for number, one in zip(row_numbers(visit.form, "heap", [one.name for one in heaps]), heaps, strict=True)
        ],
        newer=turned(visit, "sale", first - A_PAGE, how=how, **kept) if first else "",
        older=turned(visit, "sale", first + A_PAGE, how=how, **kept) if more else "",
    )


def _about(one: Sellable) -> str:
    held = "over a year" if one.long else "a year or less"
    since = one.acquired.isoformat() if one.acquired else "nobody knows since when"
    cost = f"cost {money(one.heap.basis)}" if one.heap.cost_known else "nobody knows what it cost"
    return f"{since}, held {held}; {cost}"


def _preview(visit: Visit, how: str, plan: SalePlan, status: int = 200) -> Response:
    try:
        beside: SalePlan | None = first_in_beside(visit.kit, _asked(visit.form, how), plan)
        why_not = ""
    except (InputError, BookError) as error:
        beside, why_not = None, str(error)
    same = beside is not None and beside.rows == plan.rows
    ways = compare_ways(visit.kit, _asked(visit.form, how))
    return visit.page(
        "sale_preview.html",
        stage="exits",
        status=status,
        plan=plan,
        beside=None if same else beside,
        same=same,
        why_not=why_not,
        rows=_rows(visit, plan, f"What would be sold: {plan.entry.rule}"),
        beside_rows=None if beside is None or same else _rows(visit, beside, "The same, first in, first out"),
        ways=_ways(visit, ways),
        taxed=any(way.tax is not None for way in ways),
        reminders=[words(one) for one in for_sale(visit.kit, plan)],
        serial=visit.kit.holdings().serial,
        sent=[(name, text) for name, text in visit.form.fields.items() if name not in {"do", "serial"}],
        short=any(row.term == "short" for row in plan.rows),
    )


def _ways(visit: Visit, ways: Sequence[Way]) -> Ledger:
    """The same sale by every way of choosing lots and of counting their cost; tax and what is kept at typed rates."""
    unit = visit.kit.journal.currency
    columns = [
        Column(key="way", head="Way"),
        Column(key="basis", head="Basis", of=Of.MONEY, unit=unit),
        Column(key="gain", head="Gain", of=Of.MONEY, unit=unit, signed=True),
        Column(key="short", head="Short term", of=Of.MONEY, unit=unit, signed=True),
        Column(key="long", head="Long term", of=Of.MONEY, unit=unit, signed=True),
    ]
    if any(way.tax is not None for way in ways):
        columns.append(Column(key="tax", head="Tax at your rates", of=Of.MONEY, unit=unit))
        columns.append(Column(key="kept", head="Kept", of=Of.MONEY, unit=unit))
    return Ledger(caption="The same sale by every way", columns=columns, rows=[_way_row(way) for way in ways])


def _way_row(way: Way) -> Row:
    if way.plan is None:
        return Row(cells={"way": way.words}, note=way.why, weight=Weight.QUIET)
    cells: dict[str, Value] = {
        "way": way.words,
        "basis": way.plan.basis,
        "gain": way.plan.gain,
        "short": way.short,
        "long": way.long,
        "tax": way.tax,
        "kept": way.kept,
    }
    untold = "part of it has no term or cost that anybody knows" if way.untold or way.plan.untold else ""
    asked = "as asked for" if way.asked else ""
    return Row(cells=cells, note="; ".join(note for note in (asked, untold) if note))


def _rows(visit: Visit, plan: SalePlan, caption: str) -> Ledger:
    unit = visit.kit.journal.currency
    rows = [_row(visit, row) for row in plan.rows[:MOST_SHOWN]]
    if len(plan.rows) > MOST_SHOWN:
        more = f"and {plural(len(plan.rows) - MOST_SHOWN, 'part more', 'parts more')}"
        rows.append(Row(cells={"lot": more}, note="in the sum below, and booked with the rest", weight=Weight.QUIET))
    total: dict[str, Value] = {
        "lot": "All",
        "proceeds": plan.proceeds,
        "fees": plan.fees,
        "basis": plan.basis,
        "gain": plan.gain,
    }
    rows.append(Row(cells=total, weight=Weight.TOTAL))
    return Ledger(
        caption=caption,
        columns=(
            Column(key="lot", head="Lot"),
            Column(key="goods", head="What"),
            Column(key="acquired", head="Acquired", of=Of.DATE),
            Column(key="proceeds", head="Proceeds", of=Of.MONEY, unit=unit),
            Column(key="fees", head="Fees", of=Of.MONEY, unit=unit),
            Column(key="basis", head="Basis", of=Of.MONEY, unit=unit),
            Column(key="gain", head="Gain", of=Of.MONEY, unit=unit, signed=True),
            Column(key="term", head="Term"),
        ),
        rows=rows,
    )


def _row(visit: Visit, row: SaleRow) -> Row:
    per_face = row.basis_per_face
    each = "" if per_face is None else f"{figure(per_face, 2)} a face dollar"
    return Row(
        cells={
            "lot": Cell(value=row.lot, href=visit.path_to("lot", lot=row.lot)),
            "goods": f"{row.amount_words} of {say_goods(row.heap.kind, row.heap.issue, visit.kit.catalog())}",
            "acquired": row.acquired,
            "proceeds": row.proceeds,
            "fees": row.fees,
            "basis": Cell(value=row.basis, note=each) if row.cost_known else None,
            "gain": row.gain,
            "term": row.term,
        },
        note="" if row.cost_known else "nobody knows what it cost",
    )


routes = [shown("/sale", page, name="sale"), done("/sale", sell_it, name="sale.book")]
