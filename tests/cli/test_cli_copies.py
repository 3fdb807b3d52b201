"""Copies, restoring, writing out and building again, as typed."""

import csv
import zipfile
from pathlib import Path

import pytest

from cli.conftest import Ninefine, Said


@pytest.fixture
def bought(with_book: Ninefine, tmp_path: Path) -> Ninefine:
    """A book with a purchase, a sale, and a receipt kept in it."""
    assert (
        with_book("buy", "250 face of 90% quarters for 5875", "--on", "2024-03-05", "--seller", "Elm Coins").code == 0
    )
    assert with_book("sell", "50 face", "--of", "90% quarters", "--at", "1400", "--on", "2025-03-05").code == 0
    (tmp_path / "receipt.txt").write_text("paid 5875.00")
    assert with_book("note", "the receipt", "--file", str(tmp_path / "receipt.txt")).code == 0
    return with_book


def digest_of(said: Said) -> str:
    return said.out.rpartition("Last digest: ")[2].strip()


def test_a_copy_is_proved_and_restored_as_the_same_book(bought: Ninefine, tmp_path: Path) -> None:
    copy, again = tmp_path / "copy.ninefine", tmp_path / "again.ninefine"

    copied = bought("copy", str(copy))
    before = copy.read_bytes()
    restored = bought("--book", str(again), "restore", str(copy))

    assert "read back and proved" in copied.out
    assert "entries in an unbroken chain, 1 attachment whole, the laws of the book hold" in restored.out
    assert digest_of(restored) == digest_of(copied) == digest_of(bought("check"))
    assert copy.read_bytes() == before
    assert bought("--book", str(again), "check").code == 0


def test_restoring_never_writes_over_a_book(bought: Ninefine, tmp_path: Path) -> None:
    copy = tmp_path / "copy.ninefine"
    bought("copy", str(copy))

    refused = bought("restore", str(copy))

    assert refused.code == 4
    assert "there is a file already" in refused.err
    assert bought("check").code == 0
    assert bought("restore", str(tmp_path / "nothing")).code == 2


def test_a_damaged_copy_is_refused_and_leaves_nothing(bought: Ninefine, tmp_path: Path) -> None:
    copy, again = tmp_path / "copy.ninefine", tmp_path / "again.ninefine"
    bought("copy", str(copy))
    data = bytearray(copy.read_bytes())
    at = data.index(b"Elm Coins")
    data[at : at + 3] = b"Oak"
    copy.write_bytes(data)

    refused = bought("--book", str(again), "restore", str(copy))

    assert refused.code == 4
    assert "is not what was said" in refused.err
    assert str(copy) in refused.err
    assert not list(tmp_path.glob("again*"))


def test_everything_goes_out_and_comes_back_digest_for_digest(bought: Ninefine, tmp_path: Path) -> None:
    out, again = tmp_path / "out", tmp_path / "again.ninefine"

    said = bought("export", str(out))
    back = bought("--book", str(again), "rebuild", str(out), "--without-passphrase")

    assert said.code == back.code == 0
    assert sorted(each.name for each in out.iterdir()) == [
        "gains.csv", "holdings.csv", "journal.jsonl", "lots.csv", "purchases.csv", "read-me.txt", "sales.csv",
    ]  # fmt: skip
    last = digest_of(bought("check"))
    assert back.out.split("Last digest: ")[1].split()[0] == last
    assert digest_of(bought("--book", str(again), "check")) == last
    with (out / "purchases.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["date"], row["kind"], row["pieces"], row["face"], row["line price"]) == (
        "2024-03-05", "us-quarter-90", "1000", "250", "5875",
    )  # fmt: skip


def test_a_changed_line_is_named_and_no_book_is_made(bought: Ninefine, tmp_path: Path) -> None:
    out, again = tmp_path / "out", tmp_path / "again.ninefine"
    bought("export", str(out))
    lines = (out / "journal.jsonl").read_bytes()
    assert lines.count(b'"price":"5875.00"') == 1
    (out / "journal.jsonl").write_bytes(lines.replace(b"5875.00", b"5875.10"))

    refused = bought("--book", str(again), "rebuild", str(out), "--without-passphrase")

    assert refused.code == 3
    assert refused.err.startswith("Line 2 is not what was written")
    assert not again.exists()


def test_an_export_is_zipped_and_never_written_over(bought: Ninefine, tmp_path: Path) -> None:
    target = tmp_path / "out.zip"

    assert bought("export", str(target)).code == 0
    assert bought("export", str(target)).code == 4
    with zipfile.ZipFile(target) as archive:
        assert "journal.jsonl" in archive.namelist()
        assert archive.testzip() is None
    (tmp_path / "there").mkdir()
    assert bought("export", str(tmp_path / "there")).code == 4
    assert bought("rebuild", str(tmp_path / "nothing")).code == 2
