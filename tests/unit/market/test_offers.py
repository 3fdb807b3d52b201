"""Reading offers and exits from plain values: every fault at its field, and the rules of tax, tiers and carriage."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.kinds import Evidence, Form, Kind
from ninefine.errors import Faults, NotFoundError, RangeError
from ninefine.market.content import content
from ninefine.market.exits import exit_from
from ninefine.market.goods import contents_with, read_limit
from ninefine.market.landed import CostKind, landed
from ninefine.market.read_offer import offer_from

Row = dict[str, object]


def offer_row(**more: object) -> Row:
    """A sound offer, with something changed."""
    return {"name": "A", "goods": [{"kind": "90", "face": "100", "quote": "24.00x"}], **more}


def total(**more: object) -> str:
    """What the offer costs in all at spot 32."""
    return str(landed(offer_from(offer_row(**more)), Decimal(32)).total)


class TestRules:
    """How each thing that is added is reckoned; goods 2,400.00 throughout."""

    @pytest.mark.parametrize(
        ("tax", "expected"),
        [
            ({"rate_pct": "6"}, "2544.00"),
            ({"rate_pct": "6", "taxed": "under", "threshold": "2400"}, "2400.00"),
            ({"rate_pct": "6", "taxed": "under", "threshold": "2400.01"}, "2544.00"),
            ({"rate_pct": "6", "taxed": "from", "threshold": "2400"}, "2544.00"),
            ({"rate_pct": "6", "taxed": "from", "threshold": "2400.01"}, "2400.00"),
            ({"rate_pct": "6", "exempt_fineness": "0.9"}, "2400.00"),
            ({"rate_pct": "6", "exempt_fineness": "0.999"}, "2544.00"),
        ],
    )
    def test_a_tax_is_a_step(self, tax: Row, expected: str) -> None:
        """The line itself is reached, not under; fine enough goods are exempt where the rule says so."""
        assert total(tax=tax) == expected

    @pytest.mark.parametrize(
        ("counts", "expected"), [("goods", "2626.00"), ("goods and carriage", "2626.60"), ("all", "2630.92")]
    )
    def test_what_a_tax_counts(self, counts: str, expected: str) -> None:
        """6% of 2,400; of 2,410 with carriage; of 2,482 with a card's 3% of the goods too."""
        ways = [{"name": "card", "surcharge_pct": "3"}]
        assert total(tax={"rate_pct": "6", "counts": counts}, carriage={"flat": "10"}, ways=ways) == expected

    @pytest.mark.parametrize(
        ("on", "surcharge"), [("goods", "96.00"), ("goods and carriage", "97.20"), ("all", "102.96")]
    )
    def test_what_a_surcharge_falls_on(self, on: str, surcharge: str) -> None:
        """4% of 2,400; of 2,430 with carriage; of 2,574 with the 6% tax on goods too."""
        row = offer_row(
            ways=[{"name": "card", "surcharge_pct": "4%", "surcharge_on": on}],
            carriage={"flat": "30"},
            tax={"rate_pct": "6"},
        )
        assert str(landed(offer_from(row), Decimal(32)).sum_of(CostKind.SURCHARGE)) == surcharge

    def test_carriage_is_free_from_its_line(self) -> None:
        """At 2,400 the line of 2,400 is reached; a share of the goods is insurance."""
        assert total(carriage={"flat": "9.95", "free_from": "2400"}) == "2400.00"
        assert total(carriage={"flat": "9.95", "free_from": "2400.01"}) == "2409.95"
        assert total(carriage={"flat": "9.95", "pct": "0.5"}) == "2421.95"

    def test_a_discount_comes_off_before_surcharge_and_tax(self) -> None:
        """2,400 less 20 less 1%: 2,356; 6% of that is 141.36."""
        assert total(discount="20", discount_pct="1", tax={"rate_pct": "6"}) == "2497.36"

    def test_a_fee_is_flat(self) -> None:
        """A wire costs 25 at the bank."""
        assert total(ways=[{"name": "wire", "fee": "$25"}]) == "2425.00"

    @pytest.mark.parametrize(
        ("face", "price"), [(99, "2425.50"), (100, "2420.00"), (499, "12075.80"), (500, "11950.00")]
    )
    def test_the_tier_reached_holds_for_the_whole(self, face: int, price: str) -> None:
        """24.50x, from 100 face 24.20x, from 500 face 23.90x."""
        tiers = [{"from": "500", "quote": "23.90x"}, {"from": "100", "quote": "24.20x"}]
        row = offer_row(goods=[{"kind": "90", "face": face, "quote": "24.50x", "tiers": tiers}])
        assert str(landed(offer_from(row), Decimal(32)).total) == price

    def test_a_tier_is_reached_by_the_whole_basket(self) -> None:
        """60 face of dimes and 60 of halves reach 100 face together; rounds do not count with them."""
        tiers = [{"from": "100", "quote": "24.20x"}]
        goods: list[Row] = [
            {"kind": "dimes", "face": 60, "quote": "24.50x", "tiers": tiers},
            {"kind": "halves", "face": 60, "quote": "25.00x"},
            {"kind": "ozt", "count": 10, "quote": "spot", "tiers": [{"from": "20", "quote": "spot-1"}]},
        ]
        amounts = [str(line.amount) for line in landed(offer_from(offer_row(goods=goods)), Decimal(32)).lines]
        assert amounts == ["1452.00", "1500.00", "320.00"]

    def test_limits_and_unread_rules_are_cautioned(self) -> None:
        """A minimum not met, a stock passed, a tax rule without a date."""
        row = offer_row(seller="Cattail Post", minimum="200 face", stock="70 ozt", tax={"rate_pct": "6"})
        assert landed(offer_from(row), Decimal(32)).cautions == (
            "Cattail Post sells no less than 200 face; this is 100.",
            "Cattail Post has no more than 70 ozt; this is 71.5.",
            "The tax rule has no date on which it was read; rules change.",
        )

    def test_two_ways_are_told_apart(self) -> None:
        """The first where none is named; an unknown one lists the known."""
        offer = offer_from(offer_row(ways=[{"name": "check"}, {"name": "card", "surcharge_pct": 4}]))
        assert landed(offer, Decimal(32)).way.name == "check"
        assert str(landed(offer, Decimal(32), way="card").total) == "2496.00"
        with pytest.raises(NotFoundError, match="cannot be paid by 'gold'") as caught:
            landed(offer, Decimal(32), way="gold")
        assert caught.value.instead == ("check", "card")

    def test_spot_must_be_above_zero_and_of_the_metal(self) -> None:
        """A gold coin is not priced against silver."""
        with pytest.raises(RangeError, match="Spot is 0"):
            landed(offer_from(offer_row()), Decimal(0))
        gold = Kind(
            slug="xau-x", name="A gold coin", metal="XAU", form=Form.BULLION, gross_g=Decimal("31.104"),
            fineness=Decimal("0.9999"), trade_ozt=Decimal(1), source="-", evidence=Evidence.OWN,
        )  # fmt: skip
        offer = offer_from(offer_row(goods=[{"kind": "xau-x", "count": 1, "quote": "spot"}]))
        resolve = contents_with({"xau-x": gold}.__getitem__)
        with pytest.raises(RangeError, match="A gold coin is gold, and the spot is of silver"):
            landed(offer, Decimal(32), resolve=resolve)
        assert str(landed(offer, Decimal(2000), metal="XAU", resolve=resolve).total) == "2000.00"


class TestReading:
    """What is at fault is said at its field, all of it at once."""

    def test_plain_values_come_back(self) -> None:
        """Dates, limits, tiers and words as typed."""
        row = offer_row(
            seller="Cattail Post",
            tax={"rate_pct": "6", "taxed": "under", "threshold": "1500", "read_on": date(2025, 3, 4)},
            travel={"miles": 18, "per_mile": "0.70"},
            minimum="99",
            stock="500 face",
        )
        offer = offer_from(row)
        kept = offer.as_dict()
        assert kept["goods"] == [{"kind": "90", "face": "100", "quote": "24.00x"}]
        assert kept["tax"] == {
            "rate_pct": "6",
            "taxed": "under",
            "threshold": "1500",
            "counts": "goods",
            "read_on": "2025-03-04",
        }
        assert (kept["minimum"], kept["stock"]) == ("99 money", "500 face")
        assert offer_from(kept) == offer

    @pytest.mark.parametrize(
        ("change", "where", "wrong"),
        [
            ({"name": ""}, "name", "needed"),
            ({"goods": []}, "goods", "At least one"),
            ({"goods": "90"}, "goods", "a list belongs"),
            ({"goods": ["90"]}, "goods 1", "named fields belong"),
            ({"goods": [{"face": 1, "quote": "24x"}]}, "goods 1: kind", "needed"),
            ({"goods": [{"kind": "90", "face": 1}]}, "goods 1: quote", "needed"),
            ({"goods": [{"kind": "90", "quote": "24x"}]}, "goods 1: face", "how much"),
            ({"goods": [{"kind": "90", "face": -1, "quote": "24x"}]}, "goods 1: face", "not more than zero"),
            ({"goods": [{"kind": "90", "count": 1.5, "quote": "24x"}]}, "goods 1: count", "a rounded number"),
            ({"goods": [{"kind": "90", "face": 1, "quote": "24"}]}, "goods 1: quote", "Try: 24x"),
            (
                {"goods": [{"kind": "90", "face": 1, "quote": "24x", "tiers": [{"quote": "1x"}]}]},
                "goods 1: tiers 1: from",
                "needed",
            ),
            ({"ways": [{"name": "card", "surcharge_pct": 104}]}, "ways 1: surcharge_pct", "more than a hundred"),
            ({"ways": [{"name": "card", "surcharge_on": "tax"}]}, "ways 1: surcharge_on", "goods and carriage"),
            ({"ways": [{"name": "card"}, {"name": "card"}]}, "ways", "same name"),
            ({"tax": {"rate_pct": 6, "taxed": "under"}}, "tax: threshold", "needs the line"),
            ({"tax": {"rate_pct": 6, "read_on": "March"}}, "tax: read_on", "2024-03-01"),
            ({"tax": "6%"}, "tax", "named fields belong"),
            ({"carriage": {"flat": -1}}, "carriage: flat", "below zero"),
            ({"travel": {"miles": 18}}, "travel: per_mile", "needed"),
            ({"minimum": "5 rolls"}, "minimum", "not a limit"),
            ({"discount": True}, "discount", "yes or no"),
            ({"postage": "9.95"}, "postage", "no such field"),
            ({"note": "x" * 5000}, "note", "at most 4000"),
        ],
    )
    def test_a_fault_stands_at_its_field(self, change: Row, where: str, wrong: str) -> None:
        """One thing wrong, one fault."""
        with pytest.raises(Faults) as caught:
            offer_from(offer_row(**change))
        assert [fault.where for fault in caught.value.faults] == [where]
        assert wrong in caught.value.faults[0].wrong

    def test_all_faults_come_out_at_once(self) -> None:
        """Name, quote, rate and an unknown field."""
        row = offer_row(
            name="", tax={"rate_pct": "much"}, colour="blue", goods=[{"kind": "90", "face": 5, "quote": "?"}]
        )
        with pytest.raises(Faults) as caught:
            offer_from(row)
        assert [fault.where for fault in caught.value.faults] == ["name", "goods 1: quote", "tax: rate_pct", "colour"]

    def test_unknown_goods_are_a_fault_where_goods_are_checked(self) -> None:
        """The names that would be read are in the fault."""
        with pytest.raises(Faults, match="buttons"):
            offer_from(offer_row(goods=[{"kind": "buttons", "count": 5, "quote": "1 each"}]), resolve=content)

    @pytest.mark.parametrize(
        ("change", "where", "wrong"),
        [
            ({"bids": []}, "bids", "At least one"),
            ({"bids": [{"what": "90", "quote": "22"}]}, "bids 1: quote", "Try: 22x"),
            ({"bids": [{"what": "90", "quote": "22x"}, {"what": "us-90", "quote": "21x"}]}, "bids", "two bids for 90"),
            ({"basis": "gross"}, "basis", "unworn, trade, scale"),
            ({"fee_pct": 113}, "fee_pct", "more than a hundred"),
            ({"payable_pct": "195"}, "payable_pct", "more than a hundred"),
            ({"parcels": {"fee": "1"}}, "parcels: count", "either"),
            ({"parcels": {"count": 2, "face": 10}}, "parcels: count", "either"),
            ({"days": "soon"}, "days", "number of days"),
            ({"capacity": "lots"}, "capacity", "not a"),
            ({"treatment": {"rate": 1}}, "treatment: rate", "no such field"),
        ],
    )
    def test_an_exits_fault_stands_at_its_field(self, change: Row, where: str, wrong: str) -> None:
        """One thing wrong, one fault."""
        with pytest.raises(Faults) as caught:
            exit_from({"name": "the shop", "bids": [{"what": "90", "quote": "22x"}], **change})
        assert [fault.where for fault in caught.value.faults] == [where]
        assert wrong in caught.value.faults[0].wrong

    @pytest.mark.parametrize(
        ("text", "said"),
        [("500 face", "500 face"), ("$1,500", "1500 money"), ("50 oz", "50 ozt"), ("20 coins", "20 pieces")],
    )
    def test_limits(self, text: str, said: str) -> None:
        """Face, pieces, fine ounces or money."""
        assert str(read_limit(text)) == said
