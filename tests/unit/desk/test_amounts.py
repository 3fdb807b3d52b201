"""How much, as people say it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.book.entries import Amount
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.amounts import read_amount, say_amount
from ninefine.errors import NinefineError, RangeError, UnreadableError

CATALOG = load_catalog()


def amount(count: int | None = None, face: str | None = None, gross_g: str | None = None) -> Amount:
    return Amount(
        count=count,
        face=None if face is None else Decimal(face),
        gross_g=None if gross_g is None else Decimal(gross_g),
    )


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("250 face", "us-90", amount(face="250")),
        ("$250", "us-90", amount(face="250")),
        ("250", "us-90", amount(face="250")),
        ("$1,000 face", "us-90", amount(face="1000")),
        ("250 face, 6180 g", "us-90", amount(face="250", gross_g="6180")),
        ("117.90 face", "us-dime-90", amount(count=1179, face="117.90")),
        ("1,179 pieces", "us-dime-90", amount(count=1179, face="117.90")),
        ("1179", "us-dime-90", amount(count=1179, face="117.90")),
        ("3 rolls", "us-quarter-90", amount(count=120, face="30.00")),
        ("60 rounds", "xag-generic-round-1oz", amount(count=60)),
        ("60", "xag-generic-round-1oz", amount(count=60)),
        ("47.0 ozt", "household-sterling-925", amount(gross_g="1461.8634096")),
        ("3 lb 3.5 oz", "household-sterling-925", amount(gross_g="1460.0004409375")),
        ("6 pieces, 412 g", "household-sterling-925", amount(count=6, gross_g="412")),
    ],
)
def test_amounts_read_as_people_say_them(text: str, kind: str, expected: Amount) -> None:
    read = read_amount(text, CATALOG.kind(kind))

    assert (read.count, read.face, read.gross_g) == (expected.count, expected.face, expected.gross_g)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("50 pieces, 6 face", "us-dime-90", "5 face, not 6"),
        ("10.05 face", "us-dime-90", "no whole number"),
        ("2 rolls", "xag-generic-bar-10oz", "no set roll"),
        ("0 pieces", "us-dime-90", "more than zero"),
        ("0 face", "us-90", "more than zero"),
    ],
)
def test_amounts_that_cannot_be_are_refused(text: str, kind: str, words: str) -> None:
    with pytest.raises(RangeError, match=words):
        read_amount(text, CATALOG.kind(kind))


@pytest.mark.parametrize("text", ["", "a lot", "face", "12 stone", ", ,", "1e5 face"])
def test_what_is_no_amount_says_what_would_be_read(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_amount(text, CATALOG.kind("us-90"))


@given(st.text(max_size=20), st.sampled_from(["us-90", "us-dime-90", "household-sterling-925", "not-silver"]))
def test_any_text_is_an_amount_or_is_refused_in_words(text: str, kind: str) -> None:
    try:
        read = read_amount(text, CATALOG.kind(kind))
    except NinefineError as error:
        assert str(error)
    else:
        assert say_amount(read)


@given(st.integers(1, 100_000), st.sampled_from(["us-dime-90", "us-quarter-90", "us-half-90", "us-dollar-morgan"]))
def test_pieces_and_face_say_the_same(count: int, slug: str) -> None:
    kind = CATALOG.kind(slug)
    by_pieces = read_amount(f"{count} pieces", kind)

    by_face = read_amount(f"{by_pieces.face} face", kind)

    assert by_face == by_pieces
    assert kind.face is not None
    assert by_pieces.face == kind.face * count
