"""A quote said in every other way, by its address."""

from datetime import date

import pytest

from ninefine.desk.records import price
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, faults_of, house_of, text_of


@pytest.fixture
def house(app_caller: AppCaller) -> Caller:
    kit = kit_in_memory(today=date(2026, 6, 12))
    price(kit, {"on": "2026-06-12", "per_ozt": "66", "whose": "the shop's screen"})
    return house_of(kit, app_caller)


def test_a_quote_is_said_by_the_ounce_the_face_and_the_coin(house: Caller) -> None:
    """49 times face at 66 is 68.53 a trade ounce, 3.84% over: the trade's own sum, practice section 12."""
    page = text_of(house.get("/quote?quote=49x").text)

    assert "49x for 90% dimes, quarters and halves is 49.00 a face dollar, 68.53 a fine ounce by trade" in page
    assert "3.84% over spot 66.00" in page
    for words in (
        "spot+2.5315",
        "spot+1.7365",
        "103.8356% of melt",
        "ozt unworn",
        "67.7365",
        "490.00 for 10 face",
        "245.00",
    ):
        assert words in page
    assert "66.00 USD an ozt of the metal, spot, the shop's screen" in page


def test_a_weight_and_another_kind_may_be_given(house: Caller) -> None:
    weighed = text_of(house.get("/quote?quote=22.5x&spot=32&amount=60+face,+1461+g").text)
    other = text_of(house.get("/quote?quote=5%25+over&other=canada+50c+1967&spot=30").text)

    assert "31.93" in weighed
    assert "60 face, 1,461 g come to 1,350.00" in weighed
    assert "ozt scale" in weighed
    assert "5% over for Canada 50 cents" in other


def test_nothing_typed_asks_and_nonsense_is_told_at_its_field(house: Caller) -> None:
    assert "Type a price as it was said" in text_of(house.get("/quote").text)
    answer = house.get("/quote?quote=23q&other=moon+dust&spot=0&amount=x")

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"quote", "other", "spot", "amount"}
    assert "Try: 23x, spot+23" in text_of(answer.text)
