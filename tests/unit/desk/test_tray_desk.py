"""What a person says of a picture, how a tray is told in words, and that it is kept only as asked."""

from datetime import date

import pytest

from ninefine.assay.tray import Flag, Piece, Scale, ScaledBy, Tray
from ninefine.book.entries import Noted
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.tray import Laid, keep_tray, look_again, read_known, read_sizes, tray_sentence, wanted
from ninefine.errors import Faults, InputError
from ninefine.testing import kit_in_memory

CATALOG = load_catalog()


def piece(number: int, size: str = "", *flags: Flag) -> Piece:
    return Piece(number=number, x=0, y=0, radius=1, size=size, flags=frozenset(flags))


def tray(*pieces: Piece) -> Tray:
    return Tray(pieces=pieces, scale=Scale(by=ScaledBy.NOTHING, says="There is no scale."))


def test_sizes_are_named_by_denomination_kind_or_diameter() -> None:
    """Diameters are the packaged catalog's; the silver eagle's 40.6 mm is read in 31 U.S.C. 5112(e)."""
    sizes = read_sizes(CATALOG, "halves, dimes, xag-us-eagle-1oz, 22.9 mm, twenty cents")

    assert [(size.name, size.diameter) for size in sizes] == [
        ("dime", 17.9),
        ("twenty-cent piece", 22.0),
        ("22.9 mm", 22.9),
        ("half dollar", 30.6),
        (sizes[4].name, 40.6),
    ]
    assert "Eagle" in sizes[4].name


@pytest.mark.parametrize("text", ["doubloons", "dimes, sterling"])
def test_what_names_no_size_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_sizes(CATALOG, text)


@pytest.mark.parametrize(
    ("text", "read"), [("3 = quarter", (3, 24.3)), ("12=24.26", (12, 24.26)), ("1 = 24.26 MM", (1, 24.26))]
)
def test_a_known_piece_is_a_number_and_a_size(text: str, read: tuple[int, float]) -> None:
    assert read_known(CATALOG, text) == read


@pytest.mark.parametrize("text", ["quarter", "x = quarter", "3 =", "3 = doubloon", "3 = sterling"])
def test_a_known_piece_that_says_less_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_known(CATALOG, text)


def test_every_fault_of_the_form_is_told_at_its_field() -> None:
    with pytest.raises(Faults) as told:
        wanted(CATALOG, {"expect": "doubloons", "dpi": "9", "ruler": "120 mm", "known": "quarter"})

    assert {fault.where for fault in told.value.faults} == {"expect", "dpi", "ruler", "known"}


def test_a_form_left_empty_expects_the_usual_sizes() -> None:
    asked = wanted(CATALOG, {"dpi": "600 dpi", "ruler": "99.4 mm"})

    assert [size.name for size in asked.sizes] == ["dime", "five-cent piece", "quarter", "half dollar", "dollar"]
    assert (asked.dpi, asked.ruler_mm, asked.known) == (600.0, 99.4, None)


def test_a_tray_is_told_in_a_sentence() -> None:
    many = tray(
        piece(1, "dime"),
        piece(2, "dime"),
        piece(3, "half dollar"),
        piece(4, "", Flag.ODD_SIZE),
        piece(5, "", Flag.UNSURE),
        piece(6, "dime", Flag.ODD_COLOUR),
    )

    assert (
        tray_sentence(many)
        == "5 pieces: 3 dimes, 1 half dollar, 1 of no one size. Beside them 1 unsure, not measured: 5."
    )
    assert look_again(many) == [("unsure", "5"), ("odd size", "4"), ("odd colour", "6")]
    assert tray_sentence(tray(piece(1))) == "1 piece."


def test_a_tray_is_kept_as_a_note_with_its_pictures() -> None:
    kit = kit_in_memory(today=date(2026, 11, 25))
    laid = Laid(name="scan.png", tray=tray(piece(1)), marked=b"marked", sheet=b"sheet", strip=(b"one",))

    keep_tray(kit, laid, {"on": "2026-11-20", "text": "A tube."})
    keep_tray(kit, laid, {}, b"the picture")

    first, second = (stored.entry for stored in kit.journal.records())
    assert isinstance(first, Noted)
    assert isinstance(second, Noted)
    assert first.text == "A tube. A tray: 1 piece. There is no scale."
    assert [one.name for one in first.attachments] == ["tray-marked.jpg", "tray-pieces.jpg"]
    assert [one.name for one in second.attachments][2:] == ["scan.png"]
    assert kit.journal.attachment(first.attachments[1].sha256) == b"sheet"
