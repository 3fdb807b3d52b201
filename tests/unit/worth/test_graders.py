"""Whether grading pays: the expected gain by hand, the chances at which it breaks even, fees. Figures are invented."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.errors import Faults, NotFoundError, RangeError
from ninefine.worth.band import read_band
from ninefine.worth.collectors import CollectorExit, FlawShares
from ninefine.worth.grader_fees import FeeTier, GraderFees, grader_fees_from
from ninefine.worth.graders import GradingAnswer, GradingCase, Outcome, grading_pays, outcomes_from, read_chance
from ninefine.worth.guide import Guide, guide_of
from ninefine.worth.read_sheet import sheet_from
from ninefine.worth.span import End

COIN = ("us-dollar-morgan", "1893-S")
FEES = GraderFees(name="fees", tiers=(FeeTier(fee=Decimal(30)),), parcel=Decimal(20))
PLAIN = CollectorExit(name="a sale", fee_pct=Decimal(10))


def guide() -> Guide:
    rows = [
        {"kind": COIN[0], "issue": COIN[1], "grade": grade, "low": low, "high": high}
        for grade, low, high in [("VF20", "180", "220"), ("EF40", "380", "420"), ("AU50", "900", "1100")]
    ]
    return guide_of([sheet_from({"name": "x", "on": "2026-06-01", "rows": rows})], today=date(2026, 11, 25))


def outcome(band: str, chance: str, price: str | None = None) -> Outcome:
    return Outcome(band=read_band(band), chance=Decimal(chance), price=None if price is None else Decimal(price))


def case(*outcomes: Outcome, **how: object) -> GradingCase:
    usual = GradingCase(
        kind=COIN[0],
        issue=COIN[1],
        raw=read_band("VF20"),
        outcomes=outcomes,
        declared=Decimal(500),
        pieces=4,
        raw_exit=PLAIN,
        graded_exit=PLAIN,
        shares=FlawShares(percent={"details": Decimal(50)}),
    )
    return replace(usual, **how)  # type: ignore[arg-type]


USUAL = (outcome("VF20", "0.4"), outcome("EF40", "0.4"), outcome("EF40 details", "0.2"))


def asked(*outcomes: Outcome, end: End = End.MID, **how: object) -> GradingAnswer:
    return grading_pays(case(*(outcomes or USUAL), **how), guide(), FEES, end)


def test_the_expected_gain_by_hand() -> None:
    """PRACTICE.md question 25: sum p v (1 - fee) - cost - raw net.

    0.4 x 200 x 0.9 + 0.4 x 400 x 0.9 + 0.2 x 200 x 0.9 = 72 + 144 + 36 = 252; 30 + 20/4 = 35; 200 x 0.9 = 180; 37 left.
    """
    answer = asked()

    assert [one.net for one in answer.outcomes] == [Decimal(180), Decimal(360), Decimal(180)]
    assert (answer.expected, answer.cost, answer.raw, answer.gain) == (
        Decimal(252),
        Decimal(35),
        Decimal(180),
        Decimal(37),
    )
    assert answer.pays


def test_the_break_even_chances_by_hand() -> None:
    """It needs 180 + 35 = 215. Without details the mean is (72 + 144) / 0.8 = 270, with them it is 180.

    So details break even at (215 - 270) / (180 - 270) = 11/18. EF40 nets 360 and the others 180 each way:
    (215 - 180) / (360 - 180) = 7/36.
    """
    answer = asked()

    assert answer.details == Decimal("0.2")
    assert answer.details_break_even is not None
    assert abs(Fraction(answer.details_break_even.chance) - Fraction(11, 18)) < Fraction(1, 10**29)
    assert not answer.details_break_even.above
    best = answer.outcomes[1].break_even
    assert best is not None
    assert abs(Fraction(best.chance) - Fraction(7, 36)) < Fraction(1, 10**29)
    assert best.above


def test_low_and_high_prices_give_their_own_answers() -> None:
    """At the low ends 0.9 x (0.4 x 180 + 0.4 x 380 + 0.2 x 190) = 235.80, less 35, less 162: 38.80."""
    assert asked(end=End.LOW).gain == Decimal("38.80")
    assert asked(end=End.HIGH).gain == Decimal("35.20")


def test_metal_is_taken_where_a_sale_brings_less() -> None:
    """A floor of 190 lifts the raw sale and the two outcomes at 180: 76 + 144 + 38 - 35 - 190 = 33."""
    assert asked(metal=Decimal(190)).gain == Decimal(33)


def test_details_sold_as_metal_bring_the_metal() -> None:
    answer = asked(shares=FlawShares(percent={"details": Decimal(0)}), metal=Decimal(24))

    assert answer.outcomes[2].net == Decimal(24)
    assert answer.expected == Decimal("220.80")


def test_an_exit_that_takes_no_such_piece_leaves_the_metal() -> None:
    picky = replace(PLAIN, least=Decimal(250))

    assert [one.net for one in asked(graded_exit=picky, metal=Decimal(24)).outcomes] == [24, 360, 24]


def test_ones_own_price_goes_before_the_sheet() -> None:
    answer = asked(outcome("MS65", "0.5", "2000"), outcome("VF20", "0.5"))

    assert answer.outcomes[0].net == Decimal(1800)
    assert answer.outcomes[0].price == Decimal(2000)


def test_where_nothing_can_break_even_none_is_said() -> None:
    """Outcomes that net what the raw piece does lose the cost at any chance; a single outcome has no others."""
    alike = asked(outcome("VF20", "0.5"), outcome("VF20", "0.5"))
    alone = asked(outcome("EF40", "1"))
    never = asked(outcome("VF20", "0.7"), outcome("VF20 details", "0.3"))

    assert [one.break_even for one in alike.outcomes] == [None, None]
    assert (alike.gain, alike.pays) == (Decimal(-35), False)
    assert alone.outcomes[0].break_even is None
    assert alone.details_break_even is None
    assert never.details_break_even is None


@settings(deadline=None)
@given(
    st.lists(st.integers(1, 97), min_size=2, max_size=5),
    st.lists(st.sampled_from(["VF20", "VF30", "EF40", "AU50", "EF40 details", "VF20 details"]), min_size=5, max_size=5),
)
def test_at_its_break_even_chance_an_outcome_gains_nothing(weights: list[int], bands: list[str]) -> None:
    """Put back into the sum with the others in proportion, the chance brings the gain to zero."""
    whole = sum(weights)
    shares = [Decimal(weight * 1000 // whole) / 1000 for weight in weights]
    shares[0] += 1 - sum(shares, Decimal(0))
    answer = asked(*(outcome(band, str(share)) for band, share in zip(bands, shares, strict=False)))

    for at, one in enumerate(answer.outcomes):
        if one.break_even is None:
            continue
        chance = Fraction(one.break_even.chance)
        others = [
            (Fraction(share), other.net)
            for place, (share, other) in enumerate(zip(shares, answer.outcomes, strict=True))
            if place != at
        ]
        rest = sum(share for share, _ in others)
        if not rest:
            continue
        mean = chance * Fraction(one.net) + (1 - chance) * sum(share * Fraction(net) for share, net in others) / rest
        assert abs(mean - Fraction(answer.cost + answer.raw)) < Fraction(1, 10**20)
        better = Fraction(one.net) > sum(share * Fraction(net) for share, net in others) / rest
        assert one.break_even.above is better


@pytest.mark.parametrize("chances", [("0.5", "0.4"), ("0.5", "0.6"), ("1.5", "-0.5"), ()])
def test_chances_that_do_not_sum_to_one_are_faults(chances: tuple[str, ...]) -> None:
    with pytest.raises(Faults, match="the outcomes"):
        grading_pays(case(*(outcome("VF20", chance) for chance in chances)), guide(), FEES)


def test_what_cannot_be_priced_is_refused() -> None:
    with pytest.raises(RangeError, match="outside"):
        asked(outcome("MS65", "1"))
    with pytest.raises(NotFoundError, match="no share for a piece that is cleaned"):
        asked(raw=read_band("VF20 cleaned"))


def test_outcomes_read_from_plain_values_with_every_fault() -> None:
    rows = [{"band": "EF40", "chance": "35%"}, {"band": "VF20 details", "chance": "0.65", "price": "90"}]
    read = outcomes_from({"outcomes": rows})

    assert [one.chance for one in read] == [Decimal("0.35"), Decimal("0.65")]
    assert read[1].price == Decimal(90)
    with pytest.raises(Faults) as caught:
        outcomes_from({"outcomes": [{"band": "VF41", "chance": "135%"}, {"chance": "x", "odds": "1"}]})
    assert [fault.where for fault in caught.value.faults] == [
        "outcomes 1: band",
        "outcomes 1: chance",
        "outcomes 2: band",
        "outcomes 2: chance",
        "outcomes 2: odds",
    ]
    with pytest.raises(Faults, match="sum to"):
        outcomes_from({"outcomes": [{"band": "EF40", "chance": "35%"}]})


@pytest.mark.parametrize(("text", "chance"), [("0.35", "0.35"), ("35%", "0.35"), ("12.5 %", "0.125"), ("1", "1")])
def test_chances_read_as_people_write_them(text: str, chance: str) -> None:
    assert read_chance(text) == Decimal(chance)


TABLE = {
    "name": "fees",
    "tiers": [{"fee": "90"}, {"up_to": "300", "fee": "22"}, {"up_to": "1500", "fee": "40"}],
    "per_piece": "3",
    "parcel": "36",
    "insurance_pct": "1",
    "membership": "40",
    "pieces_a_year": "8",
    "minutes": "20",
    "source": "a page",
    "read_on": "2026-01-05",
}


@pytest.mark.parametrize(("declared", "fee"), [("300", "22"), ("300.01", "40"), ("1500", "40"), ("9000", "90")])
def test_the_fee_goes_by_the_declared_value(declared: str, fee: str) -> None:
    fees = grader_fees_from(TABLE)

    assert fees.costs(Decimal(declared))[0].amount == Decimal(fee)


def test_every_part_of_the_cost_by_hand() -> None:
    """40 + 3 + 36/4 + 1% of 1,100 + 40/8 + 20 minutes at 12: 40 + 3 + 9 + 11 + 5 + 4 = 72."""
    lines = grader_fees_from(TABLE).costs(Decimal(1100), pieces=4, hourly=Decimal(12))

    assert [line.amount for line in lines] == [40, 3, 9, 11, 5, 4]
    assert lines[0].words == "grading, declared up to 1500"


def test_fees_read_back_and_give_their_faults() -> None:
    fees = grader_fees_from(TABLE)

    assert grader_fees_from(fees.as_dict()) == fees
    with pytest.raises(Faults) as caught:
        grader_fees_from({"tiers": [{"fee": "1"}, {"fee": "2"}], "parcel": "-1", "colour": "red"})
    assert {fault.where for fault in caught.value.faults} == {"name", "tiers", "parcel", "colour"}
    with pytest.raises(Faults):
        grader_fees_from({"name": "x", "tiers": [{"up_to": "3"}]})


def test_a_value_past_the_last_tier_has_no_fee() -> None:
    fees = GraderFees(name="fees", tiers=(FeeTier(fee=Decimal(22), up_to=Decimal(300)),))

    with pytest.raises(RangeError, match="no fee for a piece declared at 301"):
        fees.costs(Decimal(301))
    with pytest.raises(RangeError, match="0 pieces"):
        fees.costs(Decimal(1), pieces=0)
