"""The Sorting pages: the stage, a heap sorted at once, the board by plain forms and by slips, pasting, finishing."""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import httpx
import pytest
from starlette.applications import Starlette

from ninefine.desk import purchase, sorting
from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from web.conftest import OWN, Caller
from web.sampler import AUTHORITY

DAY = date(2026, 3, 1)


def serving(kit: Kit, app_caller: Callable[[Starlette, Keys], Caller]) -> Caller:
    keys = Keys()
    return app_caller(make_app(lambda: kit, keys, authority=AUTHORITY), keys)


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=DAY)
    form = {"on": "2026-02-01", "kind-1": "us-90", "amount-1": "100 face", "price-1": "2000", "place": "A1"}
    purchase.buy(made, {**form, "arrived": "yes"})
    return made


@pytest.fixture
def number(kit: Kit) -> int:
    return sorting.begin(kit, "L1")


@pytest.fixture
def house(kit: Kit, app_caller: Callable[[Starlette, Keys], Caller]) -> Caller:
    return serving(kit, app_caller)


def text_of(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def where(answer: httpx.Response) -> str:
    assert answer.status_code == 303
    return answer.headers["location"]


def sent(house: Caller, number: int, slip: str, **fields: str) -> dict[str, Any]:
    """A slip as the board's script sends it."""
    answer = house.post(f"/sorting/tallies/{number}/slips", {"do": "mark", "word": "dime", "slip": slip, **fields})
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def test_the_stage_says_what_waits_and_goes_on_with_tallies(app_caller: Callable[[Starlette, Keys], Caller]) -> None:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    page = serving(made, app_caller).get("/sorting")
    words = text_of(page.text)

    assert page.status_code == 200
    assert "1 heap waits to be told apart: 150.00 of face, mixed." in words
    assert "1 tally is open" in words
    assert "274 pieces told" in words
    assert "Never clean a coin" in words
    assert 'href="/sorting/tallies/2"' in page.text
    assert "Sorted lately, newest first" in words


def test_an_empty_stage_teaches(app_caller: Callable[[Starlette, Keys], Caller]) -> None:
    page = serving(kit_in_memory(today=DAY), app_caller).get("/sorting")

    assert "What goes here" in page.text
    assert "ninefine demo" in text_of(page.text)


def test_heaps_are_turned_a_page_at_a_time(kit: Kit, house: Caller) -> None:
    for _ in range(30):
        purchase.buy(kit, {"kind-1": "us-dime-90", "amount-1": "50 pieces", "price-1": "90", "arrived": "yes"})

    first, second = house.get("/sorting").text, house.get("/sorting?first=25").text
    assert (first.count("lot L"), second.count("lot L")) == (25, 6)
    assert "first=25#heaps" in first
    assert house.get("/sorting?first=lots").status_code == 200


def test_a_tally_is_begun_from_its_heap(kit: Kit, house: Caller) -> None:
    page = house.get("/sorting/heap?heap=L1/us-90@A1")

    assert "100 face" in text_of(page.text)
    assert where(house.post("/sorting/tallies", {"heap": "L1"})) == "/sorting/tallies/1"
    assert "Go on with tally 1" in house.get("/sorting/heap?heap=L1").text
    assert len(kit.tallies.open_tallies()) == 1


def test_a_tally_of_no_heap_is_refused_in_words(kit: Kit, house: Caller) -> None:
    answer = house.post("/sorting/tallies", {"heap": "L9"})

    assert answer.status_code == 400
    assert "No lot &#39;L9&#39; is held" in answer.text
    assert not kit.tallies.open_tallies()


def test_a_heap_on_its_way_or_unknown_is_not_sorted(kit: Kit, house: Caller) -> None:
    purchase.buy(kit, {"kind-1": "us-90", "amount-1": "50 face", "price-1": "900", "arrived": "no"})

    assert house.get("/sorting/heap?heap=L2").status_code == 404
    assert "still on its way" in house.get("/sorting/heap?heap=L2").text
    assert house.get("/sorting/heap?heap=L7").status_code == 404
    assert house.get("/sorting/heap").status_code == 404


def test_a_heap_sorted_at_once_books_one_entry_and_says_so(kit: Kit, house: Caller) -> None:
    before = len(kit.journal.records())
    answer = house.post(
        "/sorting/heap",
        {
            "heap": "L1/us-90@A1",
            "on": "2026-03-01",
            "method": "weight",
            "kind-1": "dimes",
            "amount-1": "40 face",
            "kind-2": "quarters",
            "amount-2": "60 face",
        },
    )

    assert "booked=2" in where(answer)
    assert len(kit.journal.records()) == before + 1
    assert "Entry 2 was booked. Sorted" in text_of(house.get(where(answer)).text)
    assert {(heap.kind, heap.face) for heap in kit.holdings().heaps} == {
        ("us-dime-90", Decimal(40)),
        ("us-quarter-90", Decimal(60)),
    }


def test_a_heap_sorted_by_value_needs_what_each_row_would_bring(house: Caller) -> None:
    form = {"heap": "L1", "method": "value", "kind-1": "dimes", "amount-1": "40 face", "value-1": ""}
    answer = house.post("/sorting/heap", form)

    assert answer.status_code == 400
    assert re.search(r'id="value-1-fault">This is needed\.', answer.text)
    assert 'value="40 face"' in answer.text
    where(house.post("/sorting/heap", {**form, "value-1": "990"}))


def test_each_fault_of_a_sorting_is_at_its_field_and_nothing_is_booked(kit: Kit, house: Caller) -> None:
    answer = house.post(
        "/sorting/heap",
        {
            "heap": "L1",
            "on": "yesterday",
            "kind-1": "doubloons",
            "amount-1": "4",
            "kind-2": "dimes",
            "amount-2": "heavy",
        },
    )

    assert answer.status_code == 400
    for field, words in (("on", "is not a date"), ("kind-1", "doubloons"), ("amount-2", "is not an amount")):
        assert re.search(rf'id="{field}-fault">[^<]*{words}', answer.text), field
    assert len(kit.journal.records()) == 1
    empty = house.post("/sorting/heap", {"heap": "L1", "kind-1": ""})
    assert "Say at least one kind" in empty.text


def test_one_more_row_keeps_what_was_typed(kit: Kit, house: Caller) -> None:
    answer = house.post("/sorting/heap", {"heap": "L1", "kind-4": "halves", "amount-4": "3 face", "more": "rows"})

    assert answer.status_code == 200
    assert 'name="kind-5"' in answer.text
    assert 'value="halves"' in answer.text
    assert len(kit.journal.records()) == 1


def test_the_board_opens_with_what_was_told(kit: Kit, house: Caller, number: int) -> None:
    assert "Nothing has been told yet of 100.00 face" in text_of(house.get(f"/sorting/tallies/{number}").text)
    sorting.mark(kit, number, "dime", "64x20")
    page = house.get(f"/sorting/tallies/{number}")

    assert "20 pieces told, 2.00 face; 98.00 face left." in text_of(page.text)
    assert "<caption>Roosevelt dime, 90% silver <small>20 pieces</small></caption>" in page.text
    assert "<script>" not in page.text
    assert "style=" not in page.text


def test_a_coin_is_marked_by_a_plain_form_and_the_board_says_what_it_is(kit: Kit, house: Caller, number: int) -> None:
    answer = house.post(f"/sorting/tallies/{number}/marks", {"word": "dime", "text": "16d", "slip": "aaaa.0"})
    page = house.get(where(answer))

    assert "word=dime" in where(answer)
    assert "just=1" in where(answer)
    assert '<b>1916-D</b> Mercury (Winged Liberty) dime <span class="rank">key</span>' in page.text
    assert "Before you believe it" in page.text
    assert "left of the foot of the fasces" in page.text
    assert re.search(r'value="dime" checked', page.text)
    assert sorting.board(kit, number).tally.pieces == 1


def test_a_form_sent_twice_marks_once(kit: Kit, house: Caller, number: int) -> None:
    """A reload in the middle sends the same slip; its answer is the same too."""
    for _ in range(2):
        answer = house.post(f"/sorting/tallies/{number}/marks", {"word": "dime", "text": "64d", "slip": "aaaa.0"})
        assert "just=1" in where(answer)

    assert len(kit.tallies.marks(number)) == 1


@pytest.mark.parametrize(
    ("word", "text", "words"),
    [
        ("half", "55d", "No Denver half dollar was struck in 1955"),
        ("dime", "hello", "is not a coin"),
        ("doubloon", "64", "is not a denomination"),
        ("dime", "64x9000", "9000 at once is not a number of coins here"),
    ],
)
def test_a_coin_that_cannot_be_is_told_at_the_coin_and_kept_in_the_field(
    kit: Kit, house: Caller, number: int, word: str, text: str, words: str
) -> None:
    """No Denver half dollar of 1955 was struck (encyclopaedia table)."""
    answer = house.post(f"/sorting/tallies/{number}/marks", {"word": word, "text": text, "slip": "aaaa.0"})

    assert answer.status_code == 400
    assert re.search(rf'id="coin-fault">[^<]*{words}', answer.text)
    assert re.search(rf'id="coin" name="text" value="{text}"', answer.text)
    assert not kit.tallies.marks(number)


def test_undo_again_take_back_and_put_right_by_plain_forms(kit: Kit, house: Caller, number: int) -> None:
    path = f"/sorting/tallies/{number}/marks"
    house.post(path, {"word": "dime", "text": "16", "slip": "aaaa.0"})
    house.post(path, {"do": "again", "word": "dime", "slip": "bbbb.0"})
    house.post(path, {"word": "dime", "text": "64d", "slip": "cccc.0"})
    house.post(path, {"do": "undo", "word": "dime", "slip": "dddd.0"})
    house.post(path, {"do": "amend", "word": "dime", "text": "16/barber", "of": "2", "slip": "eeee.0"})
    assert {(row.kind, row.count) for row in sorting.board(kit, number).tally.rows} == {
        ("us-dime-mercury", 1),
        ("us-dime-barber", 1),
    }

    house.post(path, {"do": "undo", "of": "1", "word": "dime"})
    house.post(path, {"do": "undo", "word": "dime"})
    assert where(house.post(path, {"do": "undo", "word": "dime"})) == f"/sorting/tallies/{number}?word=dime"
    assert sorting.board(kit, number).tally.pieces == 0


def test_a_page_offers_what_else_a_date_may_be(house: Caller, number: int) -> None:
    marked = house.post(f"/sorting/tallies/{number}/marks", {"word": "dime", "text": "42", "slip": "aaaa.0"})
    page = house.get(where(marked)).text

    assert "May be the <b>2 over 1 (key)</b>" in page
    form = page.partition('class="slip other"')[2].partition("</form>")[0]
    fields = dict(re.findall(r'name="(do|of|word|text)" value="([^"]*)"', form))
    assert fields == {"do": "amend", "of": "1", "word": "dime", "text": "1942v1"}


def test_a_slip_is_answered_with_what_changed_and_only_that(house: Caller, kit: Kit, number: int) -> None:
    first = sent(house, number, "aaaa.1", text="64d", seen="0")
    second = sent(house, number, "aaaa.2", text="21d", seen=str(first["last"]))

    assert [*first["kinds"]] == ["us-dime-roosevelt-silver"]
    assert [*second["kinds"]] == ["us-dime-mercury"]
    assert second["order"] == ["us-dime-mercury", "us-dime-roosevelt-silver"]
    assert (first["rank"], second["rank"], second["say"]) == ("", "semi-key", "21 D, semi-key")
    assert "2 pieces" in text_of(second["parts"]["answer"])
    assert "1921-D" in second["told"]
    assert (second["last"], second["open"], second["fault"]) == (2, True, "")
    assert sorting.board(kit, number).tally.pieces == 2


def test_a_refused_slip_says_why_and_marks_nothing(house: Caller, kit: Kit, number: int) -> None:
    answer = sent(house, number, "aaaa.1", word="half", text="55d", seen="0")

    assert answer["fault"].startswith("No Denver half dollar was struck in 1955")
    assert "told" not in answer
    assert not kit.tallies.marks(number)


def test_slips_again_and_undo_answer_with_the_coin_they_leave(house: Caller, number: int) -> None:
    sent(house, number, "aaaa.1", text="64d", seen="0")
    again = sent(house, number, "aaaa.2", do="again", seen="1")
    undone = sent(house, number, "aaaa.3", do="undo", of="aaaa.1", seen="2")

    assert "1964-D" in again["told"]
    assert "told" not in undone
    assert "<b>1</b>" in undone["kinds"]["us-dime-roosevelt-silver"]
    last = sent(house, number, "aaaa.4", do="undo", opened="0", seen="3")
    assert last["kinds"] == {"us-dime-roosevelt-silver": ""}


def test_news_tells_a_window_what_another_marked(house: Caller, number: int) -> None:
    sent(house, number, "left.1", text="64d", seen="0", opened="0")
    sent(house, number, "right.1", text="21d", seen="0", opened="0")
    path = f"/sorting/tallies/{number}/news"

    told = house.get(f"{path}?seen=1&opened=0&window=left").json()
    assert [*told["kinds"]] == ["us-dime-mercury"]
    assert told["parts"]["latest"].count("another window") == 1
    assert house.get(f"{path}?seen=2&window=left").json() == {"last": 2, "open": True}
    assert [*house.get(path).json()["kinds"]] == ["us-dime-mercury", "us-dime-roosevelt-silver"]


def test_a_tally_ended_elsewhere_tells_its_windows(house: Caller, kit: Kit, number: int) -> None:
    sent(house, number, "aaaa.1", text="64d", seen="0")
    sorting.finish(kit, number)

    assert house.get(f"/sorting/tallies/{number}/news?seen=1").json()["open"] is False
    refused = sent(house, number, "aaaa.2", text="64d", seen="1")
    assert "already booked by entry 2" in refused["fault"]
    page = house.get(f"/sorting/tallies/{number}")
    assert "booked by entry 2" in text_of(page.text)
    assert 'id="board"' not in page.text


def test_finishing_books_one_entry_with_the_lots_date(house: Caller, kit: Kit, number: int) -> None:
    sorting.mark(kit, number, "dime", "64x20")
    answer = house.post(f"/sorting/tallies/{number}/finish", {"note": "the first evening"})

    assert "booked=2" in where(answer)
    assert "Entry 2 was booked. Sorted" in text_of(house.get(where(answer)).text)
    (dimes,) = [heap for heap in kit.holdings().heaps if heap.kind == "us-dime-roosevelt-silver"]
    assert (dimes.lot, dimes.issue, dimes.count) == ("L1", "1964-P", 20)
    assert not kit.tallies.open_tallies()


@pytest.mark.parametrize(
    ("text", "words"), [("", "Nothing has been marked on this tally yet"), ("64x1001", "0.1 face more than the heap")]
)
def test_what_cannot_be_booked_is_said_and_stays_open(
    house: Caller, kit: Kit, number: int, text: str, words: str
) -> None:
    if text:
        sorting.mark(kit, number, "dime", text)
    answer = house.post(f"/sorting/tallies/{number}/finish", {"note": "kept"})

    assert answer.status_code == 409
    assert words in text_of(answer.text)
    assert 'value="kept"' in answer.text
    assert len(kit.journal.records()) == 1
    assert kit.tallies.open_tallies()


def test_a_tally_put_aside_is_ended_without_an_entry(house: Caller, kit: Kit, number: int) -> None:
    answer = house.post(f"/sorting/tallies/{number}/aside", {})

    assert "was put aside" in text_of(house.get(where(answer)).text)
    assert not kit.tallies.open_tallies()
    assert len(kit.journal.records()) == 1
    assert "put aside" in text_of(house.get(f"/sorting/tallies/{number}").text)
    assert house.post(f"/sorting/tallies/{number}/aside", {}).status_code == 409


def test_a_heap_no_longer_held_is_said_on_the_board(house: Caller, kit: Kit, number: int) -> None:
    sorting.sort(kit, {"heap": "L1", "kind-1": "dimes", "amount-1": "100 face"})

    assert "no longer held as it was" in text_of(house.get(f"/sorting/tallies/{number}").text)
    assert house.post(f"/sorting/tallies/{number}/finish", {}).status_code == 409


@pytest.mark.parametrize("path", ["", "/news", "/paste"])
@pytest.mark.parametrize("number", ["7", "x", "00000000000000007"])
def test_an_unknown_tally_is_a_calm_page(house: Caller, path: str, number: str) -> None:
    answer = house.get(f"/sorting/tallies/{number}{path}")

    assert answer.status_code == 404
    assert "Traceback" not in answer.text


@pytest.mark.parametrize("do", ["marks", "slips", "finish", "aside", "paste"])
def test_forms_of_another_origin_or_another_run_are_refused(house: Caller, kit: Kit, number: int, do: str) -> None:
    path, form = f"/sorting/tallies/{number}/{do}", {"word": "dime", "text": "64", "slip": "aaaa.1"}

    assert house.post(path, {**form, "form_key": "of an earlier run"}).status_code == 403
    assert house.send("POST", path, data=form, headers={**house.cookie, **OWN}).status_code == 403
    abroad = {"Origin": "http://elsewhere.example", "Sec-Fetch-Site": "cross-site"}
    assert house.post(path, form, **abroad).status_code == 403
    assert house.post("/sorting/tallies/9/" + do, form).status_code == 404
    assert not kit.tallies.marks(number)


def test_a_pasted_tally_is_shown_first_and_marked_when_said(house: Caller, kit: Kit, number: int) -> None:
    path = f"/sorting/tallies/{number}/paste"
    assert "Nothing is marked" not in house.get(path).text
    form = {"table": "64d x20\n1921-D 1", "what": "dime", "slip": "aaaa.1", "do": "look"}
    looked = house.post(path, form)

    assert "21 pieces" in text_of(looked.text)
    assert "Mercury (Winged Liberty) dime 1921-D" in looked.text
    assert not kit.tallies.marks(number)
    for _ in range(2):
        assert "21+pieces+in+2+rows+were+marked" in where(house.post(path, {**form, "do": "keep"}))
    assert sorting.board(kit, number).tally.pieces == 21


def test_every_fault_of_a_pasted_tally_is_told_with_its_line(house: Caller, kit: Kit, number: int) -> None:
    table = "year,mint,count\n1964,D,2\n1922,D,1\n1964,Q,1"
    answer = house.post(f"/sorting/tallies/{number}/paste", {"table": table, "what": "dime", "do": "keep"})

    assert answer.status_code == 400
    fault = re.search(r'id="table-fault">([^<]*)', answer.text)
    assert fault is not None
    assert [line.partition(":")[0] for line in fault[1].splitlines()] == ["line 3", "line 4"]
    assert table.splitlines()[2] in answer.text
    assert not kit.tallies.marks(number)
    empty = house.post(f"/sorting/tallies/{number}/paste", {"table": "", "do": "look"})
    assert 'id="table-fault">This is needed.' in empty.text
