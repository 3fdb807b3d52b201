"""`ninefine plan buy`: the answer from a file and from a book, its JSON, its refusals."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine

SHEET = str(Path(__file__).parents[2] / "examples" / "elm_hollow.toml")


def test_the_published_budget_from_a_file(ninefine: Ninefine) -> None:
    """Elm Hollow, step 7 of the published scenario: B whole and 30 face of C, 3,077.60."""
    said = ninefine("plan", "buy", "3100", "--from", SHEET, "--whole", "A,B,D")

    assert said.code == 0
    assert said.out.startswith("3,077.60 buys 92.6375 fine ounces (71.5000 trade, 21.1375 scale) by 2 offers")
    assert "proven" in said.out
    assert "one step more would overspend by 0.10" in said.out
    assert not said.err


def test_what_stands_beside(ninefine: Ninefine) -> None:
    said = ninefine("plan", "buy", "3100", "--from", SHEET, "--whole", "A,B,D", "--beside")

    assert "2. best, A + C: 90.5238 fine ounces (71.5000 trade, 19.0238 scale) for 3,090.05" in said.out
    assert "100 more to spend: 3.5229 fine ounces more." in said.out
    assert "Without C: 2.6375 fine ounces fewer." in said.out


def test_json_is_exact_and_names_its_units(ninefine: Ninefine) -> None:
    found = ninefine("plan", "buy", "3100", "--from", SHEET, "--whole", "A,B,D", "--json").json

    assert (found["spend_usd"], found["change_usd"], found["proof"]) == ("3077.6", "22.4", "proven best")
    assert [(line["offer"], line["price_usd"], line["basis"]) for line in found["lines"]] == [
        ("B", "2390", "trade"),
        ("C", "675", "scale"),
    ]
    assert found["offers_usd"][1] == {"offer": "C", "to_seller": "675", "travel": "12.6"}


def test_wishes_that_clash_are_an_answer_and_no_error(ninefine: Ninefine) -> None:
    said = ninefine("plan", "buy", "--weight", "200", "--sellers", "1", "--from", SHEET)

    assert said.code == 0
    assert "No basket keeps all of these at once: the weight wanted and the most sellers." in said.out
    assert "With 2 sellers it can be done." in said.out


def test_the_tray_of_a_book_is_planned_over(with_book: Ninefine) -> None:
    """19 face of B at 23.90 are 454.10, and 27.25 of tax under the line: 481.35; 20 would come to 506.68."""
    assert with_book("price", "32", "--whose", "the shop's screen").code == 0
    assert with_book("offer", SHEET).code == 0
    said = with_book("plan", "buy", "500", "--never", "A,C,D")

    assert said.code == 0
    assert "481.35 buys 13.5850 fine ounces trade by 1 offer" in said.out


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("3100", "--whole", "nobody"), "There is no offer 'nobody'"),
        ((), "weight"),
        (("--goal", "luck", "100"), "Say one of: silver, money, loss"),
        (("100", "--share-least", "plenty"), "'plenty' is not a share"),
        (("100", "--exit", "nowhere"), "no way out 'nowhere'"),
    ],
)
def test_what_cannot_be_used_is_told(ninefine: Ninefine, typed: tuple[str, ...], words: str) -> None:
    said = ninefine("plan", "buy", "--from", SHEET, *typed)

    assert said.code == 2
    assert words in said.err
    assert not said.out
