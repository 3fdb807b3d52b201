"""The wording of entries as bytes: canonical, complete, versioned, and refusing aloud."""

from datetime import date
from decimal import Decimal

import msgspec
import pytest

from ninefine.book.codec import decode, encode, settled, version_of
from ninefine.book.entries import (
    Amount,
    Bought,
    BoughtLine,
    Entry,
    Fact,
    Listed,
    Lost,
    LostLine,
    Mended,
    Noted,
    Priced,
    Withdrawn,
)
from ninefine.errors import BookError
from short_entries import bought, ref, was_tested


def test_an_entry_has_one_wording_with_its_version_and_nothing_left_out() -> None:
    body = encode(Priced(on=date(2026, 6, 12), per_ozt=Decimal("66.00"), whose="Quay Coin"))

    assert body == (
        b'{"v":1,"said":{"entry":"priced","on":"2026-06-12","at":"","metal":"XAG","per_ozt":"66.00",'
        b'"side":"spot","whose":"Quay Coin","note":""}}'
    )


def test_the_order_in_which_a_free_table_was_typed_makes_no_difference() -> None:
    one = Listed(on=date(2026, 1, 1), table="exit", key="shop", body={"a": 1, "b": {"y": "2", "x": True}})
    other = Listed(on=date(2026, 1, 1), table="exit", key="shop", body={"b": {"x": True, "y": "2"}, "a": 1})

    assert encode(one) == encode(other)


@pytest.mark.parametrize("digits", ["1.10", "1E+3", "0.000000001", "-0.00", "123456789012.123456789"])
def test_decimals_keep_their_digits(digits: str) -> None:
    entry = bought("L1", other_costs={"carriage": digits})

    again = decode(encode(entry))

    assert isinstance(again, Bought)
    assert again.other_costs["carriage"].as_tuple() == Decimal(digits).as_tuple()


@pytest.mark.parametrize(
    "entry",
    [
        Mended(on=date(2026, 1, 1), serial=3, instead=Noted(on=date(2025, 1, 1), text="the right day")),
        Withdrawn(on=date(2026, 1, 1), serial=3, why="typed twice"),
        Listed(on=date(2026, 1, 1), table="exit", key="shop"),
    ],
)
def test_corrections_and_struck_rows_are_read_back_as_written(entry: Entry) -> None:
    assert decode(encode(entry)) == entry


def test_a_later_format_is_refused_with_its_number() -> None:
    body = encode(Noted(on=date(2026, 1, 1))).replace(b'{"v":1,', b'{"v":4,')

    with pytest.raises(BookError, match=r"written in format 4; this ninefine reads up to 3"):
        decode(body)
    assert version_of(body) == 4


def test_an_entry_is_written_in_the_earliest_version_that_has_its_kind() -> None:
    """A ninefine that knows version 1 alone reads all that it can know, and says of the rest that it is later."""
    lost = Lost(on=date(2026, 1, 1), lines=(LostLine(heap=ref("L1")),))
    entries: tuple[Fact, ...] = (bought("L1"), lost, was_tested("L1"))
    versions = [version_of(encode(entry)) for entry in entries]
    mends = [version_of(encode(Mended(on=lost.on, serial=1, instead=entry))) for entry in entries]

    assert versions == mends == [1, 2, 3]
    with pytest.raises(BookError, match="format 1 is not the one that it is written in"):
        decode(encode(lost).replace(b'{"v":2,', b'{"v":1,'))
    with pytest.raises(BookError, match="format 2 is not the one that it is written in"):
        decode(encode(bought("L1")).replace(b'{"v":1,', b'{"v":2,'))


@pytest.mark.parametrize("body", [b"", b"{}", b"[1]", b"\xff\xfe", b'{"v":0}', b"not json"])
def test_what_has_no_envelope_has_no_version(body: bytes) -> None:
    assert version_of(body) is None
    with pytest.raises(BookError, match="cannot be read"):
        decode(body)


WHOLE = encode(bought("L1", price="224.00", face="10"))


@pytest.mark.parametrize(
    ("was", "instead", "sentence"),
    [
        (b'"224.00"', b'"dear"', r"lines 1, price: this is no number"),
        (b'"224.00"', b'"NaN"', r"lines 1: price must be a number"),
        (b'"224.00"', b'"-1"', r"lines 1: price must be zero or more"),
        (b'"224.00"', b'"1E+12"', r"lines 1: price must be below a trillion"),
        (b'"224.00"', b'"1E+999999"', r"lines 1: price must be below a trillion"),
        (b'"224.00"', b'"1E-16"', r"lines 1: price must be below a trillion, with at most 15 places"),
        (b'"face":"10"', b'"face":"0"', r"lines 1, amount: face must be more than zero"),
        (b'"face":"10"', b'"face":null', r"lines 1, amount: an amount needs a count, a face or a weight"),
        (b'"lot":"L1"', b'"lot":"/etc"', r"lines 1, lot: a lot is named by up to 40 letters"),
        (b'"arrived":true', b'"arrived":1', r"arrived: say true or false"),
        (b'"note":""', b'"note":"","gold":1', r"Object contains unknown field gold"),
        (b'"2026-03-02"', b'"2026-02-30"', r"on: this is no date; write year, month, day"),
        (b'"bought"', b'"stolen"', r"entry: Invalid value 'stolen'"),
    ],
)
def test_a_fault_is_said_with_its_place_in_words(was: bytes, instead: bytes, sentence: str) -> None:
    assert was in WHOLE

    with pytest.raises(BookError, match=sentence):
        decode(WHOLE.replace(was, instead))


def test_an_entry_built_with_the_wrong_types_is_refused_before_it_is_written() -> None:
    line = BoughtLine(lot="a/b", kind="us-dime-90", amount=Amount(count=1), price=Decimal(1))

    with pytest.raises(BookError, match="cannot be written: lines 1, lot: a lot is named by"):
        settled(Bought(on=date(2026, 1, 1), lines=(line,)))


def test_a_row_that_cannot_be_written_is_refused() -> None:
    with pytest.raises(BookError, match="cannot be written"):
        settled(Listed(on=date(2026, 1, 1), table="exit", key="shop", body={"x": object()}))


def test_a_settled_row_holds_what_will_be_read_back() -> None:
    entry = settled(Listed(on=date(2026, 1, 1), table="exit", key="shop", body={"fee": Decimal("0.30")}))

    assert isinstance(entry, Listed)
    assert entry.body == {"fee": "0.30"}


def test_every_fact_is_tagged_by_its_own_word() -> None:
    tags = {msgspec.json.decode(encode(entry))["said"]["entry"] for entry in (bought("L1"), Noted(on=date.min))}

    assert tags == {"bought", "noted"}
