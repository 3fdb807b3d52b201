"""`ninefine plan divide`: who gets what, the cash between them, and what is refused."""

import pytest

from cli.conftest import Ninefine


@pytest.fixture
def estate(with_book: Ninefine) -> Ninefine:
    """A roll of halves, seven rounds, and a price."""
    assert with_book("buy", "20 of 90% halves for 300", "--on", "2020-01-05", "--lot", "H").code == 0
    assert with_book("buy", "7 of 1 oz round for 200", "--on", "2020-02-05", "--lot", "R").code == 0
    assert with_book("price", "60.00").code == 0
    return with_book


def test_two_halves_of_everything_and_the_odd_piece_in_cash(estate: Ninefine) -> None:
    """A half melts at 0.3575 x 60 = 21.45, a round at 60: 429 + 420 = 849 in all, 424.50 each; no cash moves less."""
    found = estate("plan", "divide", "Ada", "Ben", "--json").json
    said = estate("plan", "divide", "Ada", "Ben")

    assert found["proven"] is True
    assert [person["due_usd"] for person in found["people"]] == ["424.5", "424.5"]
    assert sum(person["pieces"]["R/xag-generic-round-1oz"] for person in found["people"]) == 7
    assert said.code == 0
    assert "Ada and Ben each get their due by melt (trade) at spot 60.00" in said.out


def test_wishes_come_first_when_asked(estate: Ninefine) -> None:
    wishes = ("--wish", "Ada: R 100", "--wish", "Ben: H 80", "--first", "wishes")
    found = estate("plan", "divide", "Ada", "Ben", *wishes, "--json").json

    assert found["people"][0]["pieces"] == {"H/us-half-90": 0, "R/xag-generic-round-1oz": 7}
    assert found["payments"] == [{"by": "Ben", "to": "Ada", "usd": "4.5"}]
    assert found["envies"] == []


def test_shares_a_worth_of_ones_own_and_a_lot_that_stays_whole(estate: Ninefine) -> None:
    """The roll is worth 600 and stays whole; two thirds of 1,020 are 680, so a round goes with it, and 20 in cash."""
    ask = ("--worth", "H 600", "--whole", "H", "--json")
    found = estate("plan", "divide", "Ada=2/3", "Ben=1/3", *ask).json

    assert [person["cash_usd"] for person in found["people"]] == ["20", "-20"]
    assert [person["pieces"]["H/us-half-90"] for person in found["people"]] == [1, 0]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("Ada",), "Say two to 12 people"),
        (("Ada", "Ada"), "Two people have the same name"),
        (("Ada=none", "Ben"), "people"),
        (("Ada", "Ben", "--wish", "Cleo: R 10"), "A wish names a person"),
        (("Ada", "Ben", "--wish", "Ada: R 101"), "Ada gives 101 points"),
        (("Ada", "Ben", "--wish", "Ada: moon 5"), "is no lot, heap or kind"),
        (("Ada", "Ben", "--worth", "moon 5"), "say a lot or heap"),
        (("Ada", "Ben", "--lots", "L9"), "No lot or heap 'L9' is held"),
        (("Ada", "Ben", "--value", "the moon"), "There is no way out"),
    ],
)
def test_what_cannot_be_is_refused(estate: Ninefine, arguments: tuple[str, ...], words: str) -> None:
    said = estate("plan", "divide", *arguments)

    assert said.code == 2
    assert words in said.err
