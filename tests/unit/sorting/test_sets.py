"""Sets by date: what is wanted, what is kept, what is lacking, what goes back."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.kinds import Issue
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError, RangeError
from ninefine.sorting.sets import Piece, SetBy, set_state, wants_of

#: A law is a law however long it takes.
slow_machine = settings(deadline=None)

CATALOG = load_catalog()
MERCURY, WALKER, FRANKLIN = "us-dime-mercury", "us-half-walking-liberty", "us-half-franklin"


def no_price(_: Issue) -> Decimal | None:
    return None


def piece(ref: str, issue: str, grade: int | None = None, *, count: int = 1, problem: bool = False) -> Piece:
    return Piece(
        ref=ref,
        kind=FRANKLIN,
        issue=issue,
        count=count,
        grade=None if grade is None else Decimal(grade),
        problem=problem,
    )


@pytest.mark.parametrize(
    ("what", "by", "places"),
    [
        (FRANKLIN, SetBy.YEAR, 16),
        (FRANKLIN, SetBy.ISSUE, 35),
        (FRANKLIN, SetBy.VARIETY, 35),
        (MERCURY, SetBy.YEAR, 27),
        (MERCURY, SetBy.ISSUE, 77),
        (MERCURY, SetBy.VARIETY, 80),
    ],
)
def test_a_set_has_its_places(what: str, by: SetBy, places: int) -> None:
    """Franklin halves 1948 to 1963: 16 years, 35 issues. Mercury dimes: 30 years less three, 77 issues, 3 varieties."""
    assert len(wants_of(CATALOG, what, by=by)) == places


def test_a_set_of_a_denomination_holds_each_design_of_a_year() -> None:
    wants = wants_of(CATALOG, "dimes", by=SetBy.YEAR, first_year=1915, last_year=1917)

    assert [(want.kind, want.label) for want in wants] == [
        ("us-dime-barber", "1915"),
        ("us-dime-barber", "1916"),
        (MERCURY, "1916"),
        (MERCURY, "1917"),
    ]


def test_what_was_struck_as_proofs_alone_has_a_place_if_asked() -> None:
    without = {want.label for want in wants_of(CATALOG, "us-dollar-morgan")}
    with_proofs = {want.label for want in wants_of(CATALOG, "us-dollar-morgan", proofs=True)}

    assert with_proofs - without == {"1895-P"}


def test_years_without_an_issue_are_refused() -> None:
    with pytest.raises(NotFoundError):
        wants_of(CATALOG, MERCURY, first_year=1932, last_year=1933)


def test_the_best_piece_is_kept_and_the_rest_goes_back() -> None:
    wants = wants_of(CATALOG, FRANKLIN, last_year=1949)
    low, high, same = piece("A1", "1948-P", 40), piece("B2", "1948-P", 58, count=3), piece("C3", "1948-P", 58)
    state = set_state(wants, (low, high, same), price=no_price)

    assert [(kept.want.label, kept.piece.ref, kept.piece.count) for kept in state.kept] == [("1948-P", "B2", 1)]
    assert [(back.ref, back.count) for back in state.back] == [("B2", 2), ("C3", 1), ("A1", 1)]
    assert [lack.want.label for lack in state.lacks] == ["1948-D", "1949-P", "1949-D", "1949-S"]


def test_a_sound_piece_is_kept_before_a_better_one_with_a_problem() -> None:
    wants = wants_of(CATALOG, FRANKLIN, last_year=1948)
    cleaned, ungraded, worn = (
        piece("A1", "1948-P", 63, problem=True),
        piece("B2", "1948-P"),
        piece("C3", "1948-P", 12),
    )

    assert set_state(wants, (cleaned, ungraded), price=no_price).kept[0].piece.ref == "B2"
    assert set_state(wants, (cleaned, ungraded, worn), price=no_price).kept[0].piece.ref == "C3"
    assert set_state(wants, (cleaned,), price=no_price).kept[0].piece.ref == "A1"


def test_gaps_are_cheapest_first_and_those_without_a_price_last() -> None:
    wants = wants_of(CATALOG, FRANKLIN, last_year=1950)
    prices = {"1948-P": Decimal(18), "1949-S": Decimal(45), "1950-D": Decimal("16.50"), "1949-P": Decimal(18)}
    state = set_state(wants, (piece("A1", "1948-D", 50),), price=lambda issue: prices.get(issue.key))

    assert [lack.issue.key for lack in state.lacks] == ["1950-D", "1948-P", "1949-P", "1949-S", "1949-D", "1950-P"]
    assert state.cost == Decimal("97.50")
    assert state.unpriced == 2


def test_a_year_is_filled_by_its_cheapest_mint() -> None:
    wants = wants_of(CATALOG, FRANKLIN, by=SetBy.YEAR, last_year=1949)
    prices = {"1949-P": Decimal(30), "1949-D": Decimal(28), "1949-S": Decimal(45)}
    state = set_state(wants, (piece("A1", "1948-D"),), price=lambda issue: prices.get(issue.key))

    assert [(lack.issue.key, lack.price) for lack in state.lacks] == [("1949-D", Decimal(28))]
    assert state.kept[0].want.label == "1948"


def test_a_variety_fills_the_place_of_its_year_and_mint() -> None:
    wants = wants_of(CATALOG, MERCURY, first_year=1942, last_year=1942)
    over = Piece(ref="A1", kind=MERCURY, issue="1942-P:2 over 1")
    state = set_state(wants, (over,), price=no_price)

    assert [kept.want.label for kept in state.kept] == ["1942-P"]


def test_a_variety_that_the_tables_do_not_tell_apart_fills_its_year_and_mint() -> None:
    state = set_state(wants_of(CATALOG, FRANKLIN), (piece("A1", "1948-P:doubled"),), price=no_price)

    assert [kept.want.label for kept in state.kept] == ["1948-P"]


def test_where_varieties_stand_apart_each_fills_its_own() -> None:
    wants = wants_of(CATALOG, MERCURY, by=SetBy.VARIETY, first_year=1942, last_year=1942)
    over, plain = (
        Piece(ref=ref, kind=MERCURY, issue=issue) for ref, issue in (("A1", "1942-P:2 over 1"), ("B2", "1942-P"))
    )
    state = set_state(wants, (over, plain), price=no_price)

    assert [(kept.want.label, kept.piece.ref) for kept in state.kept] == [("1942-P", "B2"), ("1942-P:2 over 1", "A1")]


def test_a_piece_whose_variety_was_not_told_fills_a_year_and_mint_but_no_variety() -> None:
    """1917 Denver half dollars are told apart by the side of the mint mark; one marked without it is either."""
    untold = Piece(ref="A1", kind=WALKER, issue="1917-D")
    by_issue = set_state(wants_of(CATALOG, WALKER), (untold,), price=no_price)
    by_variety = set_state(wants_of(CATALOG, WALKER, by=SetBy.VARIETY), (untold,), price=no_price)

    assert [kept.want.label for kept in by_issue.kept] == ["1917-D"]
    assert by_variety.outside == (untold,)


def test_pieces_of_other_kinds_and_years_stand_outside() -> None:
    wants = wants_of(CATALOG, FRANKLIN, last_year=1950)
    others = (piece("A1", "1963-D"), Piece(ref="B2", kind=WALKER, issue="1947-P"), piece("C3", ""))

    assert set_state(wants, others, price=no_price).outside == others


def test_no_piece_at_all_is_refused() -> None:
    with pytest.raises(RangeError):
        set_state(wants_of(CATALOG, FRANKLIN), (piece("A1", "1948-P", count=0),), price=no_price)


some_pieces = st.lists(
    st.builds(
        Piece,
        ref=st.text("ABC", min_size=1, max_size=2),
        kind=st.sampled_from([FRANKLIN, WALKER]),
        issue=st.sampled_from(["1948-P", "1948-D", "1949-S", "1963-D", "1947-P", ""]),
        count=st.integers(1, 30),
        grade=st.none() | st.integers(1, 70).map(Decimal),
        problem=st.booleans(),
    ),
    max_size=25,
)


@slow_machine
@given(some_pieces, st.sampled_from(SetBy))
def test_every_piece_is_kept_sent_back_or_stands_outside(pieces: list[Piece], by: SetBy) -> None:
    """No piece is lost or made, each place keeps one at most, and nothing sent back is better than what is kept."""
    wants = wants_of(CATALOG, FRANKLIN, by=by)
    state = set_state(wants, pieces, price=no_price)
    after = [*(kept.piece for kept in state.kept), *state.back, *state.outside]

    assert sum(one.count for one in after) == sum(one.count for one in pieces)
    assert len(state.kept) + len(state.lacks) == len(wants)
    assert all(kept.piece.count == 1 for kept in state.kept)
    for kept in state.kept:
        keys = {issue.key for issue in kept.want.issues}
        rivals = [one for one in state.back if one.issue in keys]
        assert all(
            (not one.problem, one.grade or 0) <= (not kept.piece.problem, kept.piece.grade or 0) for one in rivals
        )
