"""`ninefine plan sell`: the plan in words and in JSON, what clashes, and one sale of it booked."""

import pytest

from cli.conftest import Ninefine
from ninefine.cli.main import main
from ninefine.cli.plan import PLANS, plan_command

LOTS = (
    ("2019-03-11", "300 face of 90% at 11.20x"),
    ("2021-02-08", "200 face of 90% for 4988.70"),
    ("2025-11-14", "150 face of 90% at 38.50x"),
)
RATES = ("--short-rate", "32", "--long-rate", "28")


@pytest.fixture
def lane(with_book: Ninefine) -> Ninefine:
    """Three lots bought long ago and a shop that pays at once."""
    for on, line in LOTS:
        assert with_book("buy", line, "--on", on).code == 0
    assert with_book("price", "66.00").code == 0
    assert with_book("exit", "the shop", "--bid", "90=44.83x", "--fee", "days=0").code == 0
    return with_book


def test_a_sum_names_the_pieces_the_money_and_the_tax(lane: Ninefine) -> None:
    """Question 39: 5,000 at 44.83 a face dollar takes 112 face."""
    said = lane("plan", "sell", "5000", "--by", "today", *RATES)

    assert said.code == 0, said.err
    assert "Sell 112 face of" in said.out
    assert "5,020.96 in hand" in said.out
    assert "No plan sells less silver: proven to the cent." in said.out
    assert "the oldest pieces first" in said.out
    assert "ask a licensed preparer" in said.out


def test_the_same_in_json(lane: Ninefine) -> None:
    found = lane("plan", "sell", "5000", *RATES, "--json").json

    assert (found["proven"], found["in_hand_usd"]) == (True, "5020.96")
    assert [line["steps"] for line in found["sales"][0]["lines"]] == [112]


def test_one_sale_of_the_plan_is_booked_when_asked(lane: Ninefine) -> None:
    said = lane("plan", "sell", "--amount", "100 face", *RATES, "--book-it", "1")
    wrong = lane("plan", "sell", "--amount", "100 face", "--book-it", "2")

    assert said.code == 0, said.err
    assert "Sold" in said.out
    assert wrong.code == 2
    assert "The plan has 1 sale, and '2' is none of them." in wrong.err


def test_all_sales_of_the_plan_are_booked_together(lane: Ninefine) -> None:
    """The shop takes 60 face and the post the rest: two entries, or neither."""
    lane("exit", "the shop", "--bid", "90=44.83x", "--fee", "days=0", "--fee", "capacity=60 face")
    lane("exit", "by post", "--bid", "90=44x", "--fee", "days=10")
    found = lane("plan", "sell", "--amount", "100 face", *RATES, "--book-it", "all", "--json")

    assert found.code == 0, found.err
    told = [entry["sentence"] for entry in found.json["booked"]]
    assert len(told) == 2
    assert ["the shop" in told[0], "by post" in told[1]] == [True, True]
    assert "The plan has 0 sales" in lane("plan", "sell", "90000000", "--book-it", "all").err


def test_what_clashes_is_said(lane: Ninefine) -> None:
    lane("exit", "the shop", "--bid", "90=44.83x", "--fee", "days=0", "--fee", "capacity=60 face")
    lane("exit", "by post", "--bid", "90=46x", "--fee", "days=10")
    said = lane("plan", "sell", "5000", "--by", "today")

    assert said.code == 0
    assert "the shop takes no more than 60 face; money on the day itself. Lift one of them" in said.out
    assert "2,689.80 in hand" in said.out
    assert "In 10 days it could be had" in said.out


def test_nothing_said_is_refused(lane: Ninefine) -> None:
    said = lane("plan", "sell")

    assert said.code == 2
    assert "Say how much money is needed" in said.err


@pytest.mark.parametrize("name", PLANS)
def test_every_plan_can_be_loaded_and_shows_an_example(name: str) -> None:
    import click  # noqa: PLC0415 - for its context alone

    parent = click.Context(main, info_name="ninefine", help_option_names=["-h", "--help"])
    command = plan_command.get_command(parent, name)
    assert command is not None
    shown = command.get_help(click.Context(command, info_name=name, parent=parent, terminal_width=200))

    assert f"    ninefine plan {name} " in shown
