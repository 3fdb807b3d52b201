"""What a stranger types: huge numbers, signs of other customs, control characters, days that cannot be."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from cli.conftest import Ninefine

#: Texts that are no figure of a household, whatever figure is asked for.
ODD = ("9" * 40, "9" * 39 + ".5", "9" * 5000, "1e30", "NaN", "inf", "\N{SUPERSCRIPT TWO}", "1/0", "x" * 9000)
#: Commands that read a figure, a day or a price, each with `{}` where it goes. None needs more than an empty book.
FIGURES = (
    ("quote", "{}x", "--spot", "66"),
    ("quote", "{}", "--spot", "66"),
    ("quote", "spot+{}", "--spot", "66"),
    ("quote", "49x", "--spot", "{}"),
    ("quote", "49x", "--spot", "32", "--face", "{}", "--weight", "1461 g"),
    ("worth", "--spot", "{}"),
    ("returns", "--ask", "spot+{}"),
    ("plan", "whatif", "--shock", "{}"),
    ("plan", "whatif", "--path", "66, {}"),
    ("plan", "steady", "{}"),
    ("plan", "buy", "3100", "--share-least", "{}"),
    ("plan", "sell", "5000", "--by", "{} days"),
    ("settle", "--ask", "{}"),
    ("price", "{}"),
    ("exit", "the shop", "--bid", "90={}x"),
    ("exit", "the shop", "--bid", "90=22x", "--fee", "days={}"),
    ("set", "cover", "house", "limit={}"),
    ("bench", "weigh", "us-quarter-washington-silver", "{} g"),
    ("bench", "size", "us-half-franklin", "--diameter", "{}"),
    ("search", "250 face", "--of", "dime", "--hour", "{}"),
    ("kind", "medal", "--weight", "{} g", "--fineness", ".925"),
)


@pytest.mark.parametrize("text", ODD, ids=[odd[:6] + f" ({len(odd)})" for odd in ODD])
@pytest.mark.parametrize("arguments", FIGURES, ids=[" ".join(one[:3]) for one in FIGURES])
def test_what_is_no_figure_is_refused_in_words(with_book: Ninefine, arguments: tuple[str, ...], text: str) -> None:
    said = with_book(*(part.replace("{}", text) for part in arguments))

    assert said.code in {2, 3}, said
    assert "did not expect" not in said.err
    assert "Invalid" not in said.err
    assert len(said.err) < 2000


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "2026-02-30", "12-31", "tomorrow"])
@pytest.mark.parametrize(
    "arguments",
    [
        ("price", "32", "--on"),
        ("opening", "5 of 1 oz round", "--acquired"),
        ("set", "review", "the safe", "on={}"),
        ("holdings", "--on"),
        ("returns", "--on"),
        ("inherit", "5 of 1 oz round", "--died"),
    ],
    ids=lambda arguments: arguments[0],
)
def test_a_day_that_cannot_be_is_refused(with_book: Ninefine, arguments: tuple[str, ...], day: str) -> None:
    typed = [part.replace("{}", day) for part in arguments] + ([] if "{}" in arguments[-1] else [day])

    said = with_book(*typed)

    assert said.code == 2, said
    assert "is not a date" in said.err or "is in the year" in said.err


def test_an_entry_is_not_mended_to_a_day_that_has_not_come(with_book: Ninefine) -> None:
    assert with_book("buy", "10 of 1 oz round for 300", "--on", "2024-03-05").code == 0

    for day, words in (("2199-01-01", "has not come yet"), ("0001-01-01", "in the year 1")):
        said = with_book("mend", "1", f"on={day}")
        assert said.code == 2
        assert words in said.err
    assert with_book("book", "--json").json["entries"][0]["on"] == "2024-03-05"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("on=yesterday", "  on: This is no date"),
        ("lines.1.price=dear", "  lines.1.price: This is no number"),
        ("lines.1.lot=/etc", "  lines.1.lot: A lot is named by"),
        ("arrived=maybe", "  arrived: Say true or false"),
        ("lines.\N{SUPERSCRIPT TWO}.price=5", "has no field"),
    ],
)
def test_a_mend_that_does_not_fit_is_told_in_plain_words(with_book: Ninefine, change: str, words: str) -> None:
    assert with_book("buy", "10 of 1 oz round for 300").code == 0

    said = with_book("mend", "1", change)

    assert said.code == 2
    assert words in said.err
    assert not any(word in said.err for word in ("str", "regex", "RFC", "$.", "`"))


@pytest.mark.parametrize("serial", ["0", "99"])
def test_an_entry_that_is_not_there_is_not_withdrawn(with_book: Ninefine, serial: str) -> None:
    assert with_book("note", "one").code == 0

    said = with_book("withdraw", serial)

    assert said.code == 2
    assert f"There is no entry {serial}. The book has 1 entries." in said.err


@pytest.mark.parametrize("text", ["a\x1b[31mb", "a\x00b", "caf\udce9", "x" * 20_001])
@pytest.mark.parametrize(
    "arguments", [("note",), ("buy", "5 of 1 oz round for 100", "--seller")], ids=lambda one: one[0]
)
def test_what_no_text_can_hold_is_refused_and_nothing_booked(
    with_book: Ninefine, arguments: tuple[str, ...], text: str
) -> None:
    said = with_book(*arguments, text)

    assert said.code == 2
    assert "Type it again" in said.err or "At most 20,000 are read" in said.err
    assert with_book("book", "--json").json["entries"] == []


def test_a_remark_may_have_several_lines(with_book: Ninefine) -> None:
    assert with_book("note", "one\n\ttwo").code == 0


def test_faults_are_told_by_the_options_that_they_were_typed_by(with_book: Ninefine) -> None:
    """Options by their names, arguments by theirs, rows by their number; never by a field of a form."""
    said = with_book("plan", "whatif", "--first-year", "0", "--spot", "x")
    assert "  --first-year: Year is 0." in said.err
    assert "  --spot: 'x' is not a number." in said.err
    assert "  SUM: 'x' is not a number." in with_book("plan", "steady", "x").err
    assert "  --step: This is needed." in with_book("bench", "calipers").err
    assert "  weight 1: '3' is not a weight." in with_book("weigh", "L9=3").err


@pytest.mark.parametrize(
    "arguments", [("look", "--most", "0", "dime"), ("book", "--most", "-4"), ("demo", "--port", "70000")]
)
def test_numbers_of_things_have_a_range(with_book: Ninefine, arguments: tuple[str, ...]) -> None:
    said = with_book(*arguments)

    assert said.code == 2
    assert "is not in the range" in said.err


def test_without_a_terminal_a_passphrase_is_asked_for_in_a_file(tmp_path: Path) -> None:
    """Python would else warn of its own source file and read the passphrase aloud from what is piped in."""
    done = subprocess.run(
        [sys.executable, "-m", "ninefine", "--book", str(tmp_path / "new.ninefine"), "new"],
        input="secret\nsecret\n",
        capture_output=True,
        text=True,
        check=False,
        start_new_session=True,
        env={**os.environ, "NINEFINE_HOME": str(tmp_path)},
    )

    assert done.returncode == 2
    assert "--passphrase-file" in done.stderr
    assert "Warning" not in done.stderr
    assert not (tmp_path / "new.ninefine").exists()


def test_a_book_that_cannot_be_made_is_told(ninefine: Ninefine, tmp_path: Path) -> None:
    """Its folder would have to stand where a file is."""
    (tmp_path / "file").write_text("x")

    for command in (("new", "--without-passphrase"), ("demo", "--build-only")):
        said = ninefine("--book", str(tmp_path / "file" / "sub" / "new.ninefine"), *command)
        assert said.code == 4, said
        assert "this is no folder. Name another place" in said.err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no device that is always full")
def test_output_that_cannot_be_written_is_told() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "ninefine", "quote", "49x"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )

    assert done.returncode == 4
    assert done.stderr.startswith("The output could not be written: no space left on device.")


def test_a_paper_does_not_pass_over_what_it_was_asked(with_book: Ninefine) -> None:
    said = with_book("paper", "inventory", "--lots", "L1", "--year", "2026")

    assert said.code == 2
    assert "  --lots: This paper does not go by it. It is for bag-slips, tube-labels." in said.err
    assert "  --year: This paper does not go by it. It is for gains." in said.err


def test_lots_whose_cost_nobody_knows_have_none(with_book: Ninefine) -> None:
    assert with_book("opening", "12 of 1 oz round", "10 face of 90% for 200").code == 0

    rows = [line.split() for line in with_book("holdings", "--spot", "30", "--lots").out.splitlines()]

    assert next(row for row in rows if row[:1] == ["L1"])[-4:] == ["12", "pieces", "12.0000", "-"]
    assert next(row for row in rows if row[:1] == ["L2"])[-4:] == ["10", "face", "7.1500", "200.00"]


@pytest.mark.parametrize(
    "arguments",
    [
        ("exit", "the shop", "--bid", "nonsense=22x"),
        (
            "remind",
            "mine",
            "--below",
            "5",
            "--of",
            "nonsense",
            "--words",
            "w",
            "--source",
            "s",
            "--as-of",
            "2026-01-01",
        ),
    ],
    ids=lambda arguments: arguments[0],
)
def test_goods_that_would_never_be_found_are_refused(with_book: Ninefine, arguments: tuple[str, ...]) -> None:
    said = with_book(*arguments)

    assert said.code == 2
    assert "'nonsense' names no kind of silver held here" in said.err


def test_a_bid_for_a_kind_in_plain_words_finds_it(with_book: Ninefine) -> None:
    assert with_book("exit", "the shop", "--bid", "morgan dollar=30 each").code == 0
    assert with_book("opening", "12 of morgan dollar for 300").code == 0

    assert with_book("worth", "--spot", "30", "--json").json["exits"][0]["net_usd"] == "360"


@pytest.mark.parametrize("worth", ["zzz=600", "1850-P=5", "bettr=4"])
def test_a_find_that_no_bag_holds_is_refused(with_book: Ninefine, worth: str) -> None:
    said = with_book("search", "250 face", "--of", "us-dime-mercury", "--worth", worth)

    assert said.code == 2
    assert "is no date of this mix, and no rank" in said.err


@pytest.mark.parametrize("month", ["2026-02-30", "2011-13", "2011-x", "11-04", "20111-04"])
def test_a_month_that_cannot_be_is_refused_with_one(with_book: Ninefine, month: str) -> None:
    said = with_book("plan", "steady", "300", "--since", month)

    assert said.code == 2
    assert f"  --since: '{month[:10]}' is not a month. Try: 2011-04." in said.err


def test_a_list_with_control_characters_and_huge_numbers_is_read_without_them(
    with_book: Ninefine, tmp_path: Path
) -> None:
    """What nobody sees is left out of a cell, as a zero width space is; a number of no household is a fault."""
    table = tmp_path / "list.csv"
    head = "Date,Kind,Quantity,Total,Seller\n"
    table.write_text(head + "2024-03-05,1 oz round,10,120.00,the\x1b[31m shop\x07\n")
    assert with_book("bring", str(table), "--as", "purchases").code == 0
    assert "\\u00" not in with_book("book", "--json").out

    for text in ("9" * 40, "9" * 14):
        table.write_text(head + f"2024-03-06,1 oz round,{text},120.00,the shop\n")
        said = with_book("bring", str(table), "--as", "purchases")
        assert said.code == 2
        assert "line 2" in said.err


@pytest.mark.parametrize("data", [b"year,mint,count\n1944,P\x1b,3\n", "1944,3\n".encode("utf-16-be"), b"1944,3\n\x0c"])
def test_a_table_with_control_characters_is_refused(with_book: Ninefine, tmp_path: Path, data: bytes) -> None:
    table = tmp_path / "tally.csv"
    table.write_bytes(data)

    said = with_book("tally", "L1", str(table), "--of", "dime")

    assert said.code == 2
    assert "control character" in said.err or "not text in UTF-8" in said.err


def test_figures_are_set_down_together_or_not_at_all(with_book: Ninefine) -> None:
    """That nothing was written must be true of every part."""
    said = with_book("figures", "--threshold", "4", "--share", "cleaned=lots")
    assert said.code == 2
    assert "nothing was written" in said.err
    assert with_book("book", "--json").json["entries"] == []

    both = with_book("figures", "--threshold", "4", "--share", "cleaned=50", "--json").json
    assert [one["serial"] for one in both["booked"]] == [1, 2]


def test_offers_of_a_file_are_told_in_one_object(with_book: Ninefine, tmp_path: Path) -> None:
    sheet = tmp_path / "offers.toml"
    goods = 'goods = [{ kind = "dimes", face = 10, quote = "24x" }]'
    sheet.write_text('spot = "32"\n' + "".join(f'[[offer]]\nname = "{name}"\n{goods}\n' for name in "AB"))

    assert [one["serial"] for one in with_book("offer", str(sheet), "--json").json["booked"]] == [1, 2]


@pytest.mark.parametrize(
    "arguments",
    [
        ("ring", "examples/ring-dollar-a.flac", "--kind", "morgan dollar", "--piece", "the 1921"),
        ("search", "250 face", "--of", "us-dime-mercury"),
    ],
    ids=lambda arguments: arguments[0],
)
def test_json_is_one_object_with_decimals_as_strings(with_book: Ninefine, arguments: tuple[str, ...]) -> None:
    assert with_book("opening", "3 of merc dime 1944-D", "--lot", "L1").code == 0

    said = with_book(*arguments, "--json")

    assert said.code == 0, said
    assert not re.search(r":\s*-?\d+\.\d", said.out)
    assert ("booked" in said.json) is (arguments[0] != "search")


def test_a_date_of_several_mints_is_refused_with_each(with_book: Ninefine) -> None:
    """Each as it can be typed, and none twice."""
    said = with_book("opening", "3 of merc dime 1944")

    assert "'merc dime 1944' does not say which issue of its kind. Say which one, or the kind alone." in said.err
    for issue in ("1944-P", "1944-D", "1944-S"):
        assert said.err.count(f"us-dime-mercury#{issue}") == 1
        assert with_book("opening", f"3 of us-dime-mercury#{issue}").code == 0


def test_a_command_that_is_not_there_is_answered_with_those_near_to_it(ninefine: Ninefine) -> None:
    assert "There is no command 'holding'. Try: holdings" in ninefine("holding").err
    assert "There is no command 'zzz'. `ninefine --help` lists them." in ninefine("zzz").err
    assert "There is no command 'sel'. Try: sell." in ninefine("plan", "sel").err


def test_a_command_typed_wrongly_is_answered_with_an_example(ninefine: Ninefine) -> None:
    assert ninefine("buy").err.splitlines()[-1].startswith('For example: ninefine buy "100 face of 90% halves')
    assert ninefine("bench", "weigh", "x").err.splitlines()[-1].startswith("For example: ninefine bench weigh ")


def test_what_is_no_number_is_told_in_plain_words(ninefine: Ninefine) -> None:
    for arguments in (("withdraw", "x"), ("gains", "abc"), ("book", "--most", "some"), ("open", "--port", "x")):
        said = ninefine(*arguments)
        assert said.code == 2
        assert "is not a valid whole number." in said.err
