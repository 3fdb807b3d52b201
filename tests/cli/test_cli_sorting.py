"""Tally, mix, search, sheets, sets, triage and grading as commands, over one bag."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SHEET = "kind, issue, grade, low, high\nmercury dime, 1921-D, G4, 45, 45\nmercury dime, 1921-D, F12, 80, 80\n"


@pytest.fixture
def bag(with_book: Ninefine) -> Ninefine:
    """Quarry Street's bag, its dimes told apart by the table of the examples."""
    with_book("buy", "250 face of 90% at 23.40x", "--on", "2025-02-10", "--place", "A1")
    rows = ("90% dimes=1180", "90% quarters=492", "90% halves=18")
    with_book("sort", "L1", *rows, "--on", "2025-02-18")
    with_book("price", "31.50", "--on", "2025-02-18")
    said = with_book("tally", "L1/us-dime-90", str(EXAMPLES / "quarry_dimes.csv"), "--of", "dime", "--on", "2025-02-19")
    assert said.code == 0, said.err
    return with_book


@pytest.fixture
def sheet(tmp_path: Path) -> str:
    path = tmp_path / "prices.csv"
    path.write_text(SHEET, encoding="utf-8")
    return str(path)


def laid(bag: Ninefine, sheet: str) -> Ninefine:
    """A sheet, a way out, a threshold, and the scarce dime laid aside."""
    bag("sheet", sheet, "--name", "club", "--on", "2025-02-20")
    bag("collector", "the online sale", "--fee", "10", "--postage", "7")
    bag("figures", "--threshold", "4", "--hour", "10", "--stale-after", "36500")
    assert bag("piece", "E1-1", "L1/us-dime-mercury/1921-D", "--grade", "VG8", "--grams", "2.457 g").code == 0
    return bag


def test_a_tally_that_cannot_be_leaves_nothing_behind(bag: Ninefine, tmp_path: Path) -> None:
    wrong, much = tmp_path / "wrong.csv", tmp_path / "much.csv"
    wrong.write_text("dime 1922-D 4\ndime 1964-D\nmoon 1964\n", encoding="utf-8")
    much.write_text("quarter 1964-D 900\n", encoding="utf-8")

    refused = bag("tally", "L1/us-quarter-90", str(wrong))
    assert refused.code == 2
    assert "line 1" in refused.err
    assert "line 3" in refused.err
    assert bag("tally", "L1/us-quarter-90", str(much)).code == 3
    assert bag("tally", "L1/us-quarter-90", str(tmp_path / "none.csv")).code == 2
    assert "tally" not in bag("waiting").out.lower()


def test_the_mix_says_what_is_consistent_and_under_which_assumption(bag: Ninefine) -> None:
    said = bag("mix", "L1", "--from", "1934")
    record = bag("mix", "L1", "--from", "1934", "--loss", "2%", "--json").json

    assert said.out.startswith("Consistent with searched:")
    assert "Assumed survival: every date survives alike (flat). Mintage is not survival." in said.out
    assert "1 of us-dime-mercury 1921-D: outside the dates asked for." in said.out
    assert record["survival"].startswith("Assumed survival: 2% of the pieces left are lost each year")
    assert sum(row["found"] for row in record["issues"]) == record["dated_pieces"] == 1169
    assert bag("mix", "L9").code == 2


def test_an_assumption_is_kept(bag: Ninefine) -> None:
    assert "Set down the setting 'survival'" in bag("mix", "L1", "--loss", "1", "--keep").out
    assert "1% of the pieces left are lost each year" in bag("mix", "L1").out


def test_searching_before_it_is_done(with_book: Ninefine) -> None:
    """The invented example of the documentation: 282.89, 90.53 an hour, give or take 308.91."""
    worth = [f"--worth={one}" for one in ("1916-D=600", "1921-D=60", "1921=50", "1926-S=12")]
    record = with_book("search", "250 face", "--of", "us-dime-mercury", *worth, "--json").json

    assert (record["worth_over_melt_usd"], record["per_hour_usd"], record["spread_usd"]) == (
        "282.89",
        "90.53",
        "308.91",
    )
    assert record["dates"][0]["pieces_for_50_percent"] == 7029
    assert with_book("search", "250 face", "--of", "moon").code == 2


def test_the_whole_way_of_a_find(bag: Ninefine, sheet: str) -> None:
    """The dime nets 47.00 and melts at 2.24; with nine quarters at 1.50: 58.26, 8.96 an hour in 6.5 hours."""
    laid(bag, sheet)
    triage = bag("triage", "--spot", "31.50")
    assert "1 piece lies on the table: 1 to pull, for 47.00 net from collectors" in triage.out
    record = bag("triage", "E1-1", "--spot", "31.50", "--json").json["pieces"][0]
    assert record["collector_net_usd"] == {"the online sale": {"low": "47", "mid": "47", "high": "47"}}
    assert (record["verdict"], record["melt_usd"], record["over_heap_usd"]["mid"]) == ("pull", "2.24", "44.76")

    assert bag("pull", "E1-1", "--on", "2025-02-22").code == 0
    bag("price", "31.50", "--on", "2025-03-06")
    bag("sell", "L1/us-dime-mercury/1921-D=", "--at", "60.00", "--fees", "13.00", "--on", "2025-03-06")
    said = bag("searched", "L1", "--hours", "6.5", "--hour", "10", "--find", "9 bright quarters=1.50", "--keep")

    assert said.out.startswith("The search of lot L1 brought 58.26 over melt in 6.50 hours: 8.96 an hour.")
    assert "it did not pay" in said.out
    assert bag("searched", "L1", "--json").json["per_hour_usd"] == "8.96"
    assert "Nothing lies on the table" not in bag("triage").out
    assert bag("check").code == 0


def test_one_piece_with_every_way_out(bag: Ninefine, sheet: str) -> None:
    laid(bag, sheet)
    bag("exit", "the shop", "--bid", "90=95% of melt")

    said = bag("triage", "E1-1", "--spot", "31.50").out

    assert "Pull. It would net 47.00" in said
    assert "the shop" in said
    assert "VG8 lies 4 of 8 points from G4 (45) to F12 (80)" in said
    assert bag("triage", "nothing").code == 2


def test_a_piece_is_looked_at_again_and_forgotten(bag: Ninefine, sheet: str) -> None:
    laid(bag, sheet)

    assert bag("piece", "E1-1", "--grade", "F12").code == 0
    assert "F12" in bag("triage", "E1-1", "--spot", "31.50").out
    assert bag("piece", "E1-1", "--strike").code == 0
    assert bag("triage").out == "No piece is laid aside.\n"
    assert bag("piece", "E1-2", "L1/us-dime-90", "--what", "moon", "--grade", "x").code == 2


def test_sheets_are_listed_asked_shown_and_struck(bag: Ninefine, sheet: str) -> None:
    assert bag("sheets").out.startswith("No sheet has been set down yet.")
    shown = bag("sheet", sheet, "--name", "club", "--on", "2025-02-20", "--note", "Invented.", "--show")
    assert "2 prices of 2025-02-20 as club. Nothing was written." in shown.out
    assert bag("sheets").out.startswith("No sheet")

    bag("sheet", sheet, "--name", "club", "--on", "2025-02-20", "--note", "Invented.")
    assert "club: Invented." in bag("sheets").out
    record = bag("sheets", "merc dime 1921-D", "--at", "VG8", "--json").json
    assert (record["low_usd"], record["sheet"], record["on"]) == ("60", "club", "2025-02-20")
    assert bag("sheets", "merc dime 1921-D", "--at", "MS70").code == 2
    assert bag("sheet", "-", "--name", "club", "--strike").code == 0
    assert bag("sheets", "--json").json == {"sheets": []}


def test_every_fault_of_a_sheet_is_told_with_its_line(bag: Ninefine, tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(SHEET + "\n".join("mercury dime, 1922-D, G4, 1, 2" for _ in range(60)), encoding="utf-8")

    said = bag("sheet", str(path), "--name", "club")

    assert said.code == 2
    assert said.err.count("line ") == 60
    assert "No sheet" in bag("sheets").out


def test_columns_are_named_on_the_command_line(bag: Ninefine, tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Coin;Yr;MM;Price G4;Zoo\nmercury dime;1921;D;45-50;x\n", encoding="utf-8")
    named = ("--columns", "Yr=year", "--columns", "Price G4=G4", "--columns", "Zoo=-")

    assert bag("sheet", str(path), "--name", "list", *named).code == 0
    assert bag("sheet", str(path), "--name", "list", "--columns", "Zoo").code == 2


def test_sets_lack_keep_and_send_back(bag: Ninefine, sheet: str) -> None:
    laid(bag, sheet)
    said = bag("sets", "mercury dime", "--from", "1938", "--to", "1939")
    record = bag("sets", "us-dime-mercury", "--from", "1921", "--to", "1921", "--json").json

    assert said.out.startswith("Of 6 places, Mercury (Winged Liberty) dime, 5 are filled and 1 lacking")
    assert [one["place"] for one in record["lacking"]] == ["1921-P"]
    assert bag("sets").out.startswith("No set is kept yet.")
    assert bag("sets", "mercury dime", "--keep", "the album").code == 0
    assert "the album" in bag("sets").out
    assert bag("sets", "the album").out.startswith("Of 77 places")
    assert "the set the album keeps it" in bag("triage", "--spot", "31.50").out
    assert bag("back", "L1/us-dime-mercury/1941-P", "--amount", "2 pieces").code == 0
    assert bag("sets", "--strike", "the album").code == 0
    assert bag("sets", "mercury dime", "--at", "holed").code == 2


def test_figures_stay_where_they_are_left_out(bag: Ninefine) -> None:
    bag("figures", "--threshold", "4", "--share", "cleaned=50", "--share", "holed=metal")
    bag("figures", "--hour", "12")

    record = bag("figures", "--json").json

    assert (record["threshold"], record["hour_worth"]) == ("4", "12")
    assert "hour worth" in bag("figures").out
    assert bag("figures", "--share", "cleaned").code == 2
    assert bag("figures", "--share", "worn=20").code == 2


def test_whether_grading_pays(bag: Ninefine, sheet: str) -> None:
    """Sent in: 0.6 x 65.00 + 0.4 x 47.00 = 57.80 expected, less 20 and 47.00 as it is: 9.20 lost."""
    laid(bag, sheet)
    assert bag("grader", "a grader", "--tier", "any:20").code == 0

    said = bag("grading", "E1-1", "--as", "F12:60%", "--as", "VG8:40%", "--declared", "80")
    record = bag("grading", "E1-1", "--as", "F12:60%", "--as", "VG8:40%", "--declared", "80", "--json").json

    assert (record["raw_net_usd"], record["expected_net_usd"], record["gain_usd"]) == ("47", "57.8", "-9.2")
    assert "loses 9.20 on average" in said.out
    assert "No outcome says details." in said.out
    assert bag("grading", "E1-1", "--as", "F12:60%", "--declared", "80").code == 2
    assert bag("grader", "a grader", "--strike").code == 0
    assert bag("collector", "the online sale", "--strike").code == 0
