"""`ninefine plan whatif` and `steady`: the sentence, the ledger, JSON, and that no forecast is made."""

import pytest

from cli.conftest import Ninefine


@pytest.fixture
def stack(with_book: Ninefine) -> Ninefine:
    """A hundred face and a shop."""
    assert with_book("buy", "100 face of 90% at 24x", "--on", "2020-01-05").code == 0
    assert with_book("price", "66.00").code == 0
    assert with_book("exit", "the shop", "--bid", "90=95% of melt").code == 0
    return with_book


def test_a_shock_moves_what_the_shop_pays_by_as_much(stack: Ninefine) -> None:
    """71.5 x 66 x 0.95 = 4,483.05; a fifth less is 3,586.44. Even at 2,400 / (71.5 x 0.95) = 35.33."""
    said = stack("plan", "whatif", "--shock", "-20")

    assert said.code == 0, said.err
    assert "The shop pays 4,483.05 today, and would pay 3,586.44." in said.out
    assert "35.33" in said.out
    assert "This is no forecast" in said.out


def test_drawn_paths_show_their_seed_and_come_again(stack: Ninefine) -> None:
    one, again = (stack("plan", "whatif", "--paths", "50", "--seed", "9", "--json").json for _ in range(2))

    assert one == again
    assert one["paths"].endswith("seed 9")
    assert len(one["months_usd_per_ozt"]) == 25


def test_a_steady_sum_beside_a_lump_sum(stack: Ninefine) -> None:
    said = stack("plan", "steady", "500", "--ask", "spot+3", "--since", "2011-04", "--until", "2020-03")
    found = stack("plan", "steady", "500", "--ask", "spot+3", "--since", "2011-04", "--until", "2020-03", "--json").json

    assert said.code == 0, said.err
    assert "500.00 a month from April 2011 to March 2020 would have bought" in said.out
    assert "This is no forecast" in said.out
    assert found["months"] == 108
    assert found["steady"]["units"] > found["lump"]["units"]  # April 2011 was dear


def test_what_cannot_be_read_is_refused(stack: Ninefine) -> None:
    assert stack("plan", "whatif", "--path", "66, x").code == 2
    assert stack("plan", "steady", "500", "--since", "soon").code == 2
