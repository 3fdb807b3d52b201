"""Arrivals: parcels on their way, counted against the order, weighed with their wear, claimed for and credited."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import arrivals, purchase
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, a_book, entries, faults_of, foreign, house_of, text_of

D = Decimal
PARCEL = {"parcel": "4", "lot-1": "L2", "on": "2025-03-04", "do": "book"}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2025, 3, 4))


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_page_teaches_and_offers_the_demo(house: Caller) -> None:
    page = text_of(house.get("/arrivals").text)

    assert "Nothing is on its way" in page
    assert "ninefine demo" in page


def test_the_page_says_what_is_on_its_way_claimed_and_unweighed(kit: Kit, house: Caller) -> None:
    a_book(kit)
    html = house.get("/arrivals").text
    page = text_of(html)

    assert "1 parcel is on the way: 71.50 ozt trade of fine silver, paid for with 2,469.95" in page
    assert "1 heap has not been weighed" in page
    assert 'href="/arrivals/count?parcel=4"' in html
    assert "100 face of 90% silver half dollars" in page
    assert "Never clean a coin" in page


def test_a_late_parcel_is_to_be_asked_after(kit: Kit, house: Caller) -> None:
    goods = {"kind-1": "90%", "amount-1": "10 face", "price-1": "20x"}
    purchase.buy(kit, {"on": "2025-01-05", "arrived": "no", **goods})

    assert "over 21 days: ask after it" in text_of(house.get("/arrivals").text)


def test_a_count_is_compared_before_it_is_booked(kit: Kit, house: Caller) -> None:
    """98 of 100 face at 24.60 times face: 49.20 short, carriage left out."""
    a_book(kit)
    before = entries(kit)
    assert "ordered at 24.60x" in text_of(house.get("/arrivals/count?parcel=4").text)
    answer = house.post("/arrivals/count", {**PARCEL, "counted-1": "98 face", "do": "compare"})

    assert answer.status_code == 200
    assert "Lot L2 is short by 2.00 face, which cost 49.20 of its price" in text_of(answer.text)
    assert 'value="98 face"' in answer.text
    assert entries(kit) == before


def test_a_parcel_is_counted_in_by_one_entry(kit: Kit, house: Caller) -> None:
    a_book(kit)
    before = entries(kit)
    answer = house.post("/arrivals/count", {**PARCEL, "counted-1": "98 face", "place": "A2", "claim": "49.20"})

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    lot = kit.holdings().lots["L2"]
    assert (lot.awaited, lot.claim, lot.heaps[0].face) == (False, D("49.20"), D(98))
    page = text_of(house.get(answer.headers["location"]).text)
    assert "Entry 5 was booked. Received lot L2, counted 196 pieces, 98 face; 49.20 claimed of the seller." in page
    assert "49.20 is claimed of sellers and not yet paid back" in page
    assert house.get("/arrivals/count?parcel=4").status_code == 404
    assert house.get("/arrivals/count?parcel=x").status_code == 404


@pytest.mark.parametrize("do", ["book", "compare"])
def test_a_count_that_cannot_be_read_is_told_at_its_field(kit: Kit, house: Caller, do: str) -> None:
    a_book(kit)
    before = entries(kit)
    typed = {**PARCEL, "counted-1": "98 barrels", "claim": "much", "on": "2025-03-05", "do": do}
    answer = house.post("/arrivals/count", typed)

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"counted-1", "claim", "on"}
    assert entries(kit) == before


def test_a_credit_starts_from_what_is_claimed(kit: Kit, house: Caller) -> None:
    a_book(kit)
    arrivals.receive(kit, {"lot-1": "L2", "counted-1": "98 face", "claim": "49.20"})
    before = entries(kit)
    form = house.get("/arrivals/credit?lot=L2").text
    answer = house.post("/arrivals/credit", {"amount": "49.20", "lots": "L2", "on": "2025-03-04"})

    assert 'value="49.20"' in form
    assert answer.status_code == 303
    assert entries(kit) == before + 1
    assert kit.holdings().lots["L2"].claim == 0
    assert "paid 49.20 back on lot L2" in text_of(house.get(answer.headers["location"]).text)


def test_a_wrong_credit_is_told_at_its_field(kit: Kit, house: Caller) -> None:
    a_book(kit)
    before = entries(kit)
    answer = house.post("/arrivals/credit", {"amount": "0", "lots": "L9", "on": "yesterday"})
    nothing = house.post("/arrivals/credit", {"amount": "0", "lots": "L1", "on": "2025-03-04"})
    too_much = house.post("/arrivals/credit", {"amount": "9999", "lots": "L1", "on": "2025-03-04"})

    assert (answer.status_code, faults_of(answer.text)) == (400, {"lots", "on"})
    assert faults_of(nothing.text) == {"amount"}
    assert "more than the basis still held" in text_of(too_much.text)
    assert entries(kit) == before


def test_heaps_are_weighed_against_specification_and_trade(kit: Kit, house: Caller) -> None:
    """250 face is 6,250 g as struck (Coinage Act of 1873); 6,180 g holds 178.82 ozt, 0.04% over the trade's 178.75."""
    a_book(kit)
    before = entries(kit)
    form = text_of(house.get("/arrivals/weigh").text)
    typed = {"of": "", "first": "0", "on": "2025-03-04", "readability": "1 g"}
    answer = house.post("/arrivals/weigh", {**typed, "heap-1": "L1/us-90@A1", "weight-1": "6180 g"})

    assert "6,250.0 g as struck, 6,177.5 g by the trade's count" in form
    assert answer.status_code == 303
    assert entries(kit) == before + 1
    page = text_of(house.get(answer.headers["location"]).text)
    for figure in ("6,250.0g", "6,180.0g", "\N{MINUS SIGN}1.12%", "178.8225ozt scale", "178.7500ozt trade", "+0.04%"):
        assert figure in page
    assert "Where wear puts each heap on one ruler" in house.get("/arrivals").text
    assert "Every heap that lies here has been weighed" in text_of(house.get("/arrivals/weigh").text)
    assert "1 heap of lot L1" in text_of(house.get("/arrivals/weigh?lot=L1").text)


def test_a_weight_that_cannot_be_read_is_told_at_its_field(kit: Kit, house: Caller) -> None:
    a_book(kit)
    before = entries(kit)
    typed = {"of": "", "first": "0", "on": "2025-03-05", "readability": "fine"}
    answer = house.post("/arrivals/weigh", {**typed, "heap-1": "L1/us-90@A1", "weight-1": "heavy"})
    gone = house.post("/arrivals/weigh", {**typed, "heap-1": "L7", "weight-1": "5 g"})

    assert (answer.status_code, faults_of(answer.text)) == (400, {"on", "readability", "weight-1"})
    assert 'value="heavy"' in answer.text
    assert gone.status_code == 400
    assert "No lot 'L7' is held" in text_of(gone.text)
    assert entries(kit) == before


def test_many_heaps_are_shown_a_sitting_at_a_time(kit: Kit, house: Caller) -> None:
    for _ in range(25):
        purchase.buy(kit, {"on": "2024-01-05", "kind-1": "90%", "amount-1": "10 face", "price-1": "20x"})
    first, second = house.get("/arrivals/weigh").text, house.get("/arrivals/weigh?first=20").text

    assert first.count('name="weight-') == 20
    assert second.count('name="weight-') == 5
    assert 'href="/arrivals/weigh?first=20">Older heaps' in first
    assert 'href="/arrivals/weigh">Newer heaps' in second


def test_many_weighings_are_turned_a_page_at_a_time(kit: Kit, house: Caller) -> None:
    for _ in range(30):
        purchase.buy(kit, {"on": "2024-01-05", "kind-1": "90%", "amount-1": "10 face", "price-1": "20x"})
    weights = {f"weight-{n}": "247 g" for n in range(1, 31)} | {f"heap-{n}": f"L{n}" for n in range(1, 31)}
    arrivals.weigh(kit, {"on": "2025-03-04", **weights})
    first, second = house.get("/arrivals").text, house.get("/arrivals?first=25").text

    assert first.count("How worked out") == 25
    assert second.count("How worked out") == 5
    assert 'href="/arrivals?first=25#wear">Older weighings' in first


@pytest.mark.parametrize("path", ["/arrivals/count", "/arrivals/credit", "/arrivals/weigh"])
def test_a_form_with_a_foreign_key_is_refused(kit: Kit, house: Caller, path: str) -> None:
    a_book(kit)
    before = entries(kit)
    typed = {**PARCEL, "counted-1": "98 face", "amount": "1", "lots": "L1", "heap-1": "L1", "weight-1": "6180 g"}

    assert foreign(house, path, typed) == 403
    assert entries(kit) == before
