"""Coins as they are typed at the table: read, refused, told apart."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NeverStruckError, NinefineError, NotFoundError, RangeError, UnreadableError
from ninefine.sorting.coin import read_coin
from ninefine.sorting.tally import tally_of
from ninefine.testing import ListMark

CATALOG = load_catalog()


@pytest.mark.parametrize(
    ("word", "text", "kind", "issue"),
    [
        ("dime", "64d", "us-dime-roosevelt-silver", "1964-D"),
        ("dime", "45S", "us-dime-mercury", "1945-S"),
        ("dime", "1945 s", "us-dime-mercury", "1945-S"),
        ("quarter", "32d", "us-quarter-washington-silver", "1932-D"),
        ("quarter", "92", "us-quarter-barber", "1892-P"),
        ("half", "64", "us-half-kennedy-90", "1964-P"),
        ("half", "66", "us-half-kennedy-40", "1966-P"),
        ("dollar", "89cc", "us-dollar-morgan", "1889-CC"),
        ("dollar", "22", "us-dollar-peace", "1922-P"),
        # silver and copper-nickel of 1942: the large P tells the metal (Act of 27 March 1942; common practice)
        ("five-cent", "42", "us-five-cent-copper-nickel", "1942-P"),
        ("five-cent", "42p", "us-five-cent-wartime", "1942-P"),
        ("five-cent", "43s", "us-five-cent-wartime", "1943-S"),
        # the P of a year without silver is only the mint
        ("five-cent", "38p", "us-five-cent-copper-nickel", "1938-P"),
        ("dime", "65", "us-dime-clad", "1965-P"),
        ("dime", "-", "us-dime-90", ""),
        ("quarter", "n", "us-quarter-clad", ""),
    ],
)
def test_a_coin_reads_as_it_is_typed(word: str, text: str, kind: str, issue: str) -> None:
    coin = read_coin(CATALOG, word, text)

    assert (coin.kind.slug, coin.issue, coin.times) == (kind, issue, 1)


def test_two_designs_of_one_year_are_told_apart_by_a_name_or_by_the_coin_before() -> None:
    assert read_coin(CATALOG, "dime", "16").cautions
    assert read_coin(CATALOG, "dime", "16/merc").kind.slug == "us-dime-mercury"
    assert read_coin(CATALOG, "dime", "16", last_kind="us-dime-mercury").kind.slug == "us-dime-mercury"
    assert read_coin(CATALOG, "dollar", "21/peace").kind.slug == "us-dollar-peace"


@pytest.mark.parametrize(
    ("word", "text"), [("half", "55d"), ("half", "56d"), ("quarter", "33"), ("dime", "22"), ("dollar", "33")]
)
def test_what_was_never_struck_is_refused_with_what_was(word: str, text: str) -> None:
    """No Denver half dollar of 1955 or 1956, no quarter of 1933, no dime of 1922 (encyclopaedia tables)."""
    with pytest.raises(NeverStruckError, match=r"Struck|Look again|struck"):
        read_coin(CATALOG, word, text)


def test_a_key_date_says_what_to_check() -> None:
    coin = read_coin(CATALOG, "dime", "16d")

    assert coin.rank == "key"
    assert "fake" in coin.find


def test_many_at_once_and_too_many() -> None:
    assert read_coin(CATALOG, "dime", "64x20").times == 20
    assert read_coin(CATALOG, "dime", "n3").times == 3
    with pytest.raises(RangeError, match="5,000"):
        read_coin(CATALOG, "dime", "64x9999")


@pytest.mark.parametrize("text", ["", "d64", "6", "64q", "64/zzz", "19645", "64dd"])
def test_what_is_no_coin_says_what_would_be_read(text: str) -> None:
    with pytest.raises(UnreadableError, match="Try"):
        read_coin(CATALOG, "dime", text)


@given(st.text(max_size=12), st.sampled_from(["dime", "quarter", "half", "dollar", "five-cent"]))
def test_any_text_reads_or_is_refused_in_words(text: str, word: str) -> None:
    try:
        assert read_coin(CATALOG, word, text).times >= 1
    except NinefineError as error:
        assert str(error)


@given(st.lists(st.tuples(st.sampled_from(["a", "b"]), st.integers(1, 9), st.booleans()), max_size=40))
def test_a_tally_is_its_marks_less_those_cancelled(steps: list[tuple[str, int, bool]]) -> None:
    """Undoing takes exactly the last standing mark back, at any depth."""
    marks: list[ListMark] = []
    expected: list[tuple[str, int]] = []
    standing: list[int] = []
    for kind, delta, undo in steps:
        if undo and standing:
            marks.append(ListMark(seq=len(marks) + 1, kind=kind, issue="", delta=0, cancels=standing.pop()))
            expected.pop()
        else:
            marks.append(ListMark(seq=len(marks) + 1, kind=kind, issue="", delta=delta))
            standing.append(len(marks))
            expected.append((kind, delta))

    tally = tally_of(reversed(marks))

    assert tally.pieces == sum(delta for _, delta in expected)
    for kind in ("a", "b"):
        assert tally.count(kind) == sum(delta for of, delta in expected if of == kind)
    assert [mark.seq for mark in tally.latest] == list(reversed(standing))[:12]


@pytest.mark.parametrize(
    ("word", "text", "issue", "rank"),
    [
        ("dime", "42v", "1942-P:2 over 1", "key"),
        ("dime", "42dvx2", "1942-D:2 over 1", "key"),
        ("dime", "45s/mercv", "1945-S:micro S", "better"),
        ("quarter", "17", "1917-P:type 2", ""),
        ("quarter", "17v", "1917-P:type 1", "better"),
        ("dollar", "1878v2", "1878-P:7 over 8 tail feathers", "better"),
    ],
)
def test_a_variety_is_told_by_its_place_among_the_scarce(word: str, text: str, issue: str, rank: str) -> None:
    coin = read_coin(CATALOG, word, text)

    assert (coin.issue, coin.rank) == (issue, rank)
    assert coin.issue not in [other.key for other in coin.varieties]


def test_a_variety_that_is_not_there_is_refused_with_those_that_are() -> None:
    assert [one.key for one in read_coin(CATALOG, "dime", "42").varieties] == ["1942-P:2 over 1"]
    with pytest.raises(NotFoundError, match="v1 is 2 over 1"):
        read_coin(CATALOG, "dime", "42v2")
    with pytest.raises(NotFoundError, match="no such variety"):
        read_coin(CATALOG, "dime", "64dv")


def test_what_was_struck_for_collectors_alone_is_called_so() -> None:
    """Kennedy halves of 1968 to 1970 with an S were sold in proof sets only (encyclopaedia article, read)."""
    assert read_coin(CATALOG, "half", "68s").rank == "proof"
    assert read_coin(CATALOG, "dime", "1999s").rank == "proof"
    assert read_coin(CATALOG, "half", "68d").rank == ""


def test_a_worn_piece_is_of_the_kind_that_is_known() -> None:
    assert read_coin(CATALOG, "dime", "-x4", worn_kind="us-dime-barber").kind.slug == "us-dime-barber"
    assert read_coin(CATALOG, "dime", "n", worn_kind="us-dime-barber").kind.slug == "us-dime-clad"
