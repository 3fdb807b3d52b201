"""The bench's pages: every form works out and books, every fault stands at its field, what was tested is joined."""

from datetime import date
from typing import ClassVar

import pytest

from ninefine.desk.bench import all_benches
from ninefine.desk.bench_table import pack_rows
from ninefine.desk.instruments import instruments
from ninefine.desk.kit import Kit
from ninefine.desk.proof import prove
from ninefine.desk.purchase import buy
from ninefine.store.reading import named_files
from ninefine.testing import kit_in_memory
from web.conftest import OWN, Caller
from web.told import AppCaller, column_of, entries, faults_of, foreign, house_of, text_of

DOLLAR = {"kind": "us-dollar-morgan", "weight": "26.70 g", "diameter": "38.1", "magnet": "slow"}
QUARTER = {"kind": "us-quarter-washington-silver", "weight": "5.67 g", "edge": "copper stripe"}
ROLL = {"kind": "us-quarter-90", "weight": "246.50 g", "amount": "1 roll"}
WARE = {"mark": "STERLING WEIGHTED", "weight": "274 g", "built": "weighted-candlestick"}
WATER = {**DOLLAR, "wet": "24.12 g", "celsius": "20", "way": "hung", "thread": "0.2"}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    buy(made, {"on": "2026-11-01", "kind-1": "quarters", "amount-1": "40 pieces", "price-1": "245"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_bench_teaches_and_has_a_table_of_rolls(house: Caller, kit: Kit) -> None:
    answer = house.get("/bench")

    assert "Nothing was tested yet." in text_of(answer.text)
    assert "It never says that a piece is genuine." in text_of(answer.text)
    assert column_of(answer.text, "As struck")[:4] == ["125.0", "25,000.0", "250.0", "25,000.0"]
    assert column_of(answer.text, "By the trade&#39;s count")[2:4] == ["247.1", "24,710.0"]
    assert column_of(answer.text, "Clad shows from")[2] == str(pack_rows(kit)[2].shows_from) == "10"
    for path in ("piece", "water", "roll", "ware", "instruments"):
        assert f'href="/bench/{path}"' in answer.text
        assert house.get(f"/bench/{path}").status_code == 200


def test_rolls_weigh_what_is_published(kit: Kit) -> None:
    """By the Acts' weights a roll of dimes is 125 g, of quarters and halves 250 g, of dollars 534.591 g."""
    rolls = {row.kind.slug: row for row in pack_rows(kit) if row.pack == "roll"}

    assert [float(rolls[slug].unworn_g) for slug in ("us-dime-90", "us-quarter-90", "us-half-90", "us-half-40")] == [
        *(125, 250, 250),
        230,
    ]
    assert float(rolls["us-dollar-90"].unworn_g) == pytest.approx(534.591, abs=0.01)
    assert float(rolls["us-five-cent-wartime"].unworn_g) == 200
    assert all(row.low_g < row.unworn_g < row.high_g for row in pack_rows(kit))


@pytest.mark.parametrize(
    ("path", "form", "sentence"),
    [
        ("piece", DOLLAR, "Morgan dollar: Nothing speaks against it so far. Passed: weight, diameter and magnet."),
        ("piece", QUARTER, "Set aside. Failed: weight and edge"),
        ("water", WATER, "Density 10.31 ± 0.09 g/cm³"),
        ("roll", ROLL, "7.1326 ozt scale fine, within"),
        ("ware", WARE, "0.4074 ozt scale to 2.0372 ozt scale fine, if the mark is true; count the low end."),
    ],
)
def test_a_form_is_worked_out_and_nothing_is_booked(
    house: Caller, kit: Kit, path: str, form: dict[str, str], sentence: str
) -> None:
    before = entries(kit)
    answer = house.post(f"/bench/{path}", {**form, "do": "show"})

    assert answer.status_code == 200
    assert sentence in text_of(answer.text).replace("\N{NARROW NO-BREAK SPACE}", " ")
    assert entries(kit) == before
    for name, typed in form.items():
        if name in {"weight", "mark", "amount"}:
            assert f'name="{name}" type="text" value="{typed}"' in answer.text


@pytest.mark.parametrize(("path", "form"), [("piece", DOLLAR), ("water", WATER), ("roll", ROLL), ("ware", WARE)])
def test_a_form_books_one_entry_and_leads_to_what_was_tested(
    house: Caller, kit: Kit, path: str, form: dict[str, str]
) -> None:
    before = entries(kit)
    answer = house.post(f"/bench/{path}", {**form, "piece": "the third one", "do": "book"})

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    shown = text_of(house.get(answer.headers["location"]).text)
    assert f"Entry {before + 1} was booked. Tested the third one" in shown
    assert "the third one" in text_of(house.get("/bench").text)
    assert foreign(house, f"/bench/{path}", {**form, "piece": "x", "do": "book"}) == 403
    assert entries(kit) == before + 1


def test_a_photo_is_kept_with_a_test(house: Caller, kit: Kit) -> None:
    fields = {"form_key": house.keys.form_key, **QUARTER, "piece": "the dull one", "do": "book", "heap": "L1"}
    sent = {"files": ("edge.jpg", b"picture", "image/jpeg"), "more_files": ("sound.wav", b"noise", "audio/wav")}
    answer = house.send("POST", "/bench/piece", data=fields, files=sent, headers={**house.cookie, **OWN})

    assert answer.status_code == 303
    (one,) = all_benches(kit)
    assert [file.name for file in one.attachments] == ["edge.jpg", "sound.wav"]
    assert "Kept with them: edge.jpg, sound.wav" in text_of(house.get(answer.headers["location"]).text)
    digest = one.attachments[0].sha256
    assert f"/book/files/{digest}" in house.get("/book/2").text
    assert house.get(f"/book/files/{digest}").content == b"picture"
    assert prove(kit).attachments == 2
    assert [name for _, name in named_files(list(kit.journal.records()))] == list(one.attachments)
    fields["piece"] = "another"
    wrong = house.send(
        "POST", "/bench/piece", data=fields, files={"files": ("a.exe", b"x", "")}, headers={**house.cookie, **OWN}
    )
    assert wrong.status_code == 400
    assert "is not a kind of file kept here" in text_of(wrong.text)
    assert entries(kit) == 2


@pytest.mark.parametrize(
    ("path", "form", "at"),
    [
        ("piece", {"kind": "", "weight": "heavy"}, {"kind", "weight"}),
        ("piece", {**DOLLAR, "diameter": "wide", "magnet": "sings", "heap": "L9"}, {"diameter", "magnet"}),
        ("piece", {**DOLLAR, "piece": "", "heap": "", "do": "book"}, {"piece"}),
        ("piece", {**DOLLAR, "piece": "x", "heap": "", "on": "2027-01-01", "do": "book"}, {"on"}),
        ("water", {**WATER, "wet": "27 g"}, {"wet"}),
        ("water", {**WATER, "celsius": "99"}, {"wet"}),
        ("water", {**WATER, "celsius": "boiling"}, {"celsius"}),
        ("roll", {"kind": "us-quarter-90", "weight": "", "amount": "lots"}, {"weight", "amount"}),
        ("roll", {**ROLL, "strangers": "moon dust", "sample": "", "sample_count": ""}, {"strangers"}),
        ("ware", {"mark": "", "weight": "", "built": "castle"}, {"mark", "built"}),
    ],
)
def test_every_fault_stands_at_its_field_and_nothing_is_booked(
    house: Caller, kit: Kit, path: str, form: dict[str, str], at: set[str]
) -> None:
    before = entries(kit)
    answer = house.post(f"/bench/{path}", form)

    assert answer.status_code == 400
    assert faults_of(answer.text) == at
    assert entries(kit) == before


def test_a_kind_that_is_typed_stands_before_the_list(house: Caller) -> None:
    answer = house.post("/bench/piece", {**DOLLAR, "other": "us-half-franklin", "diameter": ""})

    assert "Franklin half dollar: " in text_of(answer.text)
    assert 'value="us-half-franklin" selected' in answer.text


def test_tests_of_one_piece_are_joined_and_can_be_gone_on_with(house: Caller, kit: Kit) -> None:
    house.post("/bench/piece", {"heap": "L1", "weight": "5.67 g", "piece": "the dull one", "do": "book"})
    house.post(
        "/bench/piece", {"heap": "L1", "magnet": "fast", "edge": "copper stripe", "piece": "The dull one", "do": "book"}
    )
    page = house.get("/bench/tested/2")

    assert "Set aside. Failed: magnet and edge; they rest on different grounds." in text_of(page.text)
    assert 'href="/bench/piece?piece=The+dull+one&amp;kind=us-quarter-90&amp;heap=L1%2Fus-quarter-90"' in page.text
    again = house.get("/bench/piece?piece=The+dull+one&kind=us-quarter-90&heap=L1%2Fus-quarter-90")
    assert 'value="The dull one"' in again.text
    assert 'value="us-quarter-90" selected' in again.text
    assert "1 piece or heap tested; 1 set aside." in text_of(house.get("/bench").text)
    assert house.get("/bench/tested/99").status_code == 404
    assert house.get("/bench/tested/x").status_code == 404
    assert entries(kit) == 3


def test_a_long_list_is_turned(house: Caller, kit: Kit) -> None:
    for number in range(52):
        house.post("/bench/piece", {**DOLLAR, "piece": f"dollar {number}", "do": "book"})
    first, rest = house.get("/bench").text, house.get("/bench?first=50").text

    assert len(all_benches(kit)) == 52
    assert "dollar 51" in first
    assert "dollar 1<" not in first
    assert "dollar 1<" in rest
    assert "Older tests" in first
    assert "Newer tests" in rest


class TestInstruments:
    SCALE: ClassVar = {"name": "pocket", "step": "0.01 g", "check": "100 g", "within": "0.01 g", "shown": "99.98 g"}

    def test_each_is_set_down_by_its_form(self, house: Caller, kit: Kit) -> None:
        for path, form in (
            ("scale", self.SCALE),
            ("calipers", {"step": "0.01 mm", "error": "0.02 mm"}),
            ("thermometer", {"step": "0.1", "error": "0.5"}),
        ):
            assert house.post(f"/bench/instruments/{path}", form).status_code == 303
        page = text_of(house.get("/bench/instruments").text)

        assert instruments(kit).own == {"pocket", "calipers", "thermometer"}
        assert "1 scale set down, 1 of them checked with a known weight." in page
        assert "100 g within 0.01 g showed 99.98 g" in page
        assert "right within 0.02 mm" in page
        assert 'name="check" type="text" value="100"' in house.get("/bench/instruments?scale=pocket").text
        assert 'value="pocket"' in house.get("/bench/piece").text

    @pytest.mark.parametrize(
        ("path", "form", "at"),
        [
            ("scale", {"name": "", "step": "fine"}, {"name", "scale-step"}),
            ("scale", {"name": "a", "step": "1 g", "check": "100 g", "shown": "50 g"}, {"shown"}),
            ("calipers", {"step": "0", "error": "much"}, {"calipers-error", "calipers-step"}),
            ("thermometer", {"step": ""}, {"thermometer-step"}),
        ],
    )
    def test_faults_stand_in_the_form_that_was_sent(
        self, house: Caller, kit: Kit, path: str, form: dict[str, str], at: set[str]
    ) -> None:
        answer = house.post(f"/bench/instruments/{path}", form)

        assert answer.status_code == 400
        assert faults_of(answer.text) == at
        assert instruments(kit).own == frozenset()
        assert foreign(house, f"/bench/instruments/{path}", form) == 403
