"""A list brought in, as typed."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine

LIST = "Date,Item,Qty,Price\n03/04/2021,the shiny ones,5,20.00\n"
SAID = ("--days", "month-day-year", "--columns", "Price=each", "--word", "the shiny ones=90% dimes")


@pytest.fixture
def mine(tmp_path: Path) -> str:
    (tmp_path / "mine.csv").write_text(LIST)
    return str(tmp_path / "mine.csv")


def test_a_list_is_shown_and_brought_in_once_it_can_be_told(with_book: Ninefine, mine: str) -> None:
    refused = with_book("bring", mine, "--as", "purchases")
    shown = with_book("bring", mine, "--as", "purchases", *SAID, "--show")
    none = with_book("book", "--json").json["entries"]
    kept = with_book("bring", mine, "--as", "purchases", *SAID)

    assert refused.code == 2
    assert "3 faults in mine.csv; nothing was written." in refused.err
    assert "line 2, Date: '03/04/2021' may be 3 April 2021 (day-month-year)" in refused.err
    assert shown.out.endswith("1 line would be booked. Nothing is written yet.\n")
    assert none == []
    assert kept.out.startswith("Brought mine.csv in: entry 1.")
    assert "2021-03-04  Bought: 5 pieces, 0.5 face of 90% silver dimes, mixed at 20.00 each" in with_book("book").out


def test_what_is_shown_and_booked_can_be_read_by_a_program(with_book: Ninefine, mine: str) -> None:
    faults = with_book("bring", mine, "--as", "purchases", "--show", "--json").json
    ready = with_book("bring", mine, "--as", "purchases", *SAID, "--show", "--json").json
    booked = with_book("bring", mine, "--as", "purchases", *SAID, "--json").json
    again = with_book("bring", mine, "--as", "purchases", *SAID)

    assert [fault["where"] for fault in faults["faults"]] == ["line 2, Date", "line 2, Item", "line 2, Price"]
    assert (faults["ready"], ready["ready"], ready["days"]) == (False, True, "month-day-year")
    assert ready["columns"][0] == {"heading": "Date", "name": "date"}
    assert booked["entries"] == [1]
    assert again.code == 2
    assert "brought in already: entry 3" in again.err


@pytest.mark.parametrize(
    "wrong",
    [("--days", "backwards"), ("--word", "dimes"), ("--columns", "Price"), ("--head", "9"), ("--rule", "none"),
     ("--on", "2099-01-01"), ("--columns", "Price=weather"), ("--columns", "Weather=price")],
    ids=" ".join,
)  # fmt: skip
def test_what_is_said_wrongly_is_told(with_book: Ninefine, mine: str, wrong: tuple[str, str]) -> None:
    said = with_book("bring", mine, "--as", "purchases", *wrong)

    assert said.code == 2
    assert with_book("book", "--json").json["entries"] == []


def test_a_file_that_is_not_there_or_no_table_is_said(with_book: Ninefine, tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"%PDF-1.7")
    (tmp_path / "b.xlsx").write_bytes(b"PK\x03\x04broken")
    (tmp_path / "c.csv").write_bytes(b"\x81\x8d\x90")

    for name, words in (
        ("no.csv", "cannot be read"),
        ("a.pdf", "a PDF"),
        ("b.xlsx", "workbook"),
        ("c.csv", "not text"),
    ):
        said = with_book("bring", str(tmp_path / name), "--as", "sales")
        assert said.code == 2
        assert words in said.err
