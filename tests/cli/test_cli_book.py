"""One way through a book by commands: made, filled, shown, mended, proved, copied."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine

BAG = "250 face of 90% at 23.40x"


@pytest.fixture
def filled(with_book: Ninefine) -> Ninefine:
    with_book("buy", BAG, "--carriage", "25", "--on", "2024-03-05", "--seller", "the Tuesday shop", "--on-its-way")
    with_book("receive", "L1=250 face", "--on", "2024-03-12", "--place", "A1")
    return with_book


def test_the_way_of_a_bag(filled: Ninefine) -> None:
    sort = filled(
        "sort", "L1", "90% dimes=118 face", "90% quarters=123 face", "90% halves=9 face", "--on", "2024-03-13"
    )
    weigh = filled("weigh", "L1/us-dime-90=2884.5 g", "--readability", "0.1 g", "--on", "2024-03-13")
    move = filled("move", "L1/us-half-90", "B2", "--on", "2024-03-14")
    price = filled("price", "32.00", "--on", "2024-06-01", "--at", "10:15", "--whose", "the shop's screen")
    sell = filled("sell", "L1/us-half-90=9 face", "--at", "22.5x", "--on", "2024-06-01", "--buyer", "a club member")

    assert [said.code for said in (sort, weigh, move, price, sell)] == [0] * 5
    assert "1,180 pieces" in sort.out
    held = filled("holdings", "--on", "2024-06-02", "--json").json
    assert held["constitutional_face_usd"] == "241"
    assert held["prices"]["XAG"]["whose"] == "the shop's screen"
    assert filled("check").out.startswith("The book holds: 7 entries")
    assert filled("book", "--most", "1").out.count("\n") == 3


def test_a_sale_is_shown_before_it_is_booked(filled: Ninefine) -> None:
    shown = filled("sell", "100 face", "--of", "90%", "--at", "44.83x", "--on", "2024-06-01", "--show")
    entries = len(filled("book", "--json").json["entries"])
    sold = filled("sell", "100 face", "--of", "90%", "--at", "44.83x", "--on", "2024-06-01")

    assert "basis 2,350.00, gain 2,133.00, short term" in shown.out
    assert entries == 2
    assert sold.code == 0
    assert "first in, first out" in sold.out


def test_exits_and_what_they_pay(filled: Ninefine) -> None:
    filled("exit", "the shop", "--bid", "90=95% of melt", "--bid", "ozt=spot-1.50")
    filled(
        "exit",
        "the refiner",
        "--bid",
        "silver=spot",
        "--fee",
        "payable_pct=95",
        "--fee",
        "treatment.per_gross_ozt=0.30",
    )

    worth = filled("worth", "--spot", "32", "--json").json

    assert [way["exit"] for way in worth["exits"]] == ["the shop", "the refiner"]
    assert worth["exits"][0]["net_usd"] == "5434"
    assert filled("worth", "--lot", "L1", "--spot", "32").code == 0
    assert filled("exit", "the shop", "--strike").code == 0
    assert filled("exit", "nobody", "--strike").code == 2


def test_mending_and_withdrawing(filled: Ninefine) -> None:
    assert filled("mend", "1", "lines.1.price=5800", "--why", "typed the wrong sum").code == 0
    refused = filled("withdraw", "1")

    assert refused.code == 3
    assert "Entry" in refused.err
    assert "5,800.00" in filled("book", "--json").json["entries"][0]["sentence"]


def test_notes_keep_files(filled: Ninefine, tmp_path: Path) -> None:
    receipt = tmp_path / "receipt.txt"
    receipt.write_text("paid 5,875.00", encoding="utf-8")

    kept = filled("note", "opened on camera", "--lot", "L1", "--file", str(receipt))

    assert kept.code == 0
    assert "kept receipt.txt" in kept.out
    assert "1 attachment whole" in filled("check").out


def test_offers_on_the_tray(filled: Ninefine) -> None:
    sheet = str(Path(__file__).resolve().parents[2] / "examples" / "elm_hollow.toml")
    assert filled("offer", sheet).code == 0

    assert "C" in filled("offers", "--spot", "32").out
    assert (
        filled("offer", "-", "--strike", filled("offers", "--spot", "32", "--json").json["offers"][0]["offer"]).code
        == 0
    )


def test_own_kinds(filled: Ninefine) -> None:
    assert filled("kind", "club medal", "--weight", "31.2 g", "--fineness", ".925").code == 0
    assert filled("buy", "3 of own-club-medal for 90").code == 0
    refused = filled("kind", "heavy", "--weight", "lots", "--fineness", "12")

    assert refused.code == 2
    assert "weight" in refused.err


def test_every_fault_is_told_and_nothing_written(filled: Ninefine) -> None:
    before = len(filled("book", "--json").json["entries"])
    said = filled("buy", "ten of 90% halves at 24.60x", "5 of moon dust for 3", "--on", "5 March", "--tax", "lots")

    assert said.code == 2
    assert all(field in said.err for field in ("--on:", "--tax:", "amount 1:", "kind 2:"))
    assert len(filled("book", "--json").json["entries"]) == before


def test_a_passphrase_is_needed_set_and_changed(ninefine: Ninefine, tmp_path: Path) -> None:
    first, second, wrong = (tmp_path / name for name in ("first", "second", "wrong"))
    first.write_text("elm hollow 1892\n", encoding="utf-8")
    second.write_text("harbor lane 1916\n", encoding="utf-8")
    wrong.write_text("guess\n", encoding="utf-8")

    assert ninefine("--passphrase-file", str(first), "new").code == 0
    assert ninefine("--passphrase-file", str(wrong), "holdings").code == 4
    assert ninefine("--passphrase-file", str(first), "holdings").code == 0
    assert ninefine("--passphrase-file", str(first), "passphrase", "--new-file", str(second)).code == 0
    assert ninefine("--passphrase-file", str(first), "holdings").code == 4
    assert ninefine("--passphrase-file", str(second), "holdings").code == 0
    assert ninefine("new", "--without-passphrase").code == 4


def test_a_copy_is_read_back(filled: Ninefine, tmp_path: Path) -> None:
    copy = tmp_path / "copy.ninefine"

    assert "2 entries" in filled("copy", str(copy)).out
    assert filled("--book", str(copy), "check").code == 0
    assert filled("copy", str(copy)).code == 4


def test_waiting(with_book: Ninefine) -> None:
    with_book("buy", BAG, "--on", "2024-03-05", "--on-its-way")

    said = with_book("waiting")

    assert "On its way" in said.out
    assert with_book("waiting", "--json").json["waiting"][0]["stage"] == "arrivals"
