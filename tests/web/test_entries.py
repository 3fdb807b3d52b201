"""Entries by form: asked for, shown as they would stand, changed or booked; a fault stands under its field."""

import re
from datetime import date
from decimal import Decimal
from html import unescape

import pytest

from ninefine.book.entries import Given, Inherited, Joined, Lost, Opened, Refined, Split, Swapped, Used
from ninefine.desk import purchase, records
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

D = Decimal
HALVES, ROUNDS = "L1/us-half-90@A1", "L2/xag-generic-round-1oz@A1"

GIVEN = {"giver": "Aunt Ida", "amount-1": "10", "kind-1": "1 oz round", "basis-1": "250", "acquired-1": "2011-05-06"}
INHERITED = {"whose": "Grandfather", "died": "2025-11-20", "amount-1": "40 face", "kind-1": "90% halves"}
OPENING = {"amount-1": "200 face", "kind-1": "90%", "how-1": "", "place-1": "C3"}
SWAP = {"heap-1": HALVES, "out-1": "20 face", "for-1": "24x", "kind-1": "1 oz round", "amount-1": "15", "paid": "15"}
LOSS = {"why": "stolen", "heap-1": ROUNDS, "amount-1": "5 pieces", "value-1": "150", "paid-1": "120"}
REFINED = {"heap-1": HALVES, "take-1": "yes", "melted": "2450 g", "assay": ".899", "payable": "95", "per_ozt": "30"}
SPLIT = {"heap": HALVES, "amount": "20 pieces", "lot": "kids"}
JOIN = {"lots": "L1, L2"}
USE = {"lots": "L2", "no_longer": ""}
#: Each form: what is sent, the entry that is booked, and the lot whose page is shown then.
FORMS = {
    "given": (GIVEN, Given, "L3"),
    "inherited": (INHERITED | {"value-1": "1500"}, Inherited, "L3"),
    "opening": (OPENING, Opened, "L3"),
    "swap": (SWAP, Swapped, "L3"),
    "loss": (LOSS, Lost, "L2"),
    "refined": (REFINED, Refined, "L1"),
    "split": (SPLIT, Split, "kids"),
    "join": (JOIN, Joined, "L1"),
    "use": (USE, Used, "L2"),
}
EACH = pytest.mark.parametrize("name", FORMS)


@pytest.fixture
def kit() -> Kit:
    """A hundred face of halves and twenty rounds, bought on one day; spot 30."""
    made = kit_in_memory(today=date(2026, 6, 12))
    form = {"on": "2024-03-05", "amount-1": "100 face", "kind-1": "90% halves", "price-1": "2000", "place": "A1"}
    purchase.buy(made, form | {"amount-2": "20", "kind-2": "1 oz round", "price-2": "600"})
    records.price(made, {"per_ozt": "30.00"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def again(html: str, do: str) -> dict[str, str]:
    """The form that a preview sends back, by one of its two buttons."""
    sent = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', html)
    return {unescape(name): unescape(value) for name, value in sent if name not in {"form_key", "back"}} | {"do": do}


def shown(house: Caller, name: str, fields: dict[str, str]) -> str:
    answer = house.post(f"/entries/{name}", {"on": "2026-06-10", **fields, "do": "show"})
    assert answer.status_code == 200, text_of(answer.text)
    return answer.text


@EACH
def test_each_form_says_what_it_is_for(house: Caller, name: str) -> None:
    index = house.get("/entries").text
    page = house.get(f"/entries/{name}")

    assert f'href="/entries/{name}"' in index
    assert page.status_code == 200
    assert 'value="2026-06-12"' in page.text, "the day is filled in"
    assert "Show what would be booked" in page.text


@EACH
def test_each_is_shown_and_not_booked_and_then_booked_as_shown(kit: Kit, house: Caller, name: str) -> None:
    fields, kind, lot = FORMS[name]
    before = entries(kit)
    preview = shown(house, name, fields)
    assert entries(kit) == before
    assert "Nothing is booked yet" in preview

    booked = house.post(f"/entries/{name}", again(preview, "book"))

    assert booked.status_code == 303
    assert entries(kit) == before + 1
    assert isinstance(kit.journal.records()[-1].entry, kind)
    assert booked.headers["location"].startswith(f"/holdings/lots/{lot}?")
    next_page = text_of(house.get(booked.headers["location"]).text)
    assert f"Entry {before + 1} was booked." in next_page
    sentence = re.search(r'class="answer">(.*?)</p>', preview, re.DOTALL)
    assert sentence is not None
    assert text_of(sentence[1]) in next_page, "the sentence that was shown is the one that is said"


@EACH
def test_a_preview_leads_back_to_the_form_as_it_was(house: Caller, name: str) -> None:
    fields, _, _ = FORMS[name]
    page = house.post(f"/entries/{name}", again(shown(house, name, fields), "change"))

    assert page.status_code == 200
    for field, text in fields.items():
        if text and field not in {"why", "how-1", "no_longer", "take-1"}:
            assert f'value="{text}"' in page.text.replace("&#39;", "'"), field


@EACH
def test_a_book_that_has_changed_meanwhile_is_shown_again(kit: Kit, house: Caller, name: str) -> None:
    preview = shown(house, name, FORMS[name][0])
    records.price(kit, {"on": "2026-06-12", "per_ozt": "31.00"})
    before = entries(kit)
    answer = house.post(f"/entries/{name}", again(preview, "book"))

    assert answer.status_code == 409
    assert "The book has changed since this was worked out" in text_of(answer.text)
    assert entries(kit) == before


@EACH
def test_a_form_with_a_foreign_key_is_refused(kit: Kit, house: Caller, name: str) -> None:
    before = entries(kit)

    assert foreign(house, f"/entries/{name}", {**FORMS[name][0], "do": "book"}) == 403
    assert entries(kit) == before


@pytest.mark.parametrize(
    ("name", "fields", "at_fault"),
    [
        ("given", GIVEN | {"on": "soon", "amount-1": "ten"}, {"on", "amount-1"}),
        ("given", GIVEN | {"basis-1": "dear", "acquired-1": "2027-01-01"}, {"basis-1", "acquired-1"}),
        ("inherited", INHERITED | {"died": "", "valued_on": "2025-01-01"}, {"died"}),
        ("inherited", INHERITED | {"valued_on": "2025-01-01"}, {"valued_on"}),
        ("opening", OPENING | {"kind-1": "moon", "cost-1": "x"}, {"kind-1"}),
        ("opening", OPENING | {"cost-1": "x", "acquired-1": "then"}, {"cost-1", "acquired-1"}),
        ("swap", SWAP | {"for-1": "x", "received": "y"}, {"for-1", "received"}),
        ("swap", SWAP | {"paid": "15", "for-1": "480", "value-1": "300"}, {"for-1"}),
        ("loss", LOSS | {"why": "given away"}, {"paid-1"}),
        ("loss", LOSS | {"value-1": "x", "amount-1": "some"}, {"amount-1", "value-1"}),
        ("refined", REFINED | {"assay": "", "melted": "much", "proceeds": ""}, {"melted", "proceeds"}),
        ("refined", REFINED | {"assay": "much", "per_ozt": "0"}, {"assay", "per_ozt"}),
        ("split", SPLIT | {"amount": "some"}, {"amount"}),
        ("join", {"lots": "L1"}, {"lots"}),
        ("use", {"lots": "L9", "on": "2030-01-01"}, {"lots", "on"}),
    ],
)
def test_each_fault_stands_under_its_field_and_nothing_is_booked(
    kit: Kit, house: Caller, name: str, fields: dict[str, str], at_fault: set[str]
) -> None:
    before = entries(kit)
    answer = house.post(f"/entries/{name}", {"on": "2026-06-10", **fields, "do": "book"})

    assert answer.status_code == 400
    assert faults_of(answer.text) == at_fault
    assert entries(kit) == before


def test_what_the_book_refuses_is_said_above_the_form(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    too_many = house.post("/entries/loss", {**LOSS, "amount-1": "50 pieces", "do": "show"})
    taken = house.post("/entries/given", {**GIVEN, "lot-1": "L1", "do": "show"})

    assert (too_many.status_code, taken.status_code) == (400, 400)
    assert "holds 20 pieces" in text_of(too_many.text)
    assert "L1" in text_of(taken.text)
    assert entries(kit) == before


def test_a_gift_shows_both_of_its_bases(house: Caller) -> None:
    """Worth less on the day than its giver paid: two bases (26 CFR 1.1015-1(a))."""
    page = text_of(shown(house, "given", GIVEN | {"value-1": "240"}))

    assert "Basis for a loss" in page
    assert "250.00 240.00" in page
    assert "Basis for a loss" not in text_of(shown(house, "given", GIVEN | {"value-1": "300"}))


def test_a_quote_is_struck_on_the_price_of_the_day_of_death(house: Caller) -> None:
    """40 face of halves at the trade's 0.715 and the mean of November 2025 (World Bank), 50.35: 1,440.01."""
    page = text_of(shown(house, "inherited", INHERITED | {"value-1": "100% of melt"}))

    assert "struck on" in page
    assert "monthly average" in page


def test_a_swap_shows_the_gain_on_what_went(house: Caller) -> None:
    """20 face of 100 that cost 2,000 went for 24 times face: 480 against 400; 15 in cash makes the rest."""
    page = text_of(shown(house, "swap", SWAP))

    assert "counted for 480.00" in page
    assert "480.00 400.00 +80.00 long" in page
    assert "495.00" in page


def test_a_loss_stands_apart_and_a_parcel_on_its_way_can_be_lost(kit: Kit, house: Caller) -> None:
    page = text_of(shown(house, "loss", LOSS))
    assert "it stands apart, and is in no total of gains" in page
    parcel = {"on": "2026-06-01", "kind-1": "1 oz round", "amount-1": "4", "price-1": "150", "arrived": "no"}
    purchase.buy(kit, parcel)

    form = house.get("/entries/loss?lot=L3").text
    assert "on its way" in text_of(form)
    gone = house.post("/entries/loss", again(shown(house, "loss", {"heap-1": "L3", "take-1": "yes"}), "book"))
    assert gone.status_code == 303
    assert kit.holdings().lots["L3"].heaps == ()
    assert "on its way" not in text_of(house.get("/entries/swap").text).replace("one on its way", "")


def test_a_statement_is_reckoned_again_and_a_difference_is_looked_at(house: Caller) -> None:
    """2,450 g at .899 are 70.8136 fine ounces; 95% of them at 30.00 come to 2,018.19."""
    page = text_of(shown(house, "refined", REFINED | {"proceeds": "2000", "treatment": "40"}))

    assert "70.8136ozt scale" in page
    assert "2,018.19" in page
    assert "ask the refiner before you sign it off \N{MINUS SIGN}18.19" in page
    assert "Net 1,960.00" in page
    assert "The statement is off" not in text_of(shown(house, "refined", REFINED))


def test_only_the_heaps_that_were_ticked_or_measured_go(house: Caller) -> None:
    fields = {"heap-1": HALVES, "amount-1": "", "heap-2": ROUNDS, "amount-2": "3 pieces", "why": "lost"}
    page = text_of(shown(house, "loss", fields))

    assert "3 pieces of Generic silver round" in page
    assert "half dollars" not in page.partition("What would leave the book")[2]


def test_no_heap_at_all_is_said_above_the_form(house: Caller) -> None:
    answer = house.post("/entries/loss", {"heap-1": HALVES, "why": "lost", "do": "show"})

    assert answer.status_code == 400
    assert "Say which heap is gone" in text_of(answer.text)


def test_one_more_line_of_goods_keeps_what_was_typed(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    page = house.post("/entries/given", {**GIVEN, "more": "goods"}).text

    assert 'name="kind-2"' in page
    assert 'value="1 oz round"' in page
    assert entries(kit) == before


def test_a_lot_leads_to_what_else_may_have_happened_to_it(house: Caller) -> None:
    page = house.get("/holdings/lots/L1").text

    for path in ("swap?lot=L1", "loss?lot=L1", "refined?lot=L1", "split?of=L1", "join?lots=L1", "use?lots=L1"):
        assert f'href="/entries/{path}"' in page
    assert f'<option value="{HALVES}"' in house.get("/entries/split?of=L1").text
    assert 'value="L1"' in house.get("/entries/join?lots=L1").text
