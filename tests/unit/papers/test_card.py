"""The pocket card: the most to pay, by spot and by way out, rounded down; and the ladder of spots."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.desk import tables
from ninefine.desk.kit import Kit
from ninefine.desk.papers import make_paper
from ninefine.errors import Faults, RangeError, UnreadableError
from ninefine.market.content import content
from ninefine.market.exits import Exit, exit_from
from ninefine.market.goods import Goods
from ninefine.market.paid import pays
from ninefine.papers.as_html import as_html
from ninefine.papers.document import Notes
from ninefine.papers.pocket_card import ladder, read_ladder, walk_away
from ninefine.testing import kit_in_memory

D = Decimal


def way(*bids: tuple[str, str], **fees: object) -> Exit:
    rows = [{"what": what, "quote": quote} for what, quote in bids]
    return exit_from({"name": "the shop", "bids": rows, **fees})


@pytest.mark.parametrize(
    ("said", "spot", "price"),
    [
        # worked out apart: 0.715 x 66 x 0.95 = 44.8305; x 0.88 = 41.5272; 0.715 x 32 x 0.93 = 21.2784
        ("95% of melt", "66.00", "44.83"),
        ("88% of melt", "66.00", "41.52"),
        ("93% of melt", "32.00", "21.27"),
        ("22.00x", "32.00", "22.00"),
        ("spot - 0.75", "66", "46.65"),
    ],
)
def test_a_price_is_what_the_exit_pays_rounded_down(said: str, spot: str, price: str) -> None:
    """Half a cent up would be paid by the household: 41.5272 is 41.52 here, though a bid is quoted at 41.53."""
    assert walk_away(way(("90", said)), content("90"), D(spot)) == D(price)


def test_per_cents_and_charges_by_weight_are_taken_off_and_flat_costs_are_not() -> None:
    """24.20x less 13.25% is 20.9935; a refiner's 95% of 0.715 x 31.50 less 0.30 a gross ounce is 21.1580 (by hand)."""
    online = way(("90", "24.20x"), fee_pct="13.25", parcels={"count": "24", "fee": "0.40", "postage": "6.20"})
    refiner = way(
        ("silver", "spot"),
        payable_pct="95",
        treatment={"per_gross_ozt": "0.30", "minimum": "75"},
        costs="48",
        travel={"miles": "18", "per_mile": "0.70"},
    )

    assert walk_away(online, content("90"), D("31.50")) == D("20.99")
    gross = Fraction("0.715") / Fraction("0.9")
    exact = Fraction("0.715") * Fraction("31.50") * Fraction("0.95") - Fraction("0.30") * gross
    assert walk_away(refiner, content("90"), D("31.50")) == D(int(exact * 100)) / 100 == D("21.15")


def test_a_charge_above_the_bid_shows_below_zero_and_no_bid_shows_nothing() -> None:
    dear = way(("war", "1% of melt"), treatment={"per_gross_ozt": "5"})

    price = walk_away(dear, content("war"), D("30"))
    assert price is not None
    assert price < 0
    assert walk_away(way(("90", "22x")), content("ozt"), D("30")) is None
    assert walk_away(way(("bullion", "22x")), content("ozt"), D("30")) is None, "a bid by the face for rounds"


@given(
    name=st.sampled_from(["90", "dollars", "40", "war", "ozt"]),
    spot=st.decimals(1, 400, places=2),
    share=st.integers(1, 130),
    fee=st.decimals(0, 40, places=2),
)
def test_selling_much_at_the_card_s_price_loses_nothing(name: str, spot: D, share: int, fee: D) -> None:
    """What a thousand units fetch by the settlement itself is never less than the card's price a unit."""
    made = way((name, f"{share}% of melt"), fee_pct=str(fee))
    goods = Goods(kind="x", content=content(name), face=D(1000), count=1000)

    price = walk_away(made, content(name), spot)

    assert price is not None
    assert price * int(goods.units) <= pays(made, [goods], spot).net + D("0.02")
    assert (price + D("0.02")) * int(goods.units) > pays(made, [goods], spot).net


def test_a_ladder_is_round_and_has_today_in_the_middle() -> None:
    assert ladder(D("66.00")) == tuple(D(rung) for rung in range(56, 77, 2))
    assert ladder(D("31.50"))[::5] == (D(27), D(32), D(37))
    assert ladder(D("0.40"))[5] == D("0.40")


@given(st.decimals("0.5", 5000, places=2))
def test_any_ladder_climbs_and_holds_today(spot: D) -> None:
    rungs = ladder(spot)

    assert len(rungs) == 11
    assert all(low < high for low, high in pairwise(rungs))
    assert rungs[0] < spot < rungs[-1]
    assert rungs[-1] - rungs[0] < spot


def test_ladders_are_read() -> None:
    assert read_ladder("60 to 66 by 2") == (D(60), D(62), D(64), D(66))
    assert read_ladder("$20-21 by 0.5") == (D(20), D("20.5"), D(21))
    with pytest.raises(UnreadableError, match="60 to 80 by 2"):
        read_ladder("about 66")
    for wrong in ("80 to 60 by 2", "1 to 90 by 1", "60 to 61 by 5"):
        with pytest.raises(RangeError, match="rungs"):
            read_ladder(wrong)


def test_the_card_of_a_household(lane: Kit) -> None:
    card = make_paper(lane, "card", {"spots": "64 to 68 by 2"})

    coin, rounds = sorted(card.ledgers, key=lambda ledger: "pieces" in ledger.caption)
    assert coin.caption == "90% dimes, quarters and halves, a face dollar (0.715 ozt trade)"
    assert [column.head for column in coin.columns] == ["Spot", "Melt", "the shop"]
    assert [row.cells for row in rounds.rows] == [
        (D(64), D(64), D("62.50")),
        (D(66), D(66), D("64.50")),
        (D(68), D(68), D("66.50")),
    ]
    assert [row.cells[2] for row in coin.rows] == [D("44.83")] * 3
    (notes,) = [block for block in card.blocks if isinstance(block, Notes)]
    assert "set down on 2026-06-12" in notes.lines[0][0]
    assert "<script" not in as_html(card)


def test_what_a_card_cannot_hold_is_said(lane: Kit) -> None:
    with pytest.raises(Faults, match="7 kinds of goods are too many"):
        make_paper(lane, "card", {"goods": "90,40,war,ozt,dollars,dimes,halves"})
    with pytest.raises(Faults, match="names no kind of silver"):
        make_paper(lane, "card", {"goods": "unobtainium"})
    bare = kit_in_memory(today=date(1700, 1, 1))
    with pytest.raises(Faults, match="No price of silver is known"):
        make_paper(bare, "card", {})


def test_goods_may_be_named_as_the_trade_does_or_by_kind(lane: Kit) -> None:
    tables.set_exit(lane, {"name": "all", "bids": [{"what": "silver", "quote": "spot"}]})

    card = make_paper(lane, "card", {"goods": "dollars, halves, xag-generic-bar-10oz", "spots": "30 to 31 by 1"})

    assert [ledger.rows[0].cells[-1] for ledger in card.ledgers] == [D("22.95"), D("21.45"), D("300.00")]
