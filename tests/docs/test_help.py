"""What the help says can be typed, can be typed."""

import re
from dataclasses import fields

import click
import pytest

from ninefine.cli.main import COMMANDS, main
from ninefine.desk.tables import nested
from ninefine.market.exits import exit_from
from ninefine.market.read_quote import read_quote

PARENT = click.Context(main, info_name="ninefine", help_option_names=["-h", "--help"])


def help_of(name: str) -> str:
    """A command's help as it is shown, on a wide terminal."""
    command = main.get_command(PARENT, name)
    assert command is not None
    return command.get_help(click.Context(command, info_name=name, parent=PARENT, terminal_width=200))


@pytest.mark.parametrize("name", COMMANDS)
def test_examples_stand_on_lines_of_their_own(name: str) -> None:
    shown = help_of(name)

    assert "\\b" not in shown
    assert re.search(r"^  Examples?:\n    ninefine ", shown, re.MULTILINE)


def test_the_quotes_that_help_names_are_read() -> None:
    said = re.search(r"Read are (.*?)\. Needs no book", help_of("quote"), re.DOTALL)
    assert said is not None

    quotes = [" ".join(quote.split()) for quote in said[1].split(", ")]

    assert len(quotes) == 10
    for quote in quotes:
        assert read_quote(quote) is not None


def test_the_conditions_of_an_exit_that_help_names_are_all_there_are() -> None:
    """Every name is read as a field of a way out, and a way out has no others."""
    shown = help_of("exit").partition("Conditions:")[2].partition("Examples:")[0]
    names = {"basis": "scale", "minimum": "1 face", "capacity": "2 face"}
    names |= dict.fromkeys(re.findall(r"[a-z]+\.[a-z_]+|[a-z]+_pct|costs|days", shown), "1")
    names.pop("parcels.face")  # either how many parcels, or how much face in each

    found = exit_from({"name": "x", "bids": [{"what": "90", "quote": "22x"}], **nested(names)})

    heads = {name.partition(".")[0] for name in names}
    assert heads == {part.name for part in fields(found)} - {"name", "bids", "note"}
    assert heads <= found.as_dict().keys()
