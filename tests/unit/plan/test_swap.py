"""Changing form or metal: by hand, and by going back at the very ratio that was said to pay."""

from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import RangeError
from ninefine.market.content import content, content_of
from ninefine.market.read_quote import read_quote
from ninefine.market.series import monthly
from ninefine.plan.swap import Given, Taken, change_of, ratio_past

D = Decimal
GOLD = content_of(load_catalog().kind("xau-us-eagle-1-10oz"))


def given(net: str, tax: str = "0", again: str = "50x") -> Given:
    """A hundred face of 90%: 71.5 ozt by trade."""
    return Given(
        content=content("90"),
        units=Fraction(100),
        ozt=Fraction("71.5"),
        net=D(net),
        tax=D(tax),
        again=read_quote(again),
    )


def test_coin_for_rounds_by_hand() -> None:
    """4,483.00 less 283.00 tax buys 61 rounds at 68.00 and leaves 52.00; melt 4,719 given, 4,026 taken."""
    taken = Taken(content=content("ozt"), ask=read_quote("spot+2"), bid=read_quote("spot-1"))
    found = change_of(given("4483.00", "283.00"), taken, (D(66), D(66)))

    assert (found.units, found.price, found.paid, found.cash) == (61, D("68.00"), D("4148.00"), D("52.00"))
    assert found.given_melt == 4719
    assert found.taken_melt == 4026
    assert found.premium == 4719 - 4026 - 52 - 283
    assert (found.back, found.again) == (D(61 * 65 + 52), D(5000))
    assert found.pays_at is None
    # 5,000 less the 52 in cash is 4,948: of 4,026 melt that is 122.90%
    assert found.bid_at == Fraction(4948, 4026) * 100


def test_silver_for_gold_by_hand() -> None:
    """Gold at 3,960 is 60 times 66; ten tenths cost 396.00 each at spot: 4,483 buys 11, 127.00 left over.

    Going back needs 4,873 for 1.1 ozt: gold at 4,430, 67.1212 times silver.
    """
    taken = Taken(content=GOLD, ask=read_quote("spot"), bid=read_quote("spot"))
    found = change_of(given("4483.00"), taken, (D(66), D(3960)))

    assert (found.units, found.cash) == (11, D("127.00"))
    assert found.ratio == 60
    assert found.pays_at == Fraction(4873) / Fraction("1.1") / 66


def test_going_back_at_that_ratio_buys_just_that_again() -> None:
    """Random prices: at the ratio that pays, the bid less tax and the cash come to the cost of having it again."""
    draw = Random(5)
    for _ in range(200):
        spots = (D(draw.randint(2000, 9000)) / 100, D(draw.randint(150000, 500000)) / 100)
        rate = D(draw.choice((0, 15, 28)))
        net = D(draw.randint(60_000, 900_000)) / 100
        bid = read_quote(draw.choice(("spot", "97% of melt", "spot - 40")))
        taken = Taken(content=GOLD, ask=read_quote(draw.choice(("spot+20", "6% over"))), bid=bid)
        try:
            found = change_of(given(str(net), again=f"{draw.randint(30, 90)}x"), taken, spots, rate)
        except RangeError:
            assert net < spots[1] / 10 * D("1.07") + 20
            continue
        assert found.pays_at is not None
        gold = found.pays_at * Fraction(spots[0])
        each = {"spot": gold, "97% of melt": gold * Fraction("0.97")}.get(str(bid), gold - 40) / 10
        brings = each * found.units
        tax = max(Fraction(0), brings - Fraction(found.paid)) * Fraction(rate) / 100
        assert brings - tax + Fraction(found.cash) == Fraction(found.again)


def test_too_little_for_one_piece_and_a_price_of_nothing() -> None:
    taken = Taken(content=GOLD, ask=read_quote("spot"), bid=read_quote("spot"))
    with pytest.raises(RangeError, match="one piece of"):
        change_of(given("300"), taken, (D(66), D(3960)))
    with pytest.raises(RangeError, match="comes to"):
        change_of(given("300"), Taken(content=GOLD, ask=read_quote("spot-4000"), bid=taken.bid), (D(66), D(3960)))


def test_the_ratio_in_the_past_counts_months() -> None:
    """World Bank Pink Sheet: gold over silver, months since 1960; at or above nothing is every month."""
    gold, silver = monthly("XAU").points, monthly("XAG").points
    every = ratio_past(gold, silver, Fraction(0))
    by_hand = [float(one.per_ozt) / float(two.per_ozt) for one, two in zip(gold, silver, strict=True)]

    assert every.at_or_above == every.months == len(by_hand)
    assert ratio_past(gold, silver, Fraction(80)).at_or_above == sum(ratio >= 80 for ratio in by_hand)
    highest = max(Fraction(one.per_ozt) / Fraction(two.per_ozt) for one, two in zip(gold, silver, strict=True))
    assert ratio_past(gold, silver, highest).at_or_above == 1  # at it counts too
    assert float(every.most) == pytest.approx(max(by_hand), abs=0.01)
