"""Sheets of offers in TOML: what is read, and what is said of every kind of bad sheet."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import Faults
from ninefine.intake.offers_toml import LONGEST, read_offers
from ninefine.market.content import content

GOOD = """\
spot = "32.00"
whose = "the shop's screen"

[exit]
name = "the shop"
bids = [{ what = "90", quote = "22.00x" }]

[[offer]]
name = "A"
goods = [{ kind = "halves", face = 100, quote = "24.60x" }]
carriage = { flat = 9.95 }

[[offer]]
name = "B"
[[offer.goods]]
kind = "dimes"
face = 50
quote = "23.90x"
[[offer.goods]]
kind = "quarters"
face = 50
quote = "24.10x"
"""


def changed(old: str, new: str) -> str:
    """The good sheet with one thing changed."""
    assert old in GOOD
    return GOOD.replace(old, new, 1)


def test_a_good_sheet_is_read_exactly() -> None:
    """Bare numbers are decimals, never rounded through binary."""
    sheet = read_offers(GOOD, "sheet.toml", resolve=content)
    assert (sheet.spot, sheet.metal, sheet.whose) == (Decimal("32.00"), "XAG", "the shop's screen")
    assert [offer.name for offer in sheet.offers] == ["A", "B"]
    assert sheet.offers[0].carriage is not None
    assert str(sheet.offers[0].carriage.flat) == "9.95"
    assert [line.kind for line in sheet.offers[1].lines] == ["dimes", "quarters"]
    assert sheet.exit is not None
    assert sheet.exit.name == "the shop"


def test_an_exit_may_be_left_out_and_a_byte_mark_may_stand_first() -> None:
    """Some editors write a mark before the first letter."""
    start, _, rest = GOOD.partition("[exit]")
    sheet = read_offers("\N{ZERO WIDTH NO-BREAK SPACE}" + start + rest[rest.index("[[offer]]") :])
    assert sheet.exit is None


def test_the_shipped_example_reads() -> None:
    """What stands in `examples` is a good sheet, with its goods known."""
    path = Path(__file__).parents[3] / "examples" / "elm_hollow.toml"
    sheet = read_offers(path.read_text(encoding="utf-8"), path.name, resolve=content)
    assert [offer.name for offer in sheet.offers] == ["A", "B", "C", "D"]


BAD = {
    "spot left out": (changed('spot = "32.00"\n', ""), "spot", "This is needed."),
    "spot of nothing": (changed('"32.00"', "0"), "line 1, spot", "0 is not more than zero."),
    "spot in words": (changed('"32.00"', '"thirty-two"'), "line 1, spot", "'thirty-two' is not a number."),
    "spot not finite": (changed('"32.00"', "inf"), "line 1, spot", "'Infinity' is not a number."),
    "a metal unknown": (changed("whose", 'metal = "tin"\nwhose'), "line 2, metal", "'tin' is not a metal held here."),
    "a field unknown": (changed("whose", "who"), "line 2, who", "There is no such field"),
    "no offers": (GOOD[: GOOD.index("[[offer]]")], "offer", "At least one is needed."),
    "one offer not in a list": (changed("[[offer]]", "[offer]").partition("[[offer]]")[0], "offer", "a list belongs"),
    "an offer without a name": (changed('name = "A"\n', ""), "line 8, offer 1, name", "This is needed."),
    "two offers of a name": (changed('"B"', '"A"'), "line 14, offer A, name", "There are two offers named A."),
    "no goods": (
        changed('goods = [{ kind = "halves", face = 100, quote = "24.60x" }]\n', ""),
        "line 8, offer A, goods",
        "At least one is needed.",
    ),
    "an unreadable quote": (changed("24.60x", "24.60"), "line 10, offer A, goods 1: quote", "Try: 24.60x"),
    "an unreadable quote further down": (
        changed("24.10x", "24,10x"),
        "line 22, offer B, goods 2: quote",
        "Try: 24.10x",
    ),
    "a price of nothing": (changed("24.60x", "0x"), "line 10, offer A, goods 1: quote", "A price is more than zero."),
    "goods unknown": (
        changed('"halves"', '"doubloons"'),
        "line 10, offer A, goods 1: kind",
        "not a way that coin is quoted",
    ),
    "no amount": (changed("face = 100, ", ""), "line 10, offer A, goods 1: face", "Say how much"),
    "an amount in the wrong measure": (
        changed("face = 100", "weighed_g = 2500"),
        "line 10, offer A, goods 1: kind",
        "It is counted by face",
    ),
    "a face below zero": (
        changed("face = 100", "face = -100"),
        "line 10, offer A, goods 1: face",
        "-100 is not more than zero.",
    ),
    "a truth for a number": (changed("9.95", "true"), "line 11, offer A, carriage: flat", "yes or no stands where"),
    "a number for a row": (changed("{ flat = 9.95 }", "9.95"), "line 11, offer A, carriage", "named fields belong"),
    "a field misspelt": (changed("flat", "flatt"), "line 11, offer A, carriage: flatt", "There is no such field"),
    "a bid unreadable": (changed("22.00x", "22.00"), "line 6, exit, bids 1: quote", "Try: 22.00x"),
    "an exit without bids": (
        changed('bids = [{ what = "90", quote = "22.00x" }]\n', ""),
        "line 4, exit, bids",
        "At least one",
    ),
    "a quotation mark left open": (changed('"32.00"', '"32.00'), "line 1", "This is not TOML"),
    "a value left out": (changed('"32.00"', ""), "line 1", "This is not TOML"),
    "a bracket left open": (changed("[[offer]]", "[[offer]"), "line 8", "This is not TOML"),
    "a field twice": (changed("whose", "spot"), "line 2", "This is not TOML"),
    "another kind of file": ("date,price\n2024-03-01,22.90\n", "line 1", "This is not TOML"),
    "an empty file": ("", "spot", "This is needed."),
    "a number beyond reason": (changed("face = 100", "face = " + "9" * 5000), "", "A number in it is too long"),
    "brackets without end": ("spot = " + "[" * 3000, "", "go too deep"),
    "a file far too long": ("#" * (LONGEST + 1), "", "at most 500000 are read"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_sheet_says_where_and_what(name: str) -> None:
    """The first fault stands at its line, offer and field; nothing is read."""
    text, where, wrong = BAD[name]
    with pytest.raises(Faults) as caught:
        read_offers(text, "sheet.toml", resolve=content)
    first = caught.value.faults[0]
    # the column of a slip in the writing itself differs between versions of Python
    assert first.where.split(", column")[0] == where
    assert wrong in first.wrong
    assert "in sheet.toml; nothing was written" in str(caught.value)


def test_all_faults_come_out_at_once() -> None:
    """Three offers' worth of mistakes in one reading, in the order of the sheet."""
    text = changed('"32.00"', '"x"').replace("24.60x", "?").replace("23.90x", "?").replace("22.00x", "?")
    with pytest.raises(Faults) as caught:
        read_offers(text, "sheet.toml")
    assert [fault.where for fault in caught.value.faults] == [
        "line 1, spot",
        "line 6, exit, bids 1: quote",
        "line 10, offer A, goods 1: quote",
        "line 18, offer B, goods 1: quote",
    ]


def test_the_second_of_two_rows_on_one_line_is_placed_on_its_line() -> None:
    """Rows written one after another on several lines are told apart by counting."""
    text = changed(
        'goods = [{ kind = "halves", face = 100, quote = "24.60x" }]',
        'goods = [\n  { kind = "halves", face = 9, quote = "24x" },\n  { kind = "dimes", face = 10, quote = "?" },\n]',
    )
    with pytest.raises(Faults) as caught:
        read_offers(text)
    assert [fault.where for fault in caught.value.faults] == ["line 12, offer A, goods 2: quote"]


@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    """Whatever the file holds, there are faults in words or there is a sheet."""
    try:
        answer = str(read_offers(text))
    except Faults as error:
        answer = str(error)
    assert answer


@given(st.integers(0, len(GOOD)), st.text(max_size=4))
def test_a_slip_of_the_hand_breaks_nothing(at: int, slip: str) -> None:
    """The good sheet with a few letters more somewhere: read, or answered with faults."""
    try:
        answer = str(read_offers(GOOD[:at] + slip + GOOD[at:], resolve=content))
    except Faults as error:
        answer = str(error)
    assert answer
