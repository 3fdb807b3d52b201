"""The holdings, reference and book pages, over the invented demo book."""

import re
from collections.abc import Callable
from datetime import date

import pytest
from starlette.applications import Starlette

from ninefine.desk.demo import build_demo
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.say import holdings_sentence
from ninefine.testing import kit_in_memory
from ninefine.web.app import make_app
from ninefine.web.keys import Keys
from web.conftest import Caller
from web.sampler import AUTHORITY
from web.told import text_of


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    return made


@pytest.fixture
def house(kit: Kit, app_caller: Callable[[Starlette, Keys], Caller]) -> Caller:
    keys = Keys()
    return app_caller(make_app(lambda: kit, keys, authority=AUTHORITY), keys)


def test_holdings_open_with_the_sentence(kit: Kit, house: Caller) -> None:
    answer = house.get("/holdings")

    assert answer.status_code == 200
    assert holdings_sentence(summary(kit)) in text_of(answer.text)
    assert "How worked out" in answer.text


def test_holdings_answer_for_a_past_day_and_basis(house: Caller) -> None:
    answer = house.get("/holdings?on=2021-06-30&basis=unworn&spot=30")

    assert "On 2021-06-30 you held" in text_of(answer.text)
    assert "by unworn specification" in text_of(answer.text)
    assert "as asked for" in answer.text


def test_what_cannot_be_asked_is_said_under_its_field(house: Caller) -> None:
    answer = house.get("/holdings?on=last+week&basis=heavy&spot=-3")

    assert answer.status_code == 200
    for words in ("is not a date", "is not an ounce basis", "must be more than zero"):
        assert words in answer.text


def test_a_lot_moves_and_says_so(kit: Kit, house: Caller) -> None:
    before = len(kit.journal.records())
    page = house.get("/holdings/lots/L1")
    heap = re.search(r'<option value="([^"]+)"', page.text)
    assert heap is not None

    moved = house.post("/holdings/lots/L1/move", {"heap": heap[1], "amount": "", "to": "Z9"})

    assert moved.status_code == 303
    assert len(kit.journal.records()) == before + 1
    assert "moved to Z9" in text_of(house.get(moved.headers["location"]).text)


def test_a_wrong_move_books_nothing(kit: Kit, house: Caller) -> None:
    before = len(kit.journal.records())

    refused = house.post("/holdings/lots/L1/move", {"heap": "L1/us-dime-90@A1", "amount": "9999 pieces", "to": ""})

    assert refused.status_code == 400
    assert "Say where it went" in refused.text
    assert len(kit.journal.records()) == before
    assert house.get("/holdings/lots/nothing").status_code == 404


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("merc dime 1921-D", "Mercury (Winged Liberty) dime"),
        ("half 1955 d", "No Denver half dollar was struck in 1955"),
        ("zzzzqqq", "Nothing here answers to that"),
        ("1943 s war nickel", "Mind"),
        ("<script>", "Nothing here answers to that"),
    ],
)
def test_reference_answers_plain_words(house: Caller, words: str, expected: str) -> None:
    answer = house.get(f"/reference?words={words.replace(' ', '+').replace('<', '%3C').replace('>', '%3E')}")

    assert answer.status_code == 200
    assert expected in answer.text
    assert "<script>" not in answer.text


@pytest.mark.parametrize(
    ("slug", "words"),
    [
        (
            "us-dime-mercury",
            ("Act of Feb 12 1873", "wholly or in part on memory", "0.7150", "fasces", "check the"),
        ),
        ("us-five-cent-wartime", ("35", "from memory", "five-cent")),
        ("us-dollar-morgan", ("0.7734", "371", "1792")),
        ("household-sterling-925", ("Marks that mean plate", "weighted candlestick", "Never bid on the high end")),
        ("xag-generic-bar-10oz", ("A stamp proves nothing",)),
        ("not-silver", ("No silver",)),
    ],
)
def test_a_kind_says_what_it_rests_on(house: Caller, slug: str, words: tuple[str, ...]) -> None:
    answer = house.get(f"/reference/kinds/{slug}")

    assert answer.status_code == 200
    for one in words:
        assert one in text_of(answer.text)


def test_every_kind_has_a_page(kit: Kit, house: Caller) -> None:
    """Each kind of the catalog, 600 of them, renders."""
    for kind in kit.catalog().kinds[::7]:
        assert house.get(f"/reference/kinds/{kind.slug}").status_code == 200, kind.slug


def test_an_unknown_kind_offers_near_ones(house: Caller) -> None:
    answer = house.get("/reference/kinds/us-dime-mercurry")

    assert answer.status_code == 404
    assert "us-dime-mercury" in answer.text


def test_an_own_kind_is_set_down_or_refused(kit: Kit, house: Caller) -> None:
    set_down = house.post("/reference/kinds", {"name": "ferry token", "weight": "20 g", "fineness": ".8"})
    refused = house.post("/reference/kinds", {"name": "bad", "weight": "lots", "fineness": "12"})

    assert set_down.status_code == 303
    assert kit.catalog().kind("own-ferry-token").fineness.normalize() == kit.catalog().kind("own-ferry-token").fineness
    assert refused.status_code == 400
    assert "bad" in refused.text
    assert "fineness" in refused.text


def test_the_book_shows_its_entries_and_proves_itself(kit: Kit, house: Caller) -> None:
    page = house.get("/book")
    proved = house.post("/book/proof", {})

    assert f"{len(kit.journal.records())} entries" in text_of(page.text)
    assert proved.status_code == 303
    assert "The book holds" in text_of(house.get(proved.headers["location"]).text)
    assert house.get("/book?before=10").status_code == 200
    assert house.get("/book/99999").status_code == 404
    assert house.get("/book/first").status_code == 404


def test_an_entry_is_mended_by_its_changed_fields_alone(kit: Kit, house: Caller) -> None:
    serial = next(one.serial for one in kit.journal.records() if type(one.entry).__name__ == "Priced")
    page = house.get(f"/book/{serial}")
    assert 'name="per_ozt"' in page.text

    same = house.post(f"/book/{serial}/mend", {"on": "", "why": "nothing"})
    mended = house.post(f"/book/{serial}/mend", {"whose": "the mended screen", "why": "misread"})

    assert same.status_code == 400
    assert mended.status_code == 303
    assert "the mended screen" in house.get(f"/book/{len(kit.journal.records())}").text
    assert "mended by entry" in text_of(house.get(f"/book/{serial}").text)


def test_withdrawing_what_others_rest_on_is_refused(kit: Kit, house: Caller) -> None:
    before = len(kit.journal.records())
    serial = next(one.serial for one in kit.journal.records() if type(one.entry).__name__ == "Bought")

    refused = house.post(f"/book/{serial}/withdraw", {"why": "a test"})

    assert refused.status_code == 400
    assert len(kit.journal.records()) == before
    assert "Nothing was written" in refused.text


def test_a_note_keeps_words_and_refuses_nothing_at_all(house: Caller) -> None:
    kept = house.post("/book/notes", {"text": "counted twice", "lots": "L1"})
    refused = house.post("/book/notes", {"text": "", "about": "9999"})

    assert kept.status_code == 303
    assert "counted twice" in text_of(house.get("/book").text)
    assert refused.status_code == 400
    assert "There is no entry 9999" in refused.text


def test_a_kept_file_comes_back_as_it_was(kit: Kit, house: Caller) -> None:
    note = next(
        one.entry
        for one in kit.journal.records()
        if type(one.entry).__name__ == "Noted" and one.entry.attachments  # type: ignore[union-attr]
    )
    file = note.attachments[0]  # type: ignore[union-attr]

    answer = house.get(f"/book/files/{file.sha256}")

    assert answer.status_code == 200
    assert answer.content == kit.journal.attachment(file.sha256)
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert house.get(f"/book/files/{'0' * 64}").status_code == 404
