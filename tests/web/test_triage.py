"""Triage, one piece, the person's figures, and grading, as pages."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk.collectors import collectors, graders, put_grader
from ninefine.desk.demo import build_demo
from ninefine.desk.judging import flaw_shares, judging
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import Where, laid_named
from ninefine.desk.say_sorting import triage_sentence
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

HEAP = "L17/us-dime-mercury/1944-P@A3"
PIECE = {"label": "E1-9", "heap": HEAP, "what": "", "count": "1", "band": "VF20", "grams": "", "wanted": "", "note": ""}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_book_is_taught(app_caller: AppCaller) -> None:
    empty = house_of(kit_in_memory(today=date(2026, 11, 25)), app_caller)

    for path in ("/sorting/triage", "/sorting/triage/figures", "/sorting/triage/grading"):
        assert empty.get(path).status_code == 200, path
    assert "What goes here" in empty.get("/sorting/triage").text
    assert "any gain over melt pulls a piece" in text_of(empty.get("/sorting/triage/figures").text)


def test_triage_opens_with_what_lies_on_the_table(kit: Kit, house: Caller) -> None:
    html = house.get("/sorting/triage").text
    page = text_of(html)

    assert triage_sentence(kit) in page
    assert "A piece is pulled for more than 5.00 over its melt, even at the low end." in page
    assert "Wanted: the set the Mercury album keeps it." in page
    assert "Lay one aside" in page
    assert "stale" in page, "the price that the metal is held at says its age"


def test_melt_bids_and_a_collector_s_money_stand_in_columns_of_their_own(house: Caller) -> None:
    html = house.get("/sorting/triage").text

    heads = [head for head in ("Melt", "Best bid", "A collector, net: low", "middle", "high") if f">{head}<" in html]
    assert heads == ["Melt", "Best bid", "A collector, net: low", "middle", "high"]


def test_another_spot_is_asked_about(house: Caller) -> None:
    assert "At a spot of 20.00, as asked for." in text_of(house.get("/sorting/triage?spot=20").text)
    wrong = house.get("/sorting/triage?spot=cheap")
    assert faults_of(wrong.text) == {"spot"}


def test_a_piece_shows_every_way_out_and_how_each_was_worked(house: Caller) -> None:
    page = text_of(house.get("/sorting/triage/piece?label=E1-1").text)

    assert "Pull. It would net 78.42 (61.40 to 95.44) by the club table" in page
    assert "Pulled by entry 66; it lies apart: Morgan dollar 1881-S, lot L2, at E1-1, at a cost of 21.93." in page
    for words in ("Linden Street counter", "the post board, single pieces", "How the sheet's price was worked out"):
        assert words in page
    assert "1881-S is not listed by itself" in page
    assert house.get("/sorting/triage/piece?label=nothing").status_code == 404


def test_a_piece_is_laid_aside_looked_at_again_pulled_and_forgotten(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    laid = house.post("/sorting/triage/lay", PIECE)
    assert laid.status_code == 303
    assert "Entry" in text_of(house.get(laid.headers["location"]).text)
    again = house.post("/sorting/triage/piece", {"label": "E1-9", "band": "EF40", "grams": "2.44 g"})
    assert again.status_code == 303
    assert str(laid_named(kit, "E1-9").band) == "EF40"
    pulled = house.post("/sorting/triage/pull", {"label": "E1-9", "on": "2026-11-25"})
    assert pulled.status_code == 303
    assert laid_named(kit, "E1-9").where is Where.PULLED
    assert "Pulled by entry" in text_of(house.get(pulled.headers["location"]).text)
    assert house.post("/sorting/triage/strike", {"label": "E1-9"}).status_code == 303

    assert entries(kit) == before + 4
    assert kit.journal.faults() == ()


def test_faults_of_a_piece_stand_under_their_fields_and_book_nothing(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    refused = house.post("/sorting/triage/lay", {**PIECE, "label": "A3", "count": "0", "band": "VG9", "grams": "heavy"})
    assert (refused.status_code, entries(kit)) == (400, before)
    assert faults_of(refused.text) == {"label", "count", "band", "grams"}
    again = house.post("/sorting/triage/piece", {"label": "E1-2", "band": "ZZ", "grams": ""})
    assert (again.status_code, faults_of(again.text)) == (400, {"band"})
    pulled = house.post("/sorting/triage/pull", {"label": "E1-2", "on": "2027-01-01"})
    assert (pulled.status_code, faults_of(pulled.text)) == (400, {"on"})
    twice = house.post("/sorting/triage/pull", {"label": "E1-1", "on": ""})
    assert twice.status_code == 400
    assert "was pulled by entry 66" in text_of(twice.text)
    assert entries(kit) == before


@pytest.mark.parametrize(
    "path",
    ["lay", "piece", "pull", "strike", "back", "figures", "shares", "collectors", "graders", "figures/strike"],
)
def test_a_foreign_key_is_refused(kit: Kit, house: Caller, path: str) -> None:
    before = entries(kit)

    assert foreign(house, f"/sorting/triage/{path}", {**PIECE, "name": "x"}) == 403
    assert entries(kit) == before


def test_pieces_go_back_to_the_heap(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    form = house.get(f"/sorting/triage/back?heap={HEAP}&amount=3+pieces").text
    assert 'value="3 pieces"' in form

    done = house.post("/sorting/triage/back", {"heap": HEAP, "amount": "3 pieces", "place": "", "on": ""})
    assert done.status_code == 303
    assert entries(kit) == before + 1
    refused = house.post("/sorting/triage/back", {"heap": HEAP, "amount": "many", "place": "", "on": "soon"})
    assert (refused.status_code, entries(kit)) == (400, before + 1)
    assert faults_of(refused.text) == {"amount", "on"}
    too_many = house.post("/sorting/triage/back", {"heap": HEAP, "amount": "300 pieces", "place": "", "on": ""})
    assert too_many.status_code == 400
    assert "holds" in text_of(too_many.text)


def test_figures_are_set_down(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    form = {"threshold": "7", "hour_worth": "15", "pieces_per_hour": "", "against": "bid", "grading": "apart"}

    assert house.post("/sorting/triage/figures", {**form, "stale_after": "90"}).status_code == 303
    assert (judging(kit).threshold, judging(kit).stale_after) == (Decimal(7), 90)
    assert house.post("/sorting/triage/shares", {"bent": "70", "holed": "metal"}).status_code == 303
    assert flaw_shares(kit).as_dict() == {"bent": "70", "holed": "metal"}
    assert entries(kit) == before + 2

    wrong = house.post("/sorting/triage/figures", {**form, "threshold": "lots", "stale_after": "-3"})
    assert (wrong.status_code, faults_of(wrong.text)) == (400, {"threshold", "stale_after"})
    wrong = house.post("/sorting/triage/shares", {"bent": "170"})
    assert (wrong.status_code, faults_of(wrong.text)) == (400, {"bent"})
    assert entries(kit) == before + 2


def test_ways_out_to_collectors_are_set_down_changed_and_struck(kit: Kit, house: Caller) -> None:
    form = {"name": "a show", "pct_of_sheet": "70%", "fee_pct": "", "minutes": "20", "least": "", "days": ""}

    assert house.get("/sorting/triage/collectors/new").status_code == 200
    assert house.post("/sorting/triage/collectors", form).status_code == 303
    assert 'value="70"' in house.get("/sorting/triage/collectors/change?name=a+show").text
    wrong = house.post("/sorting/triage/collectors", {**form, "name": "", "minutes": "soon"})
    assert (wrong.status_code, faults_of(wrong.text)) == (400, {"name", "minutes"})
    assert house.post("/sorting/triage/figures/strike", {"table": "collector", "name": "a show"}).status_code == 303
    assert "a show" not in {way.name for way in collectors(kit)}


def test_graders_fees_are_set_down_changed_and_struck(kit: Kit, house: Caller) -> None:
    form = {
        "name": "a grader",
        "tiers": "300: 22\nany: 90",
        "parcel": "36",
        "read_on": "2026-11-01",
        "source": "their page",
    }

    assert house.get("/sorting/triage/graders/new").status_code == 200
    assert house.post("/sorting/triage/graders", form).status_code == 303
    assert "300: 22" in house.get("/sorting/triage/graders/change?name=a+grader").text
    assert "22 to 300; 90 of any value" in text_of(house.get("/sorting/triage/figures").text)
    wrong = house.post("/sorting/triage/graders", {**form, "tiers": "cheap", "parcel": "x"})
    assert (wrong.status_code, faults_of(wrong.text)) == (400, {"tiers", "parcel"})
    assert house.post("/sorting/triage/figures/strike", {"table": "grader", "name": "a grader"}).status_code == 303
    assert graders(kit) == ()


def test_whether_grading_pays_is_worked_out_from_what_is_asked(kit: Kit, house: Caller) -> None:
    put_grader(kit, {"name": "a grader", "tiers": "any: 20", "parcel": "36"})
    asked = "/sorting/triage/grading?piece=E1-1&declared=120&pieces=4&outcomes="

    page = text_of(house.get(asked + "MS61%3A+50%25%0AMS63%3A+30%25%0AMS60+details%3A+20%25").text)
    wrong = house.get(asked + "MS61%3A+50%25")

    assert "Having the Morgan dollar 1881-S graded loses" in page
    assert "The chance of details is 20.0%." in page
    assert "one of 4 in a parcel at 36" in page
    assert "Gain on average" in page
    assert faults_of(wrong.text) == {"outcomes"}


def test_the_way_to_each_page_stands_on_each(house: Caller) -> None:
    links = ("/sorting/mix", "/sorting/search", "/sorting/sets", "/sorting/sheets", "/sorting/triage")

    for path in links:
        html = house.get(path).text
        for link in links:
            assert link == path or f'href="{link}"' in html, f"{path} leads to {link}"
