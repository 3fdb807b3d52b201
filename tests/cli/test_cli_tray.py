"""`ninefine tray` and `traysheet` as a person would type them."""

from pathlib import Path

from cli.conftest import Ninefine

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCAN = str(EXAMPLES / "tray-scan.jpg")


def test_a_scan_is_counted_and_measured_without_a_book(ninefine: Ninefine, tmp_path: Path) -> None:
    strip, marked = tmp_path / "strip.jpg", tmp_path / "marked.jpg"
    said = ninefine("tray", SCAN, "--json", "--strip", str(strip), "--marked", str(marked))

    assert said.code == 0
    assert (said.json["pieces"], said.json["unsure"]) == (14, 0)
    assert said.json["sizes"] == {"dime": 6, "half dollar": 2, "quarter": 5, "none": 1}
    assert said.json["look_again"] == {"odd size": "5", "odd colour": "14"}
    for piece in said.json["list"]:
        assert 0 < float(piece["standard_uncertainty_mm"]) < 0.06
    assert strip.read_bytes().startswith(b"\xff\xd8")
    again = ninefine("tray", SCAN, "--marked", str(marked))
    assert again.code == 4
    assert "is there already" in again.err


def test_a_tray_is_kept_only_when_asked(with_book: Ninefine) -> None:
    kept = with_book("tray", SCAN, "--keep", "--note", "A tube.", "--on", "2026-01-02")
    listed = with_book("book")

    assert kept.code == 0
    assert "14 pieces: 6 dimes" in kept.out
    assert "Entry 1, 2026-01-02." in kept.out
    assert "A tube. A tray: 14 pieces" in listed.out


def test_a_piece_is_booked_as_tested_by_its_size(with_book: Ninefine) -> None:
    """Piece 5 of the rendered scan is of an odd size, and no dime; a size alone settles nothing."""
    booked = with_book(
        "tray", SCAN, "--test", "5", "--kind", "us-dime-90", "--piece", "the odd one", "--on", "2026-01-02"
    )
    asked = with_book("bench", "tests", "--json")

    assert booked.code == 0
    assert "Entry 1, 2026-01-02." in booked.out
    assert asked.json["tested"] == [{"entry": 1, "piece": "the odd one", "verdict": "unsettled"}]
    for number, words in (("99", "The tray has no piece 99"), ("five", "no number of a piece")):
        wrong = with_book("tray", SCAN, "--test", number, "--kind", "us-dime-90", "--piece", "it")
        assert wrong.code == 2
        assert words in wrong.err
    assert with_book("tray", SCAN, "--test", "5", "--kind", "us-dime-90", "--keep").code == 2


def test_faults_are_told_with_what_to_type_instead(ninefine: Ninefine, tmp_path: Path) -> None:
    text = tmp_path / "notes.txt"
    text.write_text("no picture")

    for arguments, words in (
        ((str(tmp_path / "none.jpg"),), "cannot be read"),
        ((str(text),), "is no picture that can be read"),
        ((SCAN, "--known", "quarter"), "3 = quarter"),
        ((SCAN, "--expect", "doubloons"), "doubloons"),
    ):
        said = ninefine("tray", *arguments)
        assert said.code == 2
        assert words in said.err
    assert ninefine("tray", SCAN, "--keep").code == 2  # there is no book


def test_the_sheet_is_written_once_for_either_paper(ninefine: Ninefine, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"

    assert ninefine("traysheet", str(out), "--size", "A4").code == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert ninefine("traysheet", str(out)).code == 4
    assert ninefine("traysheet", str(out), "--anew", "--black").code == 0
    assert ninefine("traysheet", str(tmp_path / "x.pdf"), "--size", "B5").code == 2
