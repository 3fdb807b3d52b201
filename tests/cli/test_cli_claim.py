"""Working a claim out at the command line, and ways out as they were on a day."""

import pytest

from cli.conftest import Ninefine


@pytest.fixture
def bag(with_book: Ninefine) -> Ninefine:
    """Quarry Street's bag, on its way."""
    with_book("buy", "250 face of 90% at 23.40x", "--carriage", "25", "--on", "2025-02-10", "--on-its-way")
    return with_book


WRONG = ("L1", "clad quarter=3", "not silver=1 piece, 0.10 face", "--keep", "40% halves=2 pieces, 22.9 g")


def test_a_claim_is_worked_out_and_nothing_is_booked(bag: Ninefine) -> None:
    """1.85 face x 23.40 = 43.29, less 9.28 for two 40% halves that are kept: 34.01 (worked out by hand)."""
    said = bag("claim", *WRONG, "--spot", "31.50")
    record = bag("claim", *WRONG, "--spot", "31.50", "--json").json

    assert said.out.startswith("Claim on lot L1: 34.01.")
    assert record["claim_usd"] == "34.01"
    assert [line["sold_as"] for line in record["pieces"]] == ["0.75", "0.1", "1"]
    assert len(bag("book", "--json").json["entries"]) == 1


def test_a_claim_that_cannot_be_read_says_why(bag: Ninefine) -> None:
    assert bag("claim", "L1").code == 2
    assert "no '='" in bag("claim", "L1", "clad quarter").err
    assert "There is no lot 'L7'" in bag("claim", "L7", "clad quarter=3").err


def test_a_way_out_is_known_from_the_day_it_was_set_down_for(bag: Ninefine) -> None:
    bag("receive", "L1=250 face", "--on", "2025-02-18")
    assert bag("exit", "the shop", "--bid", "90=22.00x", "--on", "2025-02-20").code == 0

    before = bag("worth", "--on", "2025-02-19", "--json").json
    then = bag("worth", "--on", "2025-02-21", "--json").json

    assert before["exits"] == []
    assert then["exits"][0]["net_usd"] == "5500"
    assert bag("exit", "the shop", "--on", "20 February", "--strike").code == 2
