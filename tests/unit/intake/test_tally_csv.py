"""Tallies from tables and pasted text: read as at the table, mapped, and every fault at its line."""

from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import Faults
from ninefine.intake.tally_csv import TallyRead, read_tally_csv
from ninefine.sorting.coin import read_coin

CATALOG = load_catalog()
MERCURY, ROOSEVELT, MIXED = "us-dime-mercury", "us-dime-roosevelt-silver", "us-dime-90"


def read(text: str, what: str = "", columns: Mapping[str, str] | None = None) -> TallyRead:
    return read_tally_csv(text, CATALOG, columns=columns, what=what)


def told(tally: TallyRead) -> dict[str, int]:
    return {f"{row.kind} {row.issue}".strip(): row.count for row in tally.rows}


def faults(text: str, what: str = "", columns: Mapping[str, str] | None = None) -> dict[str, str]:
    with pytest.raises(Faults) as caught:
        read(text, what, columns)
    return {fault.where: fault.wrong for fault in caught.value.faults}


def test_a_table_of_denominations_reads_as_at_the_table() -> None:
    tally = read(
        "Denomination,Year,Mint,Qty,Notes\n"
        "dime,1944,D,12,\n"
        "dimes,44,Denver,3,again\n"
        "dime,16,D,1,\n"
        "quarter,1964,,40,\n"
        "half,1966,,2,\n"
        "$1,1889,CC,1,\n"
        "dime,-,,4,\n"
        "dime,no date,,1,\n"
        "quarter,n,,2,\n"
        "dime,1945,S,,\n"
        "dime,1945,P,0,\n"
    )

    assert told(tally) == {
        f"{MERCURY} 1944-D": 15,
        f"{MERCURY} 1916-D": 1,
        "us-quarter-washington-silver 1964-P": 40,
        "us-half-kennedy-40 1966-P": 2,
        "us-dollar-morgan 1889-CC": 1,
        MIXED: 5,
        "us-quarter-clad": 2,
    }
    assert (tally.pieces, tally.blank) == (66, 2)
    assert [line.coin.rank for line in tally.lines if line.coin.rank] == ["key", "key"]
    assert tally.lines[0].line == 2
    assert tally.lines[0].row.count == 12


def test_a_table_by_mint_counts_each_column() -> None:
    tally = read("type\tdate\tP\tD\tSan Francisco\nMercury dime\t1944\t20\t9\t3\nMercury dime\t22\t\t\t\n")

    assert told(tally) == {f"{MERCURY} 1944-P": 20, f"{MERCURY} 1944-D": 9, f"{MERCURY} 1944-S": 3}
    assert tally.blank == 1


@pytest.mark.parametrize(
    ("text", "what", "rows"),
    [
        (
            "1944-D\n64d x20\n1944-D 12\nn 5\n- 3\n1945 s",
            "dime",
            {f"{MERCURY} 1944-D": 13, f"{ROOSEVELT} 1964-D": 20, f"{MERCURY} 1945-S": 1, MIXED: 3, "us-dime-clad": 5},
        ),
        (
            "dime 1944-D 12\nMercury dime,1944-D,2\n$1 1889cc 2",
            "",
            {f"{MERCURY} 1944-D": 14, "us-dollar-morgan 1889-CC": 2},
        ),
        ("dime;1944-D;12\ndime;1944-D", "", {f"{MERCURY} 1944-D": 13}),
        ("dime 1944-D 12\ndime;1944-D;2", "", {f"{MERCURY} 1944-D": 14}),
        ("1944-D,12\n-,2", "dimes", {f"{MERCURY} 1944-D": 12, MIXED: 2}),
    ],
)
def test_pasted_lines_read_without_headings(text: str, what: str, rows: dict[str, int]) -> None:
    assert told(read(text, what)) == rows


def test_headings_may_be_mapped_and_columns_left_out() -> None:
    tally = read(
        "Coin;How many;Who;Var\n1942;2;me;2 over 1\n",
        "Mercury",
        {"coin": "coin", "how MANY": "count", "who": "-", "var": "variety"},
    )

    assert told(tally) == {f"{MERCURY} 1942-P:2 over 1": 2}
    assert tally.lines[0].coin.rank == "key"
    assert "overdate" in tally.lines[0].coin.find


def test_a_kind_tells_two_digits_and_a_worn_date_by_its_own_years() -> None:
    """Seated dimes of 1873 to 1891: `84` is 1884 there, though at the table it would be 1984."""
    tally = read(
        "kind,year,mint,count\nus-dime-seated-1873-1891,84,S,2\nus-dime-seated-1873-1891,,,1\nus-dime-90,,,3\n"
    )

    assert told(tally) == {
        "us-dime-seated-1873-1891 1884-S": 2,
        "us-dime-seated-1873-1891": 1,
        MIXED: 3,
    }


def test_pieces_struck_for_collectors_are_marked_as_at_the_table() -> None:
    """From 1992 the San Francisco mint struck silver dimes for collectors' sets alone."""
    by_kind = read("kind,year,mint,count\nus-dime-silver-proof-90,1992,S,1\n").lines[0].coin

    assert (by_kind.issue, by_kind.rank) == ("1992-S", "proof")


def test_a_coin_cell_may_say_how_many_itself() -> None:
    assert told(read("coin,denomination\n64d x20,dime\n64d,dime\n")) == {f"{ROOSEVELT} 1964-D": 21}


def test_a_heap_named_with_a_date_is_told_apart() -> None:
    assert told(read("kind,year,count\nus-dime-90,1944,3\n")) == {f"{MERCURY} 1944-P": 3}


def test_bullion_goes_by_its_year_without_a_mint() -> None:
    assert told(read("kind,year,count\nxag-us-eagle-1oz,1990,20\nxag-us-eagle-1oz,,5\n")) == {
        "xag-us-eagle-1oz 1990": 20,
        "xag-us-eagle-1oz": 5,
    }


def test_two_designs_of_a_year_are_marked_with_a_caution() -> None:
    by_denomination = read("denomination,year,count\ndollar,1921,2\n").lines[0].coin
    by_kind = read("kind,year,count\nPeace dollar,1921,2\n").lines[0].coin

    assert by_denomination.kind.slug == "us-dollar-morgan"
    assert "Peace dollar" in by_denomination.cautions[0]
    assert (by_kind.kind.slug, by_kind.cautions) == ("us-dollar-peace", ())


def test_the_letter_of_1942_tells_silver_and_says_so() -> None:
    """The Act of 27 March 1942: pieces of 1942 with a large P hold silver, those without a letter none."""
    with_letter = read("denomination,year,mint,count\nnickel,1942,P,1\n").lines[0].coin
    without = read("denomination,year,mint,count\nnickel,1942,,1\n").lines[0].coin

    assert (with_letter.kind.slug, without.kind.slug) == ("us-five-cent-wartime", "us-five-cent-copper-nickel")
    assert "large P" in with_letter.cautions[0]


@pytest.mark.parametrize("text", ["38p", "1950-P"])
def test_a_p_on_a_five_cent_piece_without_silver_is_philadelphia(text: str) -> None:
    assert read_coin(CATALOG, "nickel", text).kind.slug == "us-five-cent-copper-nickel"


def test_every_fault_comes_out_at_once_at_its_line() -> None:
    found = faults(
        "denomination,kind,year,mint,variety,count\n"
        "dime,,1922,D,,1\n"
        "florin,,1944,,,1\n"
        "quarter,Mercury dime,1944,,,1\n"
        "dime,,1944,X,,1\n"
        "dime,,1944,,,2.5\n"
        "dime,,1944,,,9999999\n"
        "dime,,1942,,3 over 1,1\n"
        "dime,,,,,1\n"
        ",,1944,,,1\n"
        "dime,,64d x20,,,2\n"
        ",Mercury dime,1964,,,1\n"
        ",Mercury dime,16d 5,,,1\n"
        "dime,,1944,,,1,9\n"
    )

    assert set(found) == {f"line {number}" for number in range(2, 15)}
    for line, words in {
        2: "No dime bears the date 1922",
        4: "Mercury dime is no quarter",
        5: "not a mint of the United States",
        7: "more than one line may hold",
        8: "has no variety '3 over 1'",
        9: "No date is said",
        10: "Nothing says what coin this is",
        11: "Say it once",
        12: "Struck in 1964: Roosevelt dime",
        14: "7 cells stand in 6 columns",
    }.items():
        assert words in found[f"line {line}"], line


@pytest.mark.parametrize(
    ("text", "what", "wrong"),
    [
        ("", "dime", "There is no coin in it"),
        ("year,count\n", "dime", "There is no coin in it"),
        ("hello", "dime", "is not a line of a tally"),
        ("kind,count\nMercury dime,2", "", "No column says the date"),
        ("year,P,D,count\n1944,1,2,3", "dime", "columns of single mints beside"),
        ("coin,year\n1944-D,1944", "dime", "leave one out"),
        ("year,count,colour\n1944,2,red", "dime", "'colour' is not a column here"),
        ("year,count\n44,1", "us-dime-seated-1873-1891", "several years, or none"),
    ],
)
def test_what_cannot_be_a_tally_is_refused(text: str, what: str, wrong: str) -> None:
    assert any(wrong in one for one in faults(text, what).values())


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from([("1944", "D"), ("1921", ""), ("16", "d"), ("1964", "Denver"), ("45", "S"), ("-", "")]),
            st.integers(0, 500),
        ),
        min_size=1,
        max_size=12,
    ).filter(lambda lines: any(count for _, count in lines))
)
def test_the_rows_add_up_to_the_lines_in_every_shape(lines: list[tuple[tuple[str, str], int]]) -> None:
    """With columns, or a count beside each coin: the same tally, with nothing lost and nothing twice."""
    headed = "denomination,year,mint,count\n" + "\n".join(
        f"dime,{year},{mint},{count}" for (year, mint), count in lines
    )
    letters = {"": "", "Denver": "d"}
    typed = "\n".join(f"{year}{letters.get(mint, mint)}, {count}" for (year, mint), count in lines)

    one, other = read(headed), read(typed, "dime")

    assert one.rows == other.rows
    assert one.pieces == sum(count for _, count in lines)
    assert one.blank == sum(not count for _, count in lines)


@settings(deadline=None)
@given(st.text(alphabet="dime,;\t 1964-sdnx*2\n\"'#.", max_size=60), st.booleans())
def test_any_text_is_read_whole_or_refused_in_words(text: str, headed: bool) -> None:  # noqa: FBT001
    try:
        tally = read(("year,mint,count\n" if headed else "") + text, "dime")
    except Faults as error:
        assert all(fault.wrong for fault in error.faults)
    else:
        assert tally.pieces == sum(line.coin.times for line in tally.lines) > 0
