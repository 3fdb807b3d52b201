"""Silver that came otherwise than bought: gifts with their two bases, inheritances, opening balances.

Sources: 26 CFR 1.1015-1(a) and IRS Publication 551 (gifts), 26 U.S.C. 1014 and 1223 (inheritances, holding periods).
What a return makes of it is for a licensed preparer.
"""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Entry, Given, GivenLine, Inherited, InheritedLine, Opened, OpenedLine
from ninefine.book.holdings import Disposal, gain_of
from ninefine.book.how import How
from ninefine.book.term import Term, no_later_than, term_of, turns_long
from ninefine.errors import BookError
from short_entries import (
    DAY,
    amount,
    bought,
    credited,
    given,
    held,
    inherited,
    lot_of,
    only_heap,
    opened,
    ref,
    row,
    sold,
    sorted_out,
)

D = Decimal
LONG_AGO = date(2001, 5, 6)


def sale_of(*entries: Entry) -> Disposal:
    (disposal,) = held(*entries).disposals
    return disposal


class TestGifts:
    """A gift keeps its giver's basis and date; a lower value on the day stands for losses."""

    @pytest.mark.parametrize(
        ("basis", "value", "brought", "gain"),
        [
            ("100000", "90000", "95000", "0"),  # 26 CFR 1.1015-1(a)(2): neither gain nor loss
            ("10000", "8000", "12000", "2000"),  # IRS Publication 551, from memory; follows from the regulation
            ("10000", "8000", "7000", "-1000"),
            ("10000", "8000", "9000", "0"),
            ("10000", "8000", "8000", "0"),
            ("10000", "8000", "10000", "0"),
            ("10000", "12000", "9000", "-1000"),  # worth more than it had cost: one basis, the giver's
        ],
    )
    def test_gains_and_losses_as_the_regulation_has_them(self, basis: str, value: str, brought: str, gain: str) -> None:
        disposal = sale_of(given("L1", basis, value), sold(ref("L1"), brought))

        assert disposal.gain == D(gain)
        assert disposal.basis == D(basis)

    def test_a_gift_counts_from_the_givers_date_and_a_loss_on_its_value_from_the_day_of_the_gift(self) -> None:
        """The giver's basis brings the giver's time along (26 U.S.C. 1223(2)); the value at the gift does not."""
        lot = lot_of(held(given("L1", "100", "80", acquired=LONG_AGO)))

        assert (lot.acquired, lot.came, lot.how) == (LONG_AGO, DAY, How.GIVEN)
        assert term_of(lot, date(2026, 4, 1)) is Term.LONG
        assert term_of(lot, date(2026, 4, 1), by_value=True) is Term.SHORT
        assert term_of(lot, date(2027, 3, 3), by_value=True) is Term.LONG

    def test_an_unknown_giver_date_is_long_once_the_gift_itself_is(self) -> None:
        lot = lot_of(held(given("L1", "100")))

        assert lot.acquired is None
        assert no_later_than(lot) == DAY
        assert term_of(lot, date(2027, 3, 2)) is Term.UNKNOWN
        assert term_of(lot, date(2027, 3, 3)) is Term.LONG
        assert turns_long(lot) == date(2027, 3, 3)

    def test_the_basis_for_losses_is_shared_with_the_basis_and_the_last_piece_takes_the_rest(self) -> None:
        parts = [sold(ref("L1", issue=issue), count=count) for issue, count in (("1964", 1), ("1964", 2), ("1965", 4))]
        holdings = held(
            given("L1", "100", "70", count=7),
            sorted_out(ref("L1"), row("1964", count=3), row("1965", count=4)),
            *parts,
        )

        assert [one.basis for one in holdings.disposals] == [D("16.67"), D("33.33"), D("50.00")]
        assert [one.loss_basis for one in holdings.disposals] == [D("11.67"), D("23.33"), D("35.00")]
        lot = lot_of(holdings)
        assert (lot.loss_cost, lot.loss_basis) == (D(70), D(0))

    def test_a_gift_whose_cost_nobody_knows_has_no_gain(self) -> None:
        disposal = sale_of(given("L1", None, "80"), sold(ref("L1"), "120"))

        assert (disposal.gain, disposal.cost_known, disposal.loss_basis) == (None, False, None)

    def test_the_gain_of_a_gift_is_zero_exactly_between_its_two_bases(self) -> None:
        gains = [gain_of(D(net), D(100), D(80)) for net in (79, 80, 90, 100, 101)]

        assert gains == [-1, 0, 0, 0, 1]

    def test_what_cannot_have_happened_is_refused(self) -> None:
        line = GivenLine(lot="L1", kind="us-dime-90", amount=amount(1), acquired=date(2026, 3, 3))
        with pytest.raises(BookError, match="acquired must not come after"):
            Given(on=DAY, lines=(line,))
        with pytest.raises(BookError, match="value must be zero or more"):
            GivenLine(lot="L1", kind="us-dime-90", amount=amount(1), value=D(-1))
        with pytest.raises(BookError, match="already a lot 'L1'"):
            held(bought("L1"), given("L1", "1"))


class TestInheritances:
    """Basis is the value at death (26 U.S.C. 1014), and the term is always long (1223(9))."""

    def test_the_value_at_death_is_the_cost_and_the_day_of_death_the_date(self) -> None:
        lot = lot_of(held(inherited("L1", "500", died=date(2026, 1, 20))))

        assert (lot.cost, lot.acquired, lot.came, lot.how) == (D(500), date(2026, 1, 20), DAY, How.INHERITED)
        assert (only_heap(held(inherited("L1", "500", died=DAY))).basis, lot.seller) == (D(500), "Grandfather")

    def test_it_is_long_from_the_first_day(self) -> None:
        disposal = sale_of(inherited("L1", "500", died=date(2026, 3, 1)), sold(ref("L1"), "510"))

        assert term_of(disposal, disposal.on) is Term.LONG
        assert turns_long(lot_of(held(inherited("L1", "500", died=DAY)))) is None

    def test_days_out_of_order_are_refused(self) -> None:
        line = InheritedLine(lot="L1", kind="us-dime-90", amount=amount(1))
        with pytest.raises(BookError, match="died must not come after"):
            Inherited(on=DAY, died=date(2026, 3, 3), lines=(line,))
        with pytest.raises(BookError, match="valued_on must not come before"):
            Inherited(on=DAY, died=DAY, valued_on=date(2026, 3, 1), lines=(line,))


class TestOpenings:
    """A stack that was there before the book: as much as is known, and no more."""

    def test_what_is_known_is_kept(self) -> None:
        lot = lot_of(held(opened("L1", "300", acquired=LONG_AGO, how="bought")))

        assert (lot.cost, lot.cost_known, lot.acquired, lot.came, lot.how) == (D(300), True, LONG_AGO, DAY, How.BOUGHT)

    def test_a_cost_that_nobody_knows_is_marked_in_lot_heap_and_sale(self) -> None:
        holdings = held(opened("L1", None), sold(ref("L1"), "90", count=3))

        lot, (disposal,) = lot_of(holdings), holdings.disposals
        assert (lot.cost_known, lot.how) == (False, How.HELD)
        assert not only_heap(holdings).cost_known
        assert (disposal.cost_known, disposal.gain) == (False, None)
        assert term_of(disposal, disposal.on) is Term.UNKNOWN

    def test_a_cost_of_nothing_is_a_cost(self) -> None:
        disposal = sale_of(opened("L1", "0", acquired=LONG_AGO), sold(ref("L1"), "90"))

        assert (disposal.cost_known, disposal.gain) == (True, D(90))

    def test_inherited_before_the_book_is_long_even_if_nobody_knows_since_when(self) -> None:
        assert term_of(lot_of(held(opened("L1", None, how="inherited"))), DAY) is Term.LONG

    def test_nothing_can_be_credited_on_a_cost_that_nobody_knows(self) -> None:
        with pytest.raises(BookError, match="Nobody knows what lot L1 cost"):
            held(opened("L1", None), credited("5", "L1"))

    def test_how_it_came_is_one_of_few_words(self) -> None:
        from ninefine.book.codec import settled  # noqa: PLC0415 - only here

        line = OpenedLine(lot="L1", kind="us-dime-90", amount=amount(1), how="found")
        with pytest.raises(BookError, match="lines 1, how"):
            settled(Opened(on=DAY, lines=(line,)))
