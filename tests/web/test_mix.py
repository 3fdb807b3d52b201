"""What the mix says, what searching pays, and the mintage pictures, as pages."""

import re
from datetime import date
from urllib.parse import quote_plus

import pytest

from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.mix import mix
from ninefine.desk.say_sorting import after_sentence, before_sentence
from ninefine.desk.searched import after
from ninefine.desk.searching import before
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of


@pytest.fixture(scope="module")
def told() -> Kit:
    """The demo, for tests that change nothing."""
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    return made


@pytest.fixture
def house(told: Kit, app_caller: AppCaller) -> Caller:
    return house_of(told, app_caller)


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    return made


@pytest.mark.parametrize("path", ["/sorting/mix", "/sorting/search", "/sorting/search/paid"])
def test_an_empty_book_is_taught(app_caller: AppCaller, path: str) -> None:
    answer = house_of(kit_in_memory(today=date(2026, 11, 25)), app_caller).get(path)

    assert answer.status_code == 200
    if path != "/sorting/search":
        assert "What goes here" in answer.text


def test_the_mix_opens_with_the_verdict_and_the_assumption(told: Kit, house: Caller) -> None:
    page = text_of(house.get("/sorting/mix?of=L17").text)

    assert mix(told, {"of": "L17"}).reading.words in page
    assert "Mintage is not survival." in page
    assert "Lot L17, as told apart: 239 dated pieces" in page


def test_found_and_expected_stand_in_a_picture_and_in_ledgers(told: Kit, house: Caller) -> None:
    html = house.get("/sorting/mix?of=L17").text
    found = mix(told, {"of": "L17"})

    assert 'alt="Found beside expected by year, a band for each mint: 239 dated pieces.' in html
    page = text_of(html)
    for group in found.mints:
        assert f"{round(group.expected, 1)}" in page
    assert "1964 24 23.6" in page or "1964" in page
    for sign in found.reading.signs:
        assert sign.words in page
    assert html.count("<picture") == 3  # found beside expected, and the two designs that the bag holds


def test_each_series_shows_its_mintage_with_the_bag_s_finds(house: Caller) -> None:
    html = house.get("/sorting/mix?of=L17").text

    assert "Under each stem stands what this bag holds of it." in html
    assert "No mint struck it in 1922, 1932, 1933." in text_of(html)
    assert "Mercury (Winged Liberty) dime: 2,677,153,880 struck for use." in html


def test_another_assumption_is_asked_about_and_shown(house: Caller) -> None:
    page = house.get("/sorting/mix?of=L17&first=1934&loss=2&until=1964&melts=" + quote_plus("1980: 20% from 1916")).text

    assert "2% of the pieces left are lost each year from striking to 1964; a melt of 1980 took 20%" in text_of(page)
    assert 'name="loss" type="text" value="2"' in page
    assert "dates asked for" in page


def test_what_cannot_be_read_is_said_at_its_field(house: Caller) -> None:
    answer = house.get("/sorting/mix?of=L17&first=soon&loss=200")

    assert answer.status_code == 200
    assert faults_of(answer.text) == {"first", "loss"}
    assert "What was asked cannot be read" in text_of(answer.text)
    assert "was not told apart by date" in text_of(house.get("/sorting/mix?of=L99").text)


def test_an_open_tally_leads_back_to_its_board(house: Caller) -> None:
    page = house.get("/sorting/mix?of=tally+2").text

    assert 'href="/sorting/tallies/2"' in page
    assert "Tally 2, under way" in page


def test_an_assumption_is_kept_by_one_entry(kit: Kit, app_caller: AppCaller) -> None:
    house, before = house_of(kit, app_caller), entries(kit)

    kept = house.post("/sorting/mix/assumption", {"of": "L17", "loss": "1.5", "until": "1964", "melts": ""})
    assert kept.status_code == 303
    assert entries(kit) == before + 1
    page = text_of(house.get(kept.headers["location"]).text)
    assert "Entry" in page
    assert "1.5% of the pieces left are lost each year" in page

    refused = house.post("/sorting/mix/assumption", {"of": "L17", "loss": "all", "until": "", "melts": ""})
    assert (refused.status_code, entries(kit)) == (400, before + 1)
    assert faults_of(refused.text) == {"loss"}
    assert foreign(house, "/sorting/mix/assumption", {"loss": "1"}) == 403


def test_searching_opens_with_what_it_would_pay(told: Kit, house: Caller) -> None:
    form = {"what": "dime", "size": "1000 face", "hour": "12", "grade": "G4", "left": "20", "speed": "700"}
    page = house.get("/sorting/search?" + "&".join(f"{name}={quote_plus(text)}" for name, text in form.items()))

    assert before_sentence(before(told, {**form, "first": "1916"})) in text_of(page.text)
    assert "lowest mintage of the series" in text_of(page.text)
    assert 'alt="Pieces until one is found with an even chance' in page.text


def test_a_worth_typed_by_hand_counts_and_faults_stand_at_their_fields(house: Caller) -> None:
    page = text_of(house.get("/sorting/search?what=us-dime-mercury&worth=1921-D+%3D+60").text)
    wrong = house.get("/sorting/search?size=a+bag&sizes=&speed=800&worth=nonsense&left=300&grade=ZZ")

    assert "your own figure" in page
    assert faults_of(wrong.text) == {"worth", "left", "grade"}


def test_what_a_search_did_pay_is_told_from_the_book(told: Kit, house: Caller) -> None:
    page = house.get("/sorting/search/paid?lot=L17&hours=4")

    assert after_sentence(after(told, {"lot": "L17", "hours": "4"})) in text_of(page.text)
    assert re.search(r'href="/book/\d+">entry \d+', page.text)
    assert "Mercury (Winged Liberty) dime 1921-D" in page.text


def test_hours_are_set_down_by_one_entry(kit: Kit, app_caller: AppCaller) -> None:
    house, before = house_of(kit, app_caller), entries(kit)

    kept = house.post("/sorting/search/paid", {"lot": "L17", "hours": "5", "finds": "2 bright dimes = 1"})
    assert kept.status_code == 303
    assert entries(kit) == before + 1
    assert "in 5.00 hours" in text_of(house.get(kept.headers["location"]).text)

    refused = house.post("/sorting/search/paid", {"lot": "L17", "hours": "long", "finds": "bright"})
    assert (refused.status_code, entries(kit)) == (400, before + 1)
    assert faults_of(refused.text) == {"hours", "finds"}
    assert foreign(house, "/sorting/search/paid", {"lot": "L17", "hours": "5"}) == 403


def test_a_kind_shows_its_mintage_with_what_is_held(house: Caller) -> None:
    html = house.get("/reference/kinds/us-dime-mercury").text

    assert "Mercury (Winged Liberty) dime: 2,677,153,880 struck for use. Low dates: 1916-D (key)" in html
    assert "Denver struck none in 1923, 1930." in text_of(html)
    assert "Every figure was checked against print" in text_of(html)
    assert "what you hold of it, told apart" in html


def test_a_series_with_unchecked_rows_says_which(house: Caller) -> None:
    html = house.get("/reference/kinds/us-dollar-morgan").text

    assert "unchecked: drawn hollow." in text_of(html)
    assert "a hollow stem is a figure that was not held against print" in html
    assert "Denver struck none in 1878 to 1904." in text_of(html)


def test_a_kind_without_mintage_has_no_picture_of_it(house: Caller) -> None:
    assert "By year and mint" not in house.get("/reference/kinds/household-sterling-925").text
