"""Selling: shown with basis, gain and term beside first in, first out; booked only as shown."""

import re
from datetime import date
from decimal import Decimal
from html import unescape

import pytest

from ninefine.book.came import Opened, OpenedLine
from ninefine.book.entries import Amount, Sold
from ninefine.desk import purchase, records
from ninefine.desk.book_settings import settle
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

D = Decimal
#: Harbor Lane, the published household: four lots of 90% coin, and a shop that pays 95% of trade melt at 66.00.
LOTS: tuple[tuple[str, str, str, dict[str, str]], ...] = (
    ("2019-03-11", "300", "11.20x", {}),
    ("2020-03-23", "100", "14.90x", {"carriage": "18.00"}),
    ("2021-02-08", "200", "24.10x", {"surcharge": "168.70"}),
    ("2025-11-14", "150", "38.50x", {}),
)
RULED = {"how": "rule", "on": "2026-06-12", "kind": "90%", "amount": "400 face", "price": "44.83x"}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    for on, face, price, more in LOTS:
        purchase.buy(made, {"on": on, "kind-1": "90%", "amount-1": f"{face} face", "price-1": price, **more})
    records.price(made, {"on": "2026-06-12", "per_ozt": "66.00", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "95% of melt", "capacity": "300 face"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def again(html: str, do: str) -> dict[str, str]:
    """The form that a preview sends back, by one of its two buttons."""
    sent = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', html)
    return {unescape(name): unescape(value) for name, value in sent if name not in {"form_key", "back"}} | {"do": do}


def test_a_sale_by_highest_basis_stands_beside_first_in_first_out(kit: Kit, house: Caller) -> None:
    """Harbor Lane, scenario 3: gains of 6,414.30 by highest basis and 13,064.00 first in, first out."""
    before = entries(kit)
    answer = house.post("/sale", {**RULED, "rule": "highest-basis", "do": "show"})
    page = text_of(answer.text)

    assert answer.status_code == 200
    assert "It would bring 17,932.00; the pieces cost 11,517.70, so the gain is 6,414.30" in page
    assert "First in, first out, the gain would be 13,064.00" in page
    for figure in ("6,724.50", "5,775.00", "+949.50", "short", "+3,977.30", "+1,487.50", "24.94 a face dollar"):
        assert figure in page
    for figure in ("13,449.00", "3,360.00", "+10,089.00", "+2,975.00"):
        assert figure in page
    assert "Some were held for a year or less" in page
    assert "ninefine reminds, it never decides" in page
    assert entries(kit) == before


def test_long_term_only_leaves_the_young_lot_alone(house: Caller) -> None:
    """Harbor Lane, scenario 3: long-term only, highest basis first, a gain of 10,315.30."""
    page = text_of(house.post("/sale", {**RULED, "rule": "long-highest-basis", "do": "show"}).text)

    assert "so the gain is 10,315.30" in page
    assert "Some were held for a year or less" not in page


def test_first_in_first_out_itself_has_nothing_beside_it(house: Caller) -> None:
    page = text_of(house.post("/sale", {**RULED, "rule": "first-in", "do": "show"}).text)

    assert "so the gain is 13,064.00" in page
    assert "would take the very same pieces" in page


def test_what_is_booked_is_what_was_shown(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    shown = house.post("/sale", {**RULED, "rule": "highest-basis", "buyer": "the shop", "do": "show"}).text
    answer = house.post("/sale", again(shown, "book"))

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    entry = kit.journal.records()[-1].entry
    assert isinstance(entry, Sold)
    assert (entry.rule, entry.buyer) == ("highest basis first", "the shop")
    assert [line.heap.lot for line in entry.lines] == ["L4", "L3", "L2"]
    assert sum((one.gain or D(0) for one in kit.holdings().disposals), D(0)) == D("6414.30")
    assert "was booked. Sold to the shop (highest basis first)" in text_of(house.get(answer.headers["location"]).text)


def test_a_book_that_has_changed_meanwhile_is_shown_again(kit: Kit, house: Caller) -> None:
    shown = house.post("/sale", {**RULED, "rule": "highest-basis", "do": "show"}).text
    records.price(kit, {"on": "2026-06-12", "per_ozt": "60.00"})
    before = entries(kit)
    answer = house.post("/sale", again(shown, "book"))

    assert answer.status_code == 409
    assert "The book has changed since this was worked out" in text_of(answer.text)
    assert entries(kit) == before


def test_a_preview_leads_back_to_the_form_as_it_was(house: Caller) -> None:
    shown = house.post("/sale", {**RULED, "rule": "highest-basis", "do": "show"}).text
    form = house.post("/sale", again(shown, "change"))

    assert form.status_code == 200
    assert 'value="400 face"' in form.text
    assert 'value="highest-basis" checked' in form.text


def test_heaps_are_chosen_one_by_one(kit: Kit, house: Caller) -> None:
    form = house.get("/sale?how=chosen").text
    assert form.count('name="take-') == 4
    assert "2025-11-14, held a year or less; cost 5,775.00" in text_of(form)
    typed = {"how": "chosen", "on": "2026-06-12", "exit": "the shop", "do": "show"}
    typed |= {"heap-1": "L1/us-90", "amount-1": "", "heap-2": "L4/us-90", "take-2": "yes", "amount-2": ""}
    typed |= {"heap-3": "L3/us-90", "amount-3": "50 face"}
    shown = house.post("/sale", typed).text
    page = text_of(shown)

    assert "What would be sold: chosen" in page
    assert "8,966.10" in page  # 200 face at 0.715 x 66 x 0.95
    assert "First in, first out, the gain would be" in page
    booked = house.post("/sale", again(shown, "book"))
    assert booked.status_code == 303
    held = kit.holdings().lots
    assert held["L4"].heaps == ()
    assert held["L3"].heaps[0].face == 150
    assert held["L1"].heaps[0].face == 300


def test_heaps_may_be_asked_for_by_lot_or_kind(house: Caller) -> None:
    assert house.get("/sale?how=chosen&lot=L2").text.count('name="take-') == 1
    assert house.get("/sale?how=chosen&kind=1+oz+round").text.count('name="take-') == 0
    refused = house.get("/sale?how=chosen&lot=L77")
    assert refused.status_code == 400
    assert "There is no lot" in text_of(refused.text)


def test_the_limits_of_a_way_out_are_told(house: Caller) -> None:
    page = text_of(house.post("/sale", {**RULED, "price": "", "exit": "the shop", "do": "show"}).text)

    assert "the shop takes at once no more than 300 face; this is 400." in page


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"price": "lots", "on": "soon", "kind": "moon", "fees": "x", "spot": "0"}, {"on", "kind", "fees", "spot"}),
        ({"price": "lots"}, {"price"}),
        ({"price": ""}, {"price"}),
        ({"amount": ""}, {"amount"}),
        ({"amount": "nine"}, {"amount"}),
        ({"on": "2026-06-13"}, {"on"}),
    ],
)
def test_each_fault_of_a_sale_stands_under_its_field(
    kit: Kit, house: Caller, changed: dict[str, str], fields: set[str]
) -> None:
    before = entries(kit)
    typed = {**RULED, "rule": "first-in", "exit": "", "fees": "", "spot": "", **changed, "do": "book"}
    answer = house.post("/sale", typed)

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields
    assert entries(kit) == before


def test_more_than_is_held_is_refused_above_the_form(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    answer = house.post("/sale", {**RULED, "amount": "4000 face", "rule": "first-in", "do": "show"})
    none = house.post(
        "/sale", {"how": "chosen", "on": "2026-06-12", "price": "44x", "heap-1": "L1/us-90", "do": "show"}
    )

    assert answer.status_code == 400
    assert "holds 750" in text_of(answer.text)
    assert none.status_code == 400
    assert "Say which heap" in text_of(none.text)
    assert entries(kit) == before


def test_pieces_of_which_nobody_knows_the_cost_are_in_no_gain(kit: Kit, house: Caller) -> None:
    line = OpenedLine(lot="old", kind="us-90", amount=Amount(face=D(10)))
    kit.journal.append(Opened(on=date(2026, 6, 1), lines=(line,)))
    form = text_of(house.get("/sale?how=chosen&lot=old").text)
    typed = {"how": "chosen", "on": "2026-06-12", "price": "44x", "do": "show"}
    shown = house.post("/sale", {**typed, "heap-1": "old/us-90", "heap-2": "L4/us-90", "take-1": "y", "take-2": "y"})

    assert "nobody knows what it cost" in form
    page = text_of(shown.text)
    assert "Of lot old nobody knows the cost: what they bring is in no gain" in page
    assert "so the gain is 825.00" in page  # 150 face of L4 alone, at 44.00 against 38.50
    assert house.get("/exits/lot?lot=old").status_code == 200


def test_a_sale_of_very_many_lots_is_shown_in_part_and_summed_in_whole(kit: Kit, house: Caller) -> None:
    for _ in range(70):
        purchase.buy(kit, {"on": "2018-01-05", "kind-1": "90%", "amount-1": "1 face", "price-1": "10x"})
    page = text_of(house.post("/sale", {**RULED, "amount": "70 face", "rule": "first-in", "do": "show"}).text)

    assert "and 10 parts more" in page
    assert "It would bring 3,138.10; the pieces cost 700.00" in page


def test_the_same_sale_stands_by_every_way_with_tax_at_typed_rates(kit: Kit, house: Caller) -> None:
    """Harbor Lane, scenario 3: kept after tax 14,274.08, 16,098.02 and 15,043.72 at 32% short and 28% long."""
    untaxed = house.post("/sale", {**RULED, "rule": "first-in", "do": "show"}).text
    assert "Tax at your rates" not in untaxed
    assert "With your own tax rates" in text_of(untaxed)
    settle(kit, {"short_rate": "32", "long_rate": "28"})

    html = house.post("/sale", {**RULED, "rule": "first-in", "do": "show"}).text
    page = text_of(html).partition("The same sale by every way")[2]
    assert "first in, first out as asked for" in page
    for figure in ("3,657.92", "14,274.08", "1,833.98", "16,098.02", "2,888.28", "15,043.72", "average cost"):
        assert figure in page
    assert "A gain is reported by the seller" in page


def test_a_way_that_cannot_be_gone_says_why(house: Caller) -> None:
    """Only 600 face are held for long."""
    page = text_of(house.post("/sale", {**RULED, "amount": "700 face", "rule": "first-in", "do": "show"}).text)

    assert "highest basis first, long term only" in page
    assert "600" in page.partition("highest basis first, long term only")[2]


def test_a_form_with_a_foreign_key_is_refused(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    assert foreign(house, "/sale", {**RULED, "rule": "first-in", "do": "book"}) == 403
    assert entries(kit) == before
