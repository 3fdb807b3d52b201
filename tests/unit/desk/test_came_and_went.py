"""Verbs for silver that came or left otherwise than bought or sold: forms read, entries booked, sentences said."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Given, Inherited, Lost, Opened, Refined, Swapped
from ninefine.book.how import How
from ninefine.catalog.kinds import Basis
from ninefine.desk import came, lots, purchase, records, refining, sale, went
from ninefine.desk.describe import describe
from ninefine.desk.holdings import lot_line, summary
from ninefine.desk.kit import Kit
from ninefine.desk.lots import since
from ninefine.desk.say import holdings_sentence
from ninefine.errors import BookError, Faults, NotEnoughError
from ninefine.measure.numbers import to_places
from ninefine.testing import kit_in_memory

D = Decimal
DAY = date(2026, 6, 12)


@pytest.fixture
def kit() -> Kit:
    """A hundred face of halves and twenty rounds; spot 30 on the day."""
    book = kit_in_memory(today=DAY)
    form = {"on": "2024-03-05", "amount-1": "100 face", "kind-1": "90% halves", "price-1": "2000", "place": "A1"}
    purchase.buy(book, form | {"amount-2": "20", "kind-2": "1 oz round", "price-2": "600"})
    records.price(book, {"per_ozt": "30.00"})
    return book


def faults_of(caught: pytest.ExceptionInfo[Faults]) -> set[str]:
    return {fault.where for fault in caught.value.faults}


class TestGifts:
    def test_a_gift_is_booked_with_what_its_giver_knew(self, kit: Kit) -> None:
        stored = came.give(
            kit,
            {"on": "2026-06-10", "giver": "Aunt Ida", "place": "B2"}
            | {"amount-1": "10", "kind-1": "1 oz round", "basis-1": "250", "acquired-1": "2011-05-06"}
            | {"value-1": "240", "amount-2": "5", "kind-2": "1 oz round", "lot-2": "odd"},
        )

        assert isinstance(stored.entry, Given)
        first, second = kit.holdings().lots["L3"], kit.holdings().lots["odd"]
        assert (first.cost, first.loss_cost, first.acquired, first.how) == (D(250), D(240), date(2011, 5, 6), How.GIVEN)
        assert (second.cost_known, second.acquired) == (False, None)
        said = describe(stored.entry, kit.catalog())
        assert said.startswith("Given by Aunt Ida: 10 pieces of ")
        assert "(its giver paid 250.00 on 2011-05-06; worth 240.00 that day)" in said
        assert "(nobody knows what its giver paid, nobody knows when)" in said
        assert since(first.origin) == "given on 2026-06-10, its giver's since 2011-05-06"
        assert since(second.origin) == "given on 2026-06-10, nobody knows since when"

    def test_a_value_may_be_said_as_a_quote_of_the_day(self, kit: Kit) -> None:
        entry = came.read_gift(kit, {"amount-1": "10", "kind-1": "1 oz round", "value-1": "spot+1"})

        assert entry.lines[0].value == 310

    def test_faults_are_told_at_once(self, kit: Kit) -> None:
        with pytest.raises(Faults) as caught:
            came.give(
                kit,
                {"on": "2026-07-01", "amount-1": "ten", "kind-1": "1 oz round", "basis-1": "x", "acquired-1": "May"}
                | {"own-1": "perhaps", "amount-2": "1", "kind-2": "moon dust"},
            )

        assert faults_of(caught) == {"on", "amount-1", "acquired-1", "own-1", "kind-2"}
        with pytest.raises(Faults, match="at least one line"):
            came.give(kit, {})


class TestInheritances:
    def test_the_value_at_death_is_the_cost(self, kit: Kit) -> None:
        stored = came.inherit(
            kit,
            {"on": "2026-02-01", "whose": "Grandfather", "died": "2025-11-20", "valued_by": "Reed and Sons, appraisal"}
            | {"amount-1": "40 face", "kind-1": "90% halves", "value-1": "1500"}
            | {"amount-2": "350 g", "kind-2": "sterling", "value-2": "300", "own-2": "yes"},
        )

        assert isinstance(stored.entry, Inherited)
        coin, spoons = kit.holdings().lots["L3"], kit.holdings().lots["L4"]
        assert (coin.cost, coin.acquired, coin.own_use) == (D(1500), date(2025, 11, 20), False)
        assert (spoons.cost, spoons.own_use) == (D(300), True)
        assert "who died on 2025-11-20, valued by Reed and Sons, appraisal: " in describe(stored.entry, kit.catalog())
        assert since(coin.origin) == "inherited, here since 2026-02-01, of one who died on 2025-11-20"

    def test_a_value_struck_on_a_monthly_average_says_so(self, kit: Kit) -> None:
        """600 x 0.715 x 23.878, the World Bank's average of December 2023: labelled, since it is no day's price."""
        entry = came.read_inheritance(
            kit, {"died": "2023-12-31", "amount-1": "600 face", "kind-1": "90%", "value-1": "100% of melt"}
        )

        assert entry.lines[0].value == D("10243.66")
        assert "monthly average of December 2023, not the day's price" in entry.valued_by

    def test_days_must_stand_in_order(self, kit: Kit) -> None:
        goods = {"amount-1": "1", "kind-1": "1 oz round"}
        with pytest.raises(Faults) as caught:
            came.inherit(kit, {"on": "2026-01-01", "died": "2026-01-02", "valued_on": "2025-01-01", **goods})
        assert faults_of(caught) == {"died", "valued_on"}
        with pytest.raises(Faults, match="This is needed"):
            came.inherit(kit, goods)


class TestOpenings:
    def test_what_nobody_knows_is_said_everywhere(self, kit: Kit) -> None:
        stored = came.open_with(
            kit,
            {"on": "2026-01-01", "amount-1": "200 face", "kind-1": "90%", "place-1": "C3"}
            | {"amount-2": "10", "kind-2": "1 oz round", "cost-2": "150", "acquired-2": "2009-02-03"}
            | {"how-2": "bought", "seller-2": "a shop long gone"},
        )

        assert isinstance(stored.entry, Opened)
        unknown, known = kit.holdings().lots["L3"], kit.holdings().lots["L4"]
        assert (unknown.cost_known, unknown.how, unknown.heaps[0].place) == (False, How.HELD, "C3")
        assert (known.cost, known.seller, known.how) == (D(150), "a shop long gone", How.BOUGHT)
        assert since(unknown.origin) == "held before the book, nobody knows since when"
        assert since(known.origin) == "bought before the book, since 2009-02-03"
        assert "(nobody knows what it cost, nobody knows since when)" in describe(stored.entry, kit.catalog())
        now = summary(kit)
        assert (now.here.cost, now.here.uncosted_ozt()) == (D(2750), D("143.000"))
        assert now.cost_per_face_90 == 20  # of the hundred face whose cost is known
        assert "of 143.00 ozt nobody knows the cost" in holdings_sentence(now)
        assert lot_line(kit, "L3").days is None
        plan = sale.read_sale(kit, {"heap-1": "L3", "price": "20x"})
        assert (plan.rows[0].gain, plan.gain, [row.lot for row in plan.untold]) == (None, D(0), ["L3"])
        assert plan.rows[0].term.value == "not known"

    def test_a_stack_of_which_nobody_knows_anything(self) -> None:
        book = kit_in_memory(today=DAY)
        came.open_with(book, {"amount-1": "200 face", "kind-1": "90%"})

        assert "Nobody knows what it cost." in holdings_sentence(summary(book))

    def test_words_that_are_none_of_the_few_are_refused(self, kit: Kit) -> None:
        with pytest.raises(Faults, match="bought or given or inherited"):
            came.open_with(kit, {"amount-1": "1", "kind-1": "1 oz round", "how-1": "found"})


class TestSwaps:
    def test_the_value_that_was_left_out_makes_up_the_balance(self, kit: Kit) -> None:
        stored = went.swap(
            kit,
            {"on": "2026-06-10", "whom": "the club", "paid": "15", "heap-1": "L1", "out-1": "20 face", "for-1": "24x"}
            | {"kind-1": "1 oz round", "amount-1": "15", "lot-1": "R2", "carriage": "4"},
        )

        assert isinstance(stored.entry, Swapped)
        lot = kit.holdings().lots["R2"]
        assert (lot.cost, lot.how, since(lot.origin)) == (D(499), How.SWAPPED, "swapped for on 2026-06-10")
        (gone,) = kit.holdings().disposals
        assert (gone.proceeds, gone.basis, gone.gain) == (D(480), D(400), D(80))
        said = describe(stored.entry, kit.catalog())
        assert "counted for 480.00, for 15 pieces" in said
        assert "with 15.00 paid in cash; carriage 4.00." in said

    def test_a_swap_out_of_balance_is_refused_and_so_are_two_unknowns(self, kit: Kit) -> None:
        both = {"heap-1": "L1", "out-1": "20 face", "kind-1": "1 oz round", "amount-1": "15"}
        with pytest.raises(Faults, match=r"counts for 480; what came and the cash together for 490"):
            went.swap(kit, {**both, "for-1": "480", "value-1": "500", "paid": "10"})
        with pytest.raises(Faults, match="one value alone"):
            went.swap(kit, both)
        with pytest.raises(Faults, match="leave -20 for it"):
            went.swap(kit, {**both, "for-1": "480", "received": "500"})
        with pytest.raises(Faults) as caught:
            went.swap(kit, {"heap-1": "L9", "paid": "x"})
        assert faults_of(caught) == {"heap-1", "paid", "kind-1"}


class TestLosses:
    def test_a_theft_with_what_the_insurer_paid(self, kit: Kit) -> None:
        stored = went.lose(
            kit,
            {"on": "2026-06-01", "why": "stolen", "paper": "report 114", "heap-1": "L2", "amount-1": "5"}
            | {"value-1": "160", "paid-1": "120"},
        )

        assert isinstance(stored.entry, Lost)
        (gone,) = kit.holdings().disposals
        assert (gone.basis, gone.proceeds, gone.value) == (D(150), D(120), D(160))
        assert describe(stored.entry, kit.catalog()) == (
            "Stolen: 5 pieces of Generic silver round, 1 troy oz, lot L2, at A1, worth 160.00, 120.00 paid for it."
        )

    def test_a_gift_to_somebody(self, kit: Kit) -> None:
        stored = went.lose(
            kit, {"why": "given away", "whom": "Ned", "heap-1": "L2", "amount-1": "2", "value-1": "spot"}
        )

        assert describe(stored.entry, kit.catalog()).startswith("Given away to Ned: 2 pieces of ")
        assert kit.holdings().disposals[0].value == 60

    def test_what_cannot_be_is_refused(self, kit: Kit) -> None:
        with pytest.raises(Faults) as caught:
            went.lose(kit, {"why": "eaten", "heap-1": "L7"})
        assert faults_of(caught) == {"why", "heap-1"}
        with pytest.raises(Faults, match="was sold, not given away"):
            went.lose(kit, {"why": "given away", "heap-1": "L2", "paid-1": "3"})
        with pytest.raises(Faults, match="Say which heap is gone"):
            went.lose(kit, {})
        with pytest.raises(NotEnoughError):
            went.lose(kit, {"heap-1": "L2", "amount-1": "21"})


STATEMENT = {
    "refiner": "Brook Refining", "on": "2026-06-10", "heap-1": "L1", "gross": "2460 g", "melted": "2450 g",
    "assay": ".899", "payable": "95%", "per_ozt": "30", "treatment": "49.20", "assay_fee": "25",
}  # fmt: skip


class TestSettlements:
    """A refiner's statement reckoned again: 2,450 g at .899 is 70.8136 ozt; 95% of it at 30.00 is 2,018.19."""

    def test_what_the_statement_comes_to(self, kit: Kit) -> None:
        found = refining.read_settlement(kit, STATEMENT)

        assert found.found_ozt is not None
        assert to_places(found.found_ozt, 4) == D("70.8136")
        assert (found.reckoned, found.off, found.fees, found.net) == (
            D("2018.19"),
            D("0.00"),
            D("74.20"),
            D("1943.99"),
        )
        assert (found.trade_ozt, found.scale_ozt) == (D("71.5"), None)
        assert found.from_trade is not None
        assert to_places(found.from_trade * 100, 2) == D("-0.96")
        stored = refining.refine(kit, found)
        assert isinstance(stored.entry, Refined)
        (gone,) = kit.holdings().disposals
        assert (gone.proceeds, gone.fees, gone.basis, gone.gain) == (D("2018.19"), D("74.20"), D(2000), D("-56.01"))
        assert describe(stored.entry, kit.catalog()) == (
            "Refined by Brook Refining: 90% silver half dollars, mixed, lot L1, at A1; 2460 g gross, 2450 g after the "
            "melt, assay 0.899, 95% payable, at 30.00 an ounce; proceeds 2,018.19; treatment 49.20; assay fee 25.00."
        )

    def test_a_statement_that_does_not_add_up_is_shown_and_kept_as_it_stands(self, kit: Kit) -> None:
        found = refining.read_settlement(kit, {**STATEMENT, "proceeds": "2000"})

        assert (found.entry.proceeds, found.off) == (D(2000), D("-18.19"))

    def test_proceeds_alone_are_enough_and_are_shared_by_fine_ounces(self, kit: Kit) -> None:
        found = refining.read_settlement(
            kit, {"heap-1": "L1", "amount-1": "20 face", "heap-2": "L2", "amount-2": "10", "proceeds": "500"}
        )
        refining.refine(kit, found)

        assert (found.found_ozt, found.reckoned, found.off, found.from_trade) == (None, None, None, None)
        assert [one.proceeds for one in kit.holdings().disposals] == [D("294.24"), D("205.76")]  # 14.3 and 10 ozt

    @pytest.mark.parametrize(("said", "parts"), [(".899", "0.899"), ("899", "0.899"), ("89.9%", "0.899"), ("1", "1")])
    def test_an_assay_as_refiners_write_it(self, said: str, parts: str) -> None:
        assert refining.read_assay(said) == D(parts)

    def test_what_cannot_be_is_refused(self, kit: Kit) -> None:
        with pytest.raises(Faults) as caught:
            refining.read_settlement(kit, {"heap-1": "L1", "assay": "1001", "payable": "105", "gross": "heavy"})
        assert faults_of(caught) == {"assay", "payable", "gross", "proceeds"}
        with pytest.raises(Faults, match="which heap was melted"):
            refining.read_settlement(kit, {"proceeds": "5"})
        with pytest.raises(Faults, match="21 pieces was asked"):
            refining.read_settlement(kit, {"heap-1": "L2", "amount-1": "21", "proceeds": "5"})


class TestLots:
    def test_split_join_and_own_use(self, kit: Kit) -> None:
        split = lots.split(kit, {"on": "2026-06-01", "heap": "L2", "amount": "5", "lot": "kids"})
        assert kit.holdings().lots["kids"].cost == 150
        assert describe(split.entry, kit.catalog()).startswith("Made a lot of its own, kids: 5 pieces of ")
        used = lots.use(kit, {"lots": "kids"})
        assert describe(used.entry, kit.catalog()) == "Lot kids serves the household itself."
        with pytest.raises(BookError, match="serves the household itself"):
            lots.join(kit, {"lots": "L2, kids"})
        lots.use(kit, {"lots": "kids", "no_longer": "yes"})
        joined = lots.join(kit, {"lots": "L2, kids"})

        assert describe(joined.entry, kit.catalog()) == "Put lots L2, kids together as lot L2."
        assert kit.holdings().lots["L2"].heaps[0].count == 20
        assert since(kit.holdings().lots["L2"].origin) == "bought on 2024-03-05"

    def test_what_cannot_be_is_refused(self, kit: Kit) -> None:
        with pytest.raises(Faults) as caught:
            lots.split(kit, {"heap": "L9", "amount": "x", "on": "2027-01-01"})
        assert faults_of(caught) == {"heap", "on"}
        with pytest.raises(Faults, match="two lots at least"):
            lots.join(kit, {"lots": "L1"})
        with pytest.raises(Faults, match="no lot 'L9'"):
            lots.use(kit, {"lots": "L1, L9"})
        with pytest.raises(Faults, match="at least one lot"):
            lots.use(kit, {})


def test_the_ounces_of_a_book_with_unknown_costs_are_all_counted(kit: Kit) -> None:
    came.open_with(kit, {"amount-1": "10", "kind-1": "1 oz round"})

    assert summary(kit, basis=Basis.TRADE).here.ozt() == D("101.5")
