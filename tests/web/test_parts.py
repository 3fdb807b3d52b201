"""The parts of a page as markup: ledgers, forms and their faults."""

import re
from decimal import Decimal

from ninefine.catalog.kinds import Basis
from ninefine.errors import BookError, Fault, Faults, RangeError
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.render import environment
from web.conftest import Caller

D = Decimal


def ledger_html(table: Ledger) -> str:
    """A ledger by its macro, with runs of blanks made one."""
    page = environment().from_string('{% import "parts.html" as p %}{{ p.ledger(table) }}')
    return " ".join(page.render(table=table).split())


def test_a_ledger_tells_its_rows_columns_units_and_bases_to_any_reader() -> None:
    table = Ledger(
        caption="Held",
        columns=(
            Column(key="kind", head="Kind"),
            Column(key="fine", head="Fine", of=Of.OUNCE, basis=Basis.TRADE),
            Column(key="cost", head="Cost", of=Of.MONEY, unit="USD"),
        ),
        rows=(
            Row(cells={"kind": "<dimes>", "fine": D(1), "cost": None}, note="worn"),
            Row(cells={"kind": "All", "fine": D(1)}, weight=Weight.TOTAL),
        ),
    )

    html = ledger_html(table)

    assert "<caption>Held</caption>" in html
    assert html.count('scope="col"') == 3
    assert html.count('scope="row"') == 2
    assert "&lt;dimes&gt;" in html
    assert '<span class="n">1.0000</span><span class="unit">ozt trade</span>' in html
    assert 'data-head="Cost, USD"' in html
    assert '<span class="unseen">not known</span>' in html
    assert 'class="total"' in html


def test_a_figure_can_be_opened_to_show_how_it_was_worked_out() -> None:
    worked = Worked(steps=(Step(what="Fine", how="120 face x 0.715", result="85.8", whence="convention"),))
    table = Ledger(
        caption="Held",
        columns=(Column(key="kind", head="Kind"), Column(key="face", head="Face", of=Of.MONEY)),
        rows=(Row(cells={"kind": "dimes", "face": D(120)}, worked=worked),),
    )

    html = ledger_html(table)

    assert 'colspan="2"><details class="worked">' in html
    for words in ("How worked out", "120 face x 0.715", "85.8", "convention"):
        assert words in html


def test_an_empty_ledger_says_so() -> None:
    html = ledger_html(Ledger(caption="Held", columns=(Column(key="kind", head="Kind"),), empty="No dimes yet."))

    assert "<table" not in html
    assert "No dimes yet." in html


def test_a_refused_form_comes_back_with_what_was_typed_and_every_fault_at_its_field(caller: Caller) -> None:
    typed = {"seller": 'A "B" & C', "price": "23.4q", "face": "-4", "how": "club", "note": "</textarea><b>"}

    answer = caller.post("/sheet", typed)

    assert answer.status_code == 400
    html = answer.text
    assert 'value="A &#34;B&#34; &amp; C"' in html
    assert 'value="23.4q"' in html
    assert "&lt;/textarea&gt;" in html
    assert re.search(r'value="club" checked', html)
    price = re.search(r'<input id="price".*?>', html)
    assert price is not None
    assert 'aria-invalid="true"' in price[0]
    assert 'aria-describedby="price-hint price-fault"' in price[0]
    assert 'id="price-fault"' in html
    assert re.search(r'role="alert">.*The offer ends before it begins\.', html, re.DOTALL)


def test_what_the_desk_refuses_goes_to_the_field_that_it_names() -> None:
    form = Form({"price": ["x"], "many": ["a", " b "]})

    form.blame(Faults([Fault(where="price", wrong="no price"), Fault(where="price", wrong="second")]))
    assert form.faults == {"price": "no price"}
    assert form.general == []
    form.blame(Faults([Fault(where="elsewhere", wrong="unplaced")]))
    form.blame(BookError("The book says no."))
    assert form.general == ["elsewhere: unplaced", "The book says no."]
    form.blame(RangeError("Too far."), field="price")
    assert form.faults == {"price": "no price"}
    assert not form.ok
    assert form.fields == {"price": "x", "many": " b "}
    assert form.texts("many") == ["a", "b"]
    assert (form.text("price"), form.text("none"), form.ticked("none")) == ("x", "", False)


def test_an_attempt_answers_what_was_done_or_keeps_the_fault() -> None:
    def verb(count: int, *, word: str) -> str:
        if count > 2:
            raise BookError("Too many.")
        return word * count

    form = Form()

    assert form.attempt(verb, 2, word="ab") == "abab"
    assert form.ok
    assert form.attempt(verb, 3, word="ab") is None
    assert form.general == ["Too many."]
