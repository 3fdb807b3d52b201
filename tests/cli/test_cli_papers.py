"""Papers at the command line: listed, shown, written once, refused with the reason."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine
from ninefine.desk.papers import PAPERS


@pytest.fixture
def coin(with_book: Ninefine) -> Ninefine:
    """A book with $300 face, a price, an ask and a place."""
    for words in (
        ("buy", "300 face of 90% at 11.20x", "--on", "2019-03-11", "--place", "A1"),
        ("price", "66"),
        ("set", "ask", "coin", "what=90", "quote=50.60x", "whose=the shop"),
        ("set", "place", "A1", "where=left drawer", "limit=25 kg"),
    ):
        assert with_book(*words).code == 0, words
    return with_book


def test_the_papers_are_listed(ninefine: Ninefine) -> None:
    said = ninefine("paper")

    assert [line.split()[0] for line in said.out.splitlines()] == list(PAPERS)


def test_a_paper_is_shown_as_text_and_without_what_a_reader_need_not_know(coin: Ninefine) -> None:
    assert "15,180.00 USD" in coin("paper", "letter").out
    hidden = coin("paper", "letter", "--redact", "values,places").out
    assert "15,180" not in hidden
    assert "Left out for this reader: values, places." in hidden
    assert coin("paper", "inventory", "--as", "csv").out.splitlines()[1].endswith("15180.00")
    assert "left drawer" in coin("paper", "key").out


@pytest.mark.parametrize(
    ("ending", "start"),
    [
        ("pdf", b"%PDF-1.7"),
        ("html", b"<!doctype html>"),
        ("xlsx", b"PK"),
        ("txt", b"For the family"),
        ("csv", b"\xef\xbb\xbf"),
    ],
)
def test_a_file_s_ending_says_what_it_is(coin: Ninefine, tmp_path: Path, ending: str, start: bytes) -> None:
    file = tmp_path / f"letter.{ending}"

    said = coin("paper", "letter", "--out", str(file), "--size", "A4")

    assert said.out == f'Wrote "For the family" to {file}: {file.stat().st_size:,} bytes.\n'
    assert file.read_bytes().startswith(start)
    again = coin("paper", "letter", "--out", str(file))
    assert (again.code, "--anew" in again.err) == (4, True)
    assert coin("paper", "letter", "--out", str(file), "--anew").code == 0


def test_a_calendar_is_written(coin: Ninefine, tmp_path: Path) -> None:
    assert coin("set", "review", "the insurance", "on=2099-01-15", "every=12").code == 0
    file = tmp_path / "days.ics"

    coin("paper", "calendar", "--out", str(file))

    assert b"DTSTART;VALUE=DATE:20990115" in file.read_bytes()


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("paper", "will"), "There is no paper 'will'. Try: inventory"),
        (("paper", "letter", "--as", "docx"), "No paper can be had as 'docx'"),
        (("paper", "letter", "--as", "pdf"), "Say where to write it: --out FILE"),
        (("paper", "letter", "--out", "letter.odt"), "does not say what it is to be"),
        (("paper", "letter", "--redact", "all"), "is nothing that a paper can leave out"),
        (("paper", "letter", "--size", "A5"), "'A5' is not a size of paper"),
        (("paper", "letter", "--exit", "nobody"), "no way out"),
        (("paper", "letter", "--as", "ics"), "no days to put in a calendar"),
        (("set", "ask", "x", "what"), "has no '='"),
        (("set", "nothing", "x"), "is nothing that papers rest on"),
        (("set", "place", "A1", "limit=heavy"), "limit: 'heavy' is not a weight"),
        (("set", "place", "Z9", "--strike"), "There is no place 'Z9' to strike"),
    ],
)
def test_what_cannot_be_made_says_why(coin: Ninefine, words: tuple[str, ...], reason: str) -> None:
    said = coin(*words)

    assert said.code == 2
    assert reason in said.err


def test_a_place_that_cannot_be_written_is_said(coin: Ninefine, tmp_path: Path) -> None:
    said = coin("paper", "letter", "--out", str(tmp_path / "nowhere" / "letter.pdf"))

    assert said.code == 4
    assert "cannot be written" in said.err
