"""What the stack and a lot would bring, as the commands say it."""

import pytest

from cli.conftest import Ninefine


@pytest.fixture
def filled(with_book: Ninefine) -> Ninefine:
    """Quarters at one place, part of them weighed; a medal and a round; a shop and a buyer of rounds."""
    with_book("buy", "20 face of quarters at 21x", "--on", "2024-03-05", "--place", "A1")
    with_book("buy", "10 face of quarters at 22x", "--on", "2024-03-06", "--place", "A1")
    with_book("weigh", "L1=495 g", "--on", "2024-03-06")
    with_book("buy", "1 of 1 oz round for 30", "--on", "2024-03-06", "--place", "A1")
    with_book("exit", "the shop", "--bid", "90=95% of melt", "--on", "2024-03-07")
    with_book("exit", "the rounds man", "--bid", "ozt=spot-1", "--on", "2024-03-07")
    return with_book


def test_goods_of_one_kind_at_one_place_stand_on_one_line(filled: Ninefine) -> None:
    """However they were measured; by the scale, what was weighed and what was not stand apart."""
    by_trade = filled("holdings", "--spot", "30").out
    by_scale = filled("holdings", "--spot", "30", "--basis", "scale").out

    assert by_trade.count("90% silver quarters, mixed") == 1
    assert "30 face  21.4500" in by_trade
    assert "1 piece   1.0000" in by_trade
    assert by_scale.count("90% silver quarters, mixed") == 2


def test_a_lot_is_held_against_what_it_cost(filled: Ninefine) -> None:
    """20 face x 0.715 x 30 x 0.95 = 407.55, cost 420.00; even where 20 x 0.715 x 0.95 x spot is 420: 30.92."""
    said = filled("worth", "--lot", "L1", "--spot", "30")
    record = filled("worth", "--lot", "L1", "--spot", "30", "--json").json

    assert said.out.startswith(
        "What is left of lot L1 cost 420.00; the shop would pay the most, 407.55, 12.45 less than it cost."
    )
    assert "30.92" in said.out
    assert "the rounds man has no bid for any of it." in said.out
    assert (record["exits"][0]["net_usd"], record["exits"][0]["gain_usd"]) == ("407.55", "-12.45")
    assert filled("worth", "--lot", "L9").code == 2


def test_a_lot_sold_out_says_so(filled: Ninefine) -> None:
    filled("sell", "L3=1", "--at", "31", "--on", "2024-04-01")

    assert filled("worth", "--lot", "L3", "--spot", "30").out.startswith("Nothing is left of lot L3.")


def test_what_has_no_bid_is_named_in_few_words(filled: Ninefine) -> None:
    for place, kind in enumerate(("dimes", "halves", "dollars", "40%", "war"), 1):
        filled("buy", f"2 face of {kind} for 30", "--on", "2024-03-07", "--place", f"B{place}")

    said = filled("worth", "--spot", "30").out

    assert "; and 3 more (melt" in said
