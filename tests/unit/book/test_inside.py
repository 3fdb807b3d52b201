"""Silver that stays: weighed, sorted, moved."""

from decimal import Decimal

import pytest

from ninefine.book import entries
from ninefine.book.entries import Weighed
from ninefine.errors import BookError, NotEnoughError
from short_entries import (
    DAY,
    DIME,
    amount,
    bought,
    held,
    lot_of,
    moved,
    only_heap,
    ref,
    row,
    sorted_out,
    was_tested,
    weighed,
)


class TestWeighed:
    def test_the_last_weighing_stands_and_changes_nothing_else(self) -> None:
        heap = only_heap(held(bought("L1", count=10, face="1"), weighed(ref("L1"), "24"), weighed(ref("L1"), "24.1")))

        assert heap.amount == amount(10, "1", "24.1")

    def test_a_heap_is_weighed_once_in_an_entry(self) -> None:
        entry = weighed(ref("L1"), "24")
        with pytest.raises(BookError, match="Lot L1, us-dime-90 is weighed twice"):
            held(bought("L1"), Weighed(on=entry.on, lines=entry.lines * 2))

    def test_a_heap_that_is_not_there_is_refused_with_what_is(self) -> None:
        with pytest.raises(BookError, match=r"holds no us-dime-90 1964 on that date\. It holds us-dime-90 at A1"):
            held(bought("L1", place="A1"), weighed(ref("L1", issue="1964"), "24"))


class TestSorted:
    def test_the_lines_keep_the_lot_and_share_its_basis_by_weight(self) -> None:
        holdings = held(
            bought("L1", "100", count=10, face="1", place="A1"),
            sorted_out(ref("L1", place="A1"), row("1964", "1", count=7), row("1921-D", "2", "B2", count=3)),
        )

        heaps = {(heap.issue, heap.place): (heap.count, heap.basis) for heap in lot_of(holdings).heaps}
        assert heaps == {("1964", "A1"): (7, Decimal("33.33")), ("1921-D", "B2"): (3, Decimal("66.67"))}

    def test_a_line_of_no_weight_carries_no_basis(self) -> None:
        holdings = held(bought("L1", count=10), sorted_out(ref("L1"), row("1964", count=7), row("", "0", count=3)))

        assert [heap.basis for heap in lot_of(holdings).heaps] == [Decimal(100), Decimal(0)]

    def test_weights_that_are_all_zero_are_refused(self) -> None:
        with pytest.raises(BookError, match="Every weight is zero"):
            held(bought("L1", count=10), sorted_out(ref("L1"), row("1964", "0", count=10)))

    @pytest.mark.parametrize(
        ("came_out", "sentence"),
        [
            (row("1964", count=9), "10 pieces went into the sorting and 9 pieces came out, 1 too little"),
            (row("1964", count=12), "10 pieces went into the sorting and 12 pieces came out, 2 too much"),
            (row("1964", face="0.95"), "1 face went into the sorting and 0.95 face came out, 0.05 too little"),
            (row("1964", face="1.10"), "1 face went into the sorting and 1.1 face came out, 0.1 too much"),
        ],
    )
    def test_pieces_and_face_are_conserved(self, came_out: object, sentence: str) -> None:
        with pytest.raises(BookError, match=sentence):
            held(bought("L1", count=10, face="1"), sorted_out(ref("L1"), came_out))  # type: ignore[arg-type]

    def test_lines_that_say_no_face_may_not_outweigh_those_that_do(self) -> None:
        rows = (row("1964", face="1.10"), row("1963", gross_g="2.5"))
        with pytest.raises(BookError, match=r"1 face went into the sorting and 1\.1 face came out"):
            held(bought("L1", face="1"), sorted_out(ref("L1"), *rows))

    def test_lines_that_say_no_count_may_not_outnumber_either(self) -> None:
        rows = (row("1964", count=11), row("1963", gross_g="2.5"))
        with pytest.raises(BookError, match="10 pieces went into the sorting and 11 pieces came out"):
            held(bought("L1", count=10), sorted_out(ref("L1"), *rows))

    def test_part_of_a_heap_is_sorted_and_the_rest_stays(self) -> None:
        holdings = held(
            bought("L1", "100", face="10"),
            sorted_out(ref("L1"), row("1964", count=20, face="2"), taken=amount(face="2")),
        )

        heaps = {heap.issue: (heap.amount, heap.basis) for heap in lot_of(holdings).heaps}
        assert heaps == {"": (amount(face="8"), Decimal(80)), "1964": (amount(20, "2"), Decimal(20))}

    def test_what_joins_an_earlier_heap_of_the_same_issue_adds_to_it(self) -> None:
        holdings = held(
            bought("L1", "100", count=10, face="1"),
            sorted_out(ref("L1"), row("1964", count=4, face="0.4"), taken=amount(4)),
            sorted_out(ref("L1"), row("1964", count=6)),
        )

        heap = only_heap(holdings)
        assert (heap.issue, heap.amount, heap.basis) == ("1964", amount(10), Decimal(100))

    def test_heaps_of_no_common_measure_do_not_join(self) -> None:
        with pytest.raises(BookError, match="is already there, kept by another measure"):
            held(
                bought("L1", gross_g="100"),
                sorted_out(ref("L1"), row("1964", count=3), taken=amount(gross_g="10")),
                sorted_out(ref("L1"), row("1964", gross_g="90")),
            )

    def test_more_than_is_there_cannot_be_taken(self) -> None:
        with pytest.raises(NotEnoughError, match="holds 10 pieces; 11 pieces was asked"):
            held(bought("L1"), sorted_out(ref("L1"), row("1964", count=11), taken=amount(11)))

    def test_another_kind_may_come_out(self) -> None:
        holdings = held(
            bought("L1", kind="us-90-mixed", face="10"),
            sorted_out(ref("L1", "us-90-mixed"), row("", face="4", kind=DIME), row("", face="6", kind="us-half-90")),
        )

        assert [heap.kind for heap in lot_of(holdings).heaps] == [DIME, "us-half-90"]


class TestMoved:
    def test_a_whole_heap_goes_and_takes_its_basis(self) -> None:
        heap = only_heap(held(bought("L1", count=10), moved(ref("L1"), "B2")))

        assert (heap.place, heap.count, heap.basis) == ("B2", 10, Decimal(100))

    def test_part_of_a_heap_goes_with_its_share(self) -> None:
        heaps = lot_of(held(bought("L1", count=3), moved(ref("L1"), "B2", count=1))).heaps

        assert [(heap.place, heap.count, heap.basis) for heap in heaps] == [
            ("", 2, Decimal("66.67")),
            ("B2", 1, Decimal("33.33")),
        ]

    def test_there_and_back_joins_again_to_the_cent(self) -> None:
        heap = only_heap(held(bought("L1", count=3), moved(ref("L1"), "B2", count=1), moved(ref("L1", place="B2"), "")))

        assert (heap.amount, heap.basis) == (amount(3), Decimal(100))

    def test_to_where_it_is_is_refused(self) -> None:
        with pytest.raises(BookError, match="Lot L1, us-dime-90 at A1 is already there"):
            held(bought("L1", place="A1"), moved(ref("L1", place="A1"), "A1"))


class TestTested:
    def test_a_test_changes_nothing_that_is_held(self) -> None:
        before = held(bought("L1", count=10))
        after = held(bought("L1", count=10), was_tested("L1", count=3))

        assert after.lots == before.lots

    def test_a_heap_that_is_not_there_cannot_have_been_tested(self) -> None:
        with pytest.raises(BookError, match="holds no us-dime-90 1964 on that date"):
            held(bought("L1"), was_tested("L1", heap=ref("L1", issue="1964")))
        with pytest.raises(BookError, match="There is no lot 'L2' on that date"):
            held(bought("L1"), was_tested("L1", lots=("L2",)))

    def test_no_more_pieces_are_tested_than_a_heap_holds(self) -> None:
        with pytest.raises(NotEnoughError, match="holds 10 pieces; a test of 11 pieces was asked of it"):
            held(bought("L1", count=10), was_tested("L1", count=11))

    def test_a_parcel_may_be_tested_before_it_is_said_to_be_received(self) -> None:
        lot = lot_of(held(bought("L1", arrived=False), was_tested("L1", count=1)))

        assert lot.awaited is True

    def test_nothing_is_set_aside_by_tests_that_passed(self) -> None:
        with pytest.raises(BookError, match="of which none failed"):
            was_tested("L1", "passed", "set aside")
        assert was_tested("L1", "failed", "set aside").verdict == "set aside"

    def test_a_test_names_what_was_tested(self) -> None:
        line = was_tested("L1").lines
        with pytest.raises(BookError, match="needs to name a heap, a lot or a piece"):
            entries.Tested(on=DAY, lines=line, verdict="unsettled")
