"""A quote said in every other way, at the price on record or another."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.kinds import Basis
from ninefine.desk.kit import Kit
from ninefine.desk.quotes import convert_quote, goods_choices
from ninefine.desk.records import price
from ninefine.errors import Faults
from ninefine.market.quote import QuoteForm
from ninefine.market.read_quote import read_quote
from ninefine.testing import kit_in_memory

D = Decimal


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2026, 6, 12))


def test_times_face_is_said_in_every_other_way(kit: Kit) -> None:
    """The trade's own sum: 49 times face at spot 66 is 68.53 a trade ounce (0.715: common practice, no source)."""
    sheet = convert_quote(kit, {"quote": "49x", "spot": "66"})

    said = {wording.form: wording.said for wording in sheet.wordings}
    assert round(sheet.answer.usd_per_ozt_trade, 2) == D("68.53")
    assert said[QuoteForm.PER_OUNCE][Basis.TRADE] == "68.5315 an ounce"
    assert said[QuoteForm.SPOT_PLUS] == {Basis.TRADE: "spot+2.5315", Basis.UNWORN: "spot+1.7365"}
    assert said[QuoteForm.TIMES_FACE] == {Basis.TRADE: "49x"}
    assert QuoteForm.EACH not in said
    assert (sheet.basis, sheet.stamp, sheet.total) == (Basis.TRADE, None, None)


def test_every_wording_reads_back(kit: Kit) -> None:
    sheet = convert_quote(kit, {"quote": "1.10 each over melt", "goods": "halves", "spot": "30", "amount": "20"})

    texts = [said for wording in sheet.wordings for said in wording.said.values()]
    assert len(texts) >= 12
    assert {read_quote(text).form for text in texts} == {wording.form for wording in sheet.wordings} == set(QuoteForm)
    assert sheet.total is not None
    assert round(sheet.total, 2) == D("236.50")


def test_a_weighed_heap_is_told_by_scale_too(kit: Kit) -> None:
    sheet = convert_quote(kit, {"quote": "22.5x", "spot": "32", "amount": "60 face, 1461 g"})

    said = {wording.form: wording.said for wording in sheet.wordings}
    assert set(said[QuoteForm.PER_OUNCE]) == set(Basis)
    assert set(said[QuoteForm.PER_GRAM]) == {Basis.SCALE}
    assert sheet.total == 1350


def test_the_price_on_record_is_taken_where_none_is_given(kit: Kit) -> None:
    price(kit, {"on": "2026-06-12", "per_ozt": "66", "whose": "the shop's screen"})

    sheet = convert_quote(kit, {"quote": "spot+1.20", "goods": "ozt"})

    assert sheet.stamp is not None
    assert sheet.stamp.whose == "the shop's screen"
    assert sheet.answer.usd_per_ozt_trade == D("67.2") == sheet.answer.usd_per_ozt_unworn


def test_goods_may_be_any_kind_of_the_catalog(kit: Kit) -> None:
    sheet = convert_quote(kit, {"quote": "5% over", "goods": "canada 50c 1967", "spot": "30"})

    assert "50" in sheet.answer.goods
    assert dict(goods_choices())["90"] == "90% dimes, quarters and halves"


@pytest.mark.parametrize(
    ("form", "fields"),
    [
        ({}, {"quote"}),
        ({"quote": "23q", "goods": "moon dust", "spot": "-1", "amount": "x"}, {"quote", "goods", "spot"}),
        ({"quote": "2.30 each", "spot": "30"}, {"quote"}),
        ({"quote": "flat 100", "spot": "30"}, {"quote"}),
        ({"quote": "22x", "goods": "dimes", "amount": "0.55 face"}, {"amount"}),
    ],
)
def test_each_fault_stands_at_its_field(kit: Kit, form: dict[str, str], fields: set[str]) -> None:
    with pytest.raises(Faults) as caught:
        convert_quote(kit, form)

    assert {fault.where for fault in caught.value.faults} >= fields


def test_without_any_price_a_quote_struck_on_spot_is_refused() -> None:
    kit = kit_in_memory(today=date(2026, 6, 12), currency="EUR")

    with pytest.raises(Faults, match="no spot"):
        convert_quote(kit, {"quote": "spot+1"})
    sheet = convert_quote(kit, {"quote": "23x"})
    assert sheet.answer.premium_pct_trade is None
    assert QuoteForm.SPOT_PLUS not in {wording.form for wording in sheet.wordings}
