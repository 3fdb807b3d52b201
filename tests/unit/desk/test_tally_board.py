"""The tally board's verbs: slips, undo among windows, what is said of a coin, what waits, pasted tallies."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.catalog.shelf import load_catalog
from ninefine.desk import purchase, records, sorting
from ninefine.desk.kit import Kit
from ninefine.desk.paste import keep_paste, read_paste
from ninefine.desk.tally_view import finds, grids, is_mixed, last_marks, look_at, struck_in_silver, usual_word
from ninefine.desk.to_sort import count_to_sort, heaps_to_sort, sorted_lately, tallies_under_way
from ninefine.errors import BookError, Faults, NeverStruckError, NotFoundError
from ninefine.sorting.coin import read_coin
from ninefine.sorting.tally import tally_of
from ninefine.testing import ListJournal, ListMark, kit_in_memory

CATALOG = load_catalog()
DAY = date(2026, 3, 1)


def buy(kit: Kit, kind: str, amount: str, on: str = "2026-02-01") -> None:
    form = {"on": on, "kind-1": kind, "amount-1": amount, "price-1": "1000", "place": "A1", "arrived": "yes"}
    purchase.buy(kit, form)


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=DAY, catalog=CATALOG)
    buy(made, "us-90", "200 face")
    return made


@pytest.fixture
def number(kit: Kit) -> int:
    return sorting.begin(kit, "L1")


def test_a_slip_that_comes_twice_counts_once(kit: Kit, number: int) -> None:
    """A window that lost the answer sends the slip again."""
    for _ in range(3):
        assert sorting.mark(kit, number, "dime", "64dx5", slip="aaaa.1").times == 5
    for _ in range(3):
        assert sorting.undo(kit, number, slip="aaaa.2") == 1

    assert [mark.delta for mark in kit.tallies.marks(number)] == [5, 0]
    assert sorting.board(kit, number).tally.pieces == 0


def test_a_slip_kept_before_the_tally_was_booked_is_still_answered(kit: Kit, number: int) -> None:
    sorting.mark(kit, number, "dime", "64d", slip="aaaa.1")
    sorting.finish(kit, number)

    assert sorting.mark(kit, number, "dime", "64d", slip="aaaa.1").issue == "1964-D"
    with pytest.raises(BookError, match="already booked by entry 2"):
        sorting.mark(kit, number, "dime", "64d", slip="aaaa.2")


def test_undo_takes_back_this_windows_own_and_then_what_it_found_but_never_anothers(kit: Kit, number: int) -> None:
    for text in ("41", "42"):
        sorting.mark(kit, number, "dime", text)
    for slip, text in (("left.1", "64"), ("right.1", "63"), ("left.2", "62"), ("right.2", "61")):
        sorting.mark(kit, number, "dime", text, slip=slip)

    taken = [sorting.undo(kit, number, slip=f"left.{at}", opened=2) for at in range(3, 8)]

    assert taken == [5, 3, 2, 1, None]
    assert {row.issue for row in sorting.board(kit, number).tally.rows} == {"1963-P", "1961-P"}


def test_undo_of_a_slip_that_was_refused_takes_nothing_back(kit: Kit, number: int) -> None:
    """A coin typed ahead and taken back before its refusal was read must not cost the coin before it."""
    sorting.mark(kit, number, "half", "54", slip="aaaa.1")
    with pytest.raises(NeverStruckError):
        sorting.mark(kit, number, "half", "55d", slip="aaaa.2")

    assert sorting.undo(kit, number, slip="aaaa.3", of="aaaa.2") is None
    assert sorting.undo(kit, number, slip="aaaa.4", of="aaaa.1") == 1
    assert sorting.undo(kit, number, slip="aaaa.5", of="1") is None


WINDOWS = st.lists(
    st.tuples(
        st.sampled_from(["left", "right"]),
        st.sampled_from(["mark", "mark", "mark", "undo", "again"]),
        st.sampled_from(["64d", "64", "21", "n", "-", "42v", "45sx3"]),
    ),
    max_size=30,
)


@given(WINDOWS)
def test_two_windows_and_lost_answers_merge_to_what_each_meant(steps: list[tuple[str, str, str]]) -> None:
    """Each window's own list, kept as a person would on paper, adds up to the board; so does the fold of all marks."""
    kit = kit_in_memory(today=DAY, catalog=CATALOG)
    buy(kit, "us-90", "200 face")
    number = sorting.begin(kit, "L1")
    paper: dict[str, list[tuple[str, str, int]]] = {"left": [], "right": []}
    sent: list[tuple[str, str, str]] = []
    for at, (window, what, text) in enumerate(steps):
        slip = f"{window}.{at}"
        if what == "mark":
            coin = sorting.mark(kit, number, "dime", text, slip=slip)
            paper[window].append((coin.kind.slug, coin.issue, coin.times))
            sent.append((slip, "mark", text))
        elif what == "undo":
            taken = sorting.undo(kit, number, slip=slip, opened=0)
            assert (taken is not None) == bool(paper[window])
            if paper[window]:
                paper[window].pop()
            sent.append((slip, "undo", ""))
        elif sent:  # an answer was lost: the slip comes again
            lost, was, typed = sent[-1]
            if was == "mark":
                sorting.mark(kit, number, "dime", typed, slip=lost)
            else:
                sorting.undo(kit, number, slip=lost, opened=0)
    board = sorting.board(kit, number)
    counts: dict[tuple[str, str], int] = {}
    for kind, issue, times in [*paper["left"], *paper["right"]]:
        counts[kind, issue] = counts.get((kind, issue), 0) + times

    assert {(row.kind, row.issue): row.count for row in board.tally.rows} == counts
    assert board.tally == tally_of(kit.tallies.marks(number))


def test_a_heap_that_is_told_by_design_keeps_it_for_worn_dates_and_double_years(kit: Kit) -> None:
    """A worn piece of a Mercury heap is a Mercury dime, and its 1916 is one without asking."""
    buy(kit, "us-dime-barber", "50 pieces")
    number = sorting.begin(kit, "L2")

    assert sorting.mark(kit, number, "dime", "-").kind.slug == "us-dime-barber"
    assert sorting.mark(kit, number, "dime", "16").kind.slug == "us-dime-barber"
    assert sorting.mark(kit, number, "quarter", "-").kind.slug == "us-quarter-90"


def test_a_board_begins_with_the_denomination_of_its_heap_or_its_last_coin(kit: Kit, number: int) -> None:
    buy(kit, "us-quarter-90", "50 pieces")
    quarters = sorting.board(kit, sorting.begin(kit, "L2"))

    assert (usual_word(kit, quarters), is_mixed(kit, quarters)) == ("quarter", False)
    assert (usual_word(kit, sorting.board(kit, number)), is_mixed(kit, sorting.board(kit, number))) == ("dime", True)
    sorting.mark(kit, number, "half", "64")
    assert usual_word(kit, sorting.board(kit, number)) == "half"


def test_the_time_left_goes_by_pieces_or_by_the_face_that_pieces_had(kit: Kit, number: int) -> None:
    """The memory book's clock goes a second a mark: 3,600 an hour. 10 dimes told, 199.00 face of dimes to go."""
    for _ in range(10):
        sorting.mark(kit, number, "dime", "64")
    board = sorting.board(kit, number)

    assert (board.pace.an_hour, board.face_told, board.face_left) == (3600, Decimal("1.00"), Decimal("199.00"))
    assert board.time_left is not None
    assert board.time_left.total_seconds() == 1990
    assert board.pieces_left is None


def test_grids_hold_every_piece_by_year_and_mint(kit: Kit, number: int) -> None:
    for text in ("64d", "64x4", "21d", "42v", "42x2", "-x3"):
        sorting.mark(kit, number, "dime", text)
    sorting.mark(kit, number, "half", "64")
    shown = {grid.kind.slug: grid for grid in grids(kit, sorting.board(kit, number))}

    assert list(shown) == ["us-dime-90", "us-dime-mercury", "us-dime-roosevelt-silver", "us-half-kennedy-90"]
    mercury = shown["us-dime-mercury"]
    assert mercury.mints == ("P", "D")
    assert [(line.year, line.variety, [(one.count, one.rank) for one in line.places]) for line in mercury.lines] == [
        (1921, "", [(0, "semi-key"), (1, "semi-key")]),
        (1942, "", [(2, ""), (0, "")]),
        (1942, "2 over 1", [(1, "key"), (0, "key")]),
    ]
    assert (shown["us-dime-90"].loose, shown["us-dime-90"].lines) == (3, ())
    assert sum(grid.pieces for grid in shown.values()) == 13


def test_a_place_where_none_was_struck_is_told_from_one_not_found(kit: Kit, number: int) -> None:
    """No Denver half dollar of 1955 was struck (encyclopaedia table); a Philadelphia one was."""
    for text in ("54d", "55"):
        sorting.mark(kit, number, "half", text)
    (grid,) = grids(kit, sorting.board(kit, number))

    assert [(line.year, [one.struck for one in line.places]) for line in grid.lines] == [
        (1954, [True, True]),
        (1955, [True, False]),
    ]


def test_a_find_says_what_to_check_before_it_is_believed() -> None:
    """Reason, mint mark and its place, weight (Act of 12 Feb 1873: 2.5 g, 38.58 grains; tolerance 1.5 grains)."""
    key = look_at(CATALOG, "us-dime-mercury", "1916-D")

    assert key.rank == "key"
    words = " ".join(key.checks)
    for part in ("faked by adding a D", "left of the foot of the fasces", "seam", "2.5 g new, within 0.097 g"):
        assert part in words
    assert words.count("faked") == 1
    assert "bears no letter" in " ".join(look_at(CATALOG, "us-dime-mercury", "1921-P").checks)
    common = look_at(CATALOG, "us-dime-mercury", "1944-P")
    assert (common.rank, common.checks, common.cautions) == ("", (), ())


def test_a_date_that_may_be_more_says_so_and_base_metal_says_so() -> None:
    (other,) = look_at(CATALOG, "us-dime-mercury", "1942-P").others
    assert (other.words, other.why) == ("2 over 1 (key)", "overdate variety; look for the 1 under the 2")
    assert read_coin(CATALOG, "dime", other.text).issue == "1942-P:2 over 1"
    assert "no silver" in look_at(CATALOG, "us-dime-clad", "").cautions[0]
    assert "no silver" in look_at(CATALOG, "us-five-cent-copper-nickel", "1942-P").cautions[0]
    assert "Barber dime" in look_at(CATALOG, "us-dime-mercury", "1916-P").cautions[0]


@pytest.mark.parametrize(
    ("slug", "key", "others"),
    [
        ("us-dime-mercury", "1916-P", ["us-dime-barber"]),
        ("us-dollar-morgan", "1921-P", ["us-dollar-peace"]),
        ("us-five-cent-wartime", "1942-P", []),
        ("us-five-cent-copper-nickel", "1942-P", []),
    ],
)
def test_another_design_of_the_date_is_offered_as_it_is_typed(slug: str, key: str, others: list[str]) -> None:
    """Dimes of 1916 and dollars of 1921 were struck in two designs (encyclopaedia articles)."""
    look = look_at(CATALOG, slug, key)

    assert [read_coin(CATALOG, look.word, other.text, last_kind=slug).kind.slug for other in look.others] == others


def test_a_coin_is_put_right_without_losing_it(kit: Kit, number: int) -> None:
    """Another design in place of the first reading; what is never struck changes nothing; sent twice, done once."""
    sorting.mark(kit, number, "dime", "16", slip="aaaa.1")
    for _ in range(2):
        sorting.amend(kit, number, "dime", "16/barber", of="aaaa.1", slip="aaaa.2")
    assert [(row.kind, row.count) for row in sorting.board(kit, number).tally.rows] == [("us-dime-barber", 1)]

    with pytest.raises(NotFoundError):
        sorting.amend(kit, number, "dime", "16v", of="aaaa.2", slip="aaaa.3")
    assert sorting.board(kit, number).tally.count("us-dime-barber", "1916-P") == 1


def test_the_same_coin_again_is_one_more_of_the_last_that_stands(kit: Kit, number: int) -> None:
    assert sorting.again(kit, number) is None
    for text in ("42vx3", "64"):
        sorting.mark(kit, number, "dime", text)
    sorting.undo(kit, number)
    for _ in range(2):
        sorting.again(kit, number, slip="aaaa.1")

    assert sorting.board(kit, number).tally.count("us-dime-mercury", "1942-P:2 over 1") == 4


def test_finds_stand_the_scarcest_first(kit: Kit, number: int) -> None:
    for word, text in (("dime", "55"), ("dime", "21"), ("dime", "16d"), ("half", "68s"), ("dime", "64")):
        sorting.mark(kit, number, word, text)

    assert [find.look.rank for find in finds(kit, sorting.board(kit, number))] == ["key", "semi-key", "proof", "better"]


def test_the_last_marks_say_which_another_window_made(kit: Kit, number: int) -> None:
    sorting.mark(kit, number, "dime", "41")
    sorting.mark(kit, number, "dime", "64d", slip="left.1")
    sorting.mark(kit, number, "dime", "21d", slip="right.1")
    shown = last_marks(kit, sorting.board(kit, number), "left", opened=1)

    assert not any(one.elsewhere for one in last_marks(kit, sorting.board(kit, number), "left", opened=3))
    assert [(one.date, one.rank, one.elsewhere) for one in shown] == [
        ("1921-D", "semi-key", True),
        ("1964-D", "", False),
        ("1941-P", "", False),
    ]


def test_what_was_struck_in_silver_is_known_for_every_two_digits() -> None:
    """No dime of 1922 or 1932, no silver one of 1965 (Act of 1965), no S half of 1950 (encyclopaedia tables)."""
    dimes = struck_in_silver(CATALOG, "dime")

    assert dimes[1916] == ("P", "D", "S")
    assert not {1922, 1932, 1965} & {*dimes}
    assert struck_in_silver(CATALOG, "half")[1950] == ("P", "D")
    assert struck_in_silver(CATALOG, "dollar")[1889] == ("P", "S", "O", "CC")
    assert [*struck_in_silver(CATALOG, "five-cent")] == [1942, 1943, 1944, 1945]


def test_what_waits_is_the_mixed_first_and_then_what_lacks_dates(kit: Kit) -> None:
    buy(kit, "us-dime-mercury", "50 pieces", on="2025-05-05")
    buy(kit, "xag-generic-round-1oz", "5 pieces")
    buy(kit, "us-half-90", "20 pieces", on="2025-06-06")

    assert [(one.name, one.mixed) for one in heaps_to_sort(kit)] == [
        ("L1/us-90@A1", True),
        ("L4/us-half-90@A1", False),
        ("L2/us-dime-mercury@A1", False),
    ]
    assert count_to_sort(kit) == (1, Decimal(200), 2)
    assert [one.name for one in heaps_to_sort(kit, first=1, most=1)] == ["L4/us-half-90@A1"]


def test_tallies_and_sortings_are_told_newest_first(kit: Kit, number: int) -> None:
    sorting.mark(kit, number, "dime", "64x20")
    later = sorting.begin(kit, "L1")

    assert [(one.number, one.pieces, one.face_told) for one in tallies_under_way(kit)] == [
        (later, 0, Decimal(0)),
        (number, 20, Decimal("2.00")),
    ]
    assert sorted_lately(kit) == ()
    stored = sorting.finish(kit, number)
    records.withdraw(kit, stored.serial, why="the wrong bag")
    (line,) = sorted_lately(kit)
    assert (line.stored.serial, line.withdrawn_by) == (stored.serial, stored.serial + 1)


def test_a_pasted_tally_is_looked_at_and_then_kept_once(kit: Kit, number: int) -> None:
    form = {"table": "64d x20\n1921-D 1\n-  3", "what": "dime", "slip": "aaaa.1"}

    assert read_paste(kit, form).pieces == 24
    assert sorting.board(kit, number).tally.pieces == 0
    for _ in range(2):
        keep_paste(kit, number, form)
    board = sorting.board(kit, number)
    assert (board.tally.pieces, board.tally.count("us-dime-90")) == (24, 3)
    assert board.pace.an_hour is None


def test_a_pasted_tally_with_faults_marks_nothing_and_tells_all_with_their_lines(kit: Kit, number: int) -> None:
    form = {"table": "Year,MM,Qty\n1964,D,2\n1922,D,1\n1964,Q,1", "what": "dime", "columns": "MM = mint"}

    with pytest.raises(Faults) as caught:
        keep_paste(kit, number, form)
    (fault,) = caught.value.faults
    assert fault.where == "table"
    assert [line.partition(":")[0] for line in fault.wrong.splitlines()] == ["line 3", "line 4"]
    assert not kit.tallies.marks(number)
    with pytest.raises(Faults, match="columns: 'Qty' does not name a column"):
        read_paste(kit, {"table": "64", "columns": "Qty"})


def test_an_unknown_tally_is_said(kit: Kit) -> None:
    for verb in (sorting.board, sorting.finish, sorting.undo):
        with pytest.raises(NotFoundError, match="no tally 7"):
            verb(kit, 7)
    with pytest.raises(NotFoundError, match="no tally 7"):
        sorting.mark(kit, 7, "dime", "64")


class Counting(ListJournal):
    """A book in memory that counts the marks that are read from it."""

    read = 0

    def marks(self, tally: int, after: int = 0) -> Sequence[ListMark]:
        found = super().marks(tally, after)
        self.read += len(found)
        return found


def test_a_mark_on_a_long_tally_reads_only_what_is_new() -> None:
    """However long the tally: a window's mark, what another marked meanwhile, and an undo."""
    journal = Counting()
    long = Kit(reference=CATALOG, journal=journal, tallies=journal, today=lambda: DAY)
    buy(long, "us-90", "2000 face")
    number = sorting.begin(long, "L1")
    journal.mark_all(number, [("us-dime-mercury", "1944-D", 1)] * 3000)
    sorting.board(long, number)
    journal.read = 0
    sorting.mark(long, number, "dime", "64d", slip="left.1")
    journal.mark(number, "us-dime-mercury", "1921-D", 1, "right.1")
    sorting.undo(long, number, slip="left.2", opened=3000)
    board = sorting.board(long, number)

    assert journal.read == 3
    assert (board.tally.pieces, board.tally.count("us-dime-mercury", "1921-D")) == (3001, 1)
