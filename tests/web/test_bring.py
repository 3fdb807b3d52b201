"""Lists brought in, copies and everything written out, as pages."""

import base64
import io
import re
import zipfile
import zlib
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from edges.messy import workbook
from ninefine import wire
from ninefine.book.lines import read_lines
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.kit import Kit
from ninefine.store.file import create_book, open_book
from ninefine.testing import kit_in_memory
from web.conftest import OWN, Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

LIST = "Date,Item,Qty,Price each,Shipping,Dealer\n2021-03-14,Mercury dimes,50,2.30,5.00,Elm Coins\nTotal,,,115.00,,\n"


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


@pytest.fixture
def kit(catalog: Catalog) -> Kit:
    return kit_in_memory(today=date(2026, 11, 25), catalog=catalog)


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def sent_along(html: str) -> dict[str, str]:
    """What a page carries of a list until it is booked."""
    return dict(re.findall(r'<input type="hidden" name="(held|name)" value="([^"]*)">', html))


def test_a_list_is_looked_at_and_then_booked(kit: Kit, house: Caller) -> None:
    assert "you will see each line as it would be booked" in text_of(house.get("/book/bring").text)

    looked = house.post("/book/bring", {"as": "purchases", "table": LIST, "do": "look"})

    page = text_of(looked.text)
    assert (looked.status_code, entries(kit)) == (200, 0)
    assert "1 line of the pasted list would be booked as purchases. Nothing is written yet." in page
    assert "Bought of Elm Coins: 50 pieces, 5 face of Mercury (Winged Liberty) dime at 2.30 each for 115.00" in page
    assert "a line of sums: Total" in page
    kept = house.post("/book/bring", {"as": "purchases", "do": "put", **sent_along(looked.text)})
    assert (kept.status_code, entries(kit)) == (303, 2)
    assert "Entry 1 was booked from the pasted list." in text_of(house.get(kept.headers["location"]).text)
    assert kit.holdings().lots["L1"].cost == 120


def test_a_workbook_is_handed_in_and_only_looked_at(kit: Kit, house: Caller) -> None:
    """A file is always looked at first, whatever was pressed; its sheets can be chosen."""
    rows: list[list[object]] = [["Date", "Item", "Face", "Cost"], [date(2024, 2, 29), "90% dimes", 10, 235.5]]
    data = workbook(("Notes", [["a remark"]]), ("Buys", rows))
    fields = {"form_key": house.keys.form_key, "as": "purchases", "sheet": "Buys", "do": "put"}

    looked = house.send(
        "POST", "/book/bring", data=fields, files={"file": ("mine.xlsx", data)}, headers={**house.cookie, **OWN}
    )

    assert (looked.status_code, entries(kit)) == (200, 0)
    assert "Read as sheet 'Buys' of a workbook" in text_of(looked.text)
    kept = house.post("/book/bring", {"as": "purchases", "sheet": "Buys", "do": "put", **sent_along(looked.text)})
    assert kept.status_code == 303
    assert str(kit.holdings().lots["L1"].cost) == "235.50"


def test_what_is_at_fault_is_told_and_put_right_on_the_page(kit: Kit, house: Caller) -> None:
    table = "Date,Item,Qty,Price\n03/04/2021,the shiny ones,5,20\n"

    refused = house.post("/book/bring", {"as": "purchases", "table": table, "do": "put"})

    page = text_of(refused.text)
    assert (refused.status_code, entries(kit)) == (400, 0)
    assert "3 faults keep the pasted list from being booked as purchases. Nothing is written yet." in page
    assert "3 April 2021 (day-month-year), or 4 March 2021 (month-day-year)" in page
    assert "'the shiny ones' names no kind" in page
    assert 'name="word-1" value="the shiny ones"' in refused.text
    assert "Book all of it" not in page
    said = {"days": "month-day-year", "head-4": "Price", "col-4": "each"}
    said |= {"word-1": "the shiny ones", "means-1": "90% dimes"}
    kept = house.post("/book/bring", {"as": "purchases", "do": "put", **said, **sent_along(refused.text)})
    assert kept.status_code == 303
    assert (kit.holdings().lots["L1"].came, kit.holdings().lots["L1"].cost) == (date(2021, 3, 4), Decimal(100))
    (row,) = kit.holdings().tables["columns"].values()
    assert row == {"columns": {"Price": "each"}, "words": {"the shiny ones": "90% dimes"}, "days": "month-day-year"}


def test_the_same_list_is_brought_in_again_only_when_that_is_ticked(kit: Kit, house: Caller) -> None:
    form = {"as": "purchases", "table": LIST, "do": "put"}
    assert house.post("/book/bring", form).status_code == 303

    again = house.post("/book/bring", form)

    assert (again.status_code, entries(kit)) == (400, 2)
    assert "The same list was brought in already: entry 2 says so" in text_of(again.text)
    assert house.post("/book/bring", {**form, "again": "yes"}).status_code == 303


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"as": "purchases"}, "file"),
        ({"as": "purchases", "held": "not packed", "name": "x"}, "file"),
        ({"as": "purchases", "held": base64.b64encode(b"no").decode()}, "file"),
        ({"as": "letters", "table": LIST}, "as"),
        ({"as": "holdings", "table": LIST, "on": "2030-01-01"}, "on"),
        ({"as": "purchases", "table": LIST, "days": "backwards"}, "days"),
    ],
)
def test_faults_of_the_form_stand_under_their_fields(
    kit: Kit, house: Caller, fields: dict[str, str], field: str
) -> None:
    refused = house.post("/book/bring", {**fields, "do": "put"})

    assert (refused.status_code, entries(kit)) == (400, 0)
    assert faults_of(refused.text) == {field}


@pytest.mark.parametrize("count", [600_000, 5_000_000], ids=["more cells than a list has", "more bytes than are kept"])
def test_a_list_that_unpacks_out_of_all_proportion_is_refused(kit: Kit, house: Caller, count: int) -> None:
    packed = base64.b64encode(zlib.compress(b"a," * count)).decode()

    refused = house.post("/book/bring", {"as": "purchases", "held": packed, "name": "x", "do": "put"})

    assert (refused.status_code, entries(kit)) == (400, 0)


def test_a_form_of_another_run_is_refused(kit: Kit, house: Caller) -> None:
    for path in ("/book/bring", "/book/copies", "/book/out"):
        assert foreign(house, path, {"as": "purchases", "table": LIST, "do": "put"}) == 403
    assert entries(kit) == 0


def test_everything_is_written_out_in_one_archive(kit: Kit, house: Caller) -> None:
    house.post("/book/bring", {"as": "purchases", "table": LIST, "do": "put"})

    answer = house.post("/book/out", {})

    assert answer.headers["content-disposition"] == 'attachment; filename="silver-2026-11-25.zip"'
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        back = read_lines(archive.read("journal.jsonl"))
    assert [one.digest for one in back.records] == [one.digest for one in kit.journal.records()]


def test_a_book_in_memory_has_no_file_to_copy(house: Caller) -> None:
    page = house.get("/book/copies")

    assert "kept in memory alone" in text_of(page.text)
    assert house.post("/book/copies", {}).status_code == 400


@pytest.fixture
def secret(tmp_path: Path, app_caller: AppCaller) -> Caller:
    """The pages over a book with a passphrase."""
    book = create_book(tmp_path / "book", "harbor and lane", name="Harbor Lane", currency="USD", now=wire.now())
    kit = wire.kit_of(book)
    return house_of(kit, app_caller)


def test_a_copy_is_handed_over_and_opens_with_its_own_passphrase(secret: Caller, tmp_path: Path) -> None:
    secret.post("/book/bring", {"as": "purchases", "table": LIST, "do": "put"})

    wrong = secret.post("/book/copies", {"passphrase": "another", "again": "an other"})
    none = secret.post("/book/copies", {"passphrase": "", "again": ""})
    copy = secret.post("/book/copies", {"passphrase": "another", "again": "another"})

    assert (wrong.status_code, faults_of(wrong.text)) == (400, {"again"})
    assert faults_of(none.text) == {"passphrase"}
    assert copy.status_code == 200
    (tmp_path / "copy").write_bytes(copy.content)
    with open_book(tmp_path / "copy", "another") as book:
        assert len(book.records()) == 2
        assert book.faults() == ()
    assert not list(tmp_path.glob("copy-*"))
