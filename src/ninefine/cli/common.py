"""What the commands share: opening the book, the options that repeat, saying what was booked."""

import getpass
import warnings
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import click

from ninefine import wire
from ninefine.book.chain import Stored
from ninefine.cli.show import say, say_json
from ninefine.desk.describe import describe
from ninefine.desk.kit import Kit
from ninefine.errors import InputError, NotFoundError, UnreadableError
from ninefine.measure.days import read_day

Command = TypeVar("Command", bound=Callable[..., Any])

ON_HELP = "The day, as 2024-03-01; today if left out."


class Day(click.ParamType[date]):
    """A date on the command line."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Read a date, or say what would be one."""
        if isinstance(value, date):
            return value
        try:
            return read_day(str(value))
        except InputError as error:
            self.fail(str(error), param, ctx)


def passphrase_of(ctx: click.Context, path: Path) -> str | None:
    """The passphrase of a book that needs one: from the file that was named, else asked for; none for a plain book."""
    if not wire.needs_passphrase(path):
        return None
    return read_passphrase_file(ctx) or ask_hidden("Passphrase")


def ask_hidden(what: str, *, again: str = "") -> str:
    """Ask for something that is not shown as it is typed, twice where `again` says how the second time.

    Raises:
        UnreadableError: there is no terminal to ask on.
    """
    try:
        with warnings.catch_warnings():
            # without a terminal it would be read from whatever is piped in, and shown
            warnings.simplefilter("error", getpass.GetPassWarning)
            return str(click.prompt(what, hide_input=True, confirmation_prompt=again or False, err=True))
    except getpass.GetPassWarning as error:
        raise UnreadableError(
            "The passphrase can only be asked for on a terminal, and there is none.",
            expected="Keep it on the first line of a file, and name that file before the command.",
            instead=("--passphrase-file FILE",),
        ) from error


def read_passphrase_file(ctx: click.Context) -> str | None:
    """The first line of the passphrase file, if one was named.

    Raises:
        NotFoundError: the file cannot be read.
        UnreadableError: its first line is empty.
    """
    path: Path | None = ctx.obj["passphrase_file"]
    if path is None:
        return None
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise NotFoundError(f"The passphrase file {str(path)!r} cannot be read.") from error
    if not lines or not lines[0].strip():
        raise UnreadableError(f"The first line of {str(path)!r} is empty.", expected="It must be the passphrase.")
    return lines[0]


def book_path(ctx: click.Context) -> Path:
    """The book that the command speaks of: the one named, else the person's own."""
    path: Path | None = ctx.obj["book"]
    return path if path is not None else wire.own_book()


def kit_of(ctx: click.Context) -> Kit:
    """Open the book."""
    path = book_path(ctx)
    return wire.open_kit(path, passphrase_of(ctx, path))


def json_option(command: Command) -> Command:
    """`--json`: figures as exact decimals in strings."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON: exact decimals as strings.")(command)


def booked(kit: Kit, stored: Stored, *, as_json: bool = False) -> None:
    """Say what was booked."""
    if as_json:
        say_json(_told(kit, stored))
    else:
        say(f"Entry {stored.serial}, {stored.entry.on.isoformat()}. {describe(stored.entry, kit.catalog())}")


def booked_all(kit: Kit, entries: Sequence[Stored], *, as_json: bool = False) -> None:
    """Say what was booked together."""
    if as_json:
        say_json({"booked": [_told(kit, stored) for stored in entries]})
        return
    for stored in entries:
        booked(kit, stored)


def say_and_book(
    kit: Kit,
    show: Callable[[], None],
    record: Mapping[str, object],
    book: Callable[[], Stored] | None,
    *,
    as_json: bool,
) -> None:
    """Say what was found, then what was booked of it; as JSON in one object, the entry under `booked`."""
    if not as_json:
        show()
    stored = None if book is None else book()
    if as_json:
        say_json(record if stored is None else {**record, "booked": _told(kit, stored)})
    elif stored is not None:
        say()
        booked(kit, stored)


def _told(kit: Kit, stored: Stored) -> dict[str, object]:
    sentence = describe(stored.entry, kit.catalog())
    return {"serial": stored.serial, "digest": stored.digest.hex(), "sentence": sentence}


def form_of(options: Mapping[str, object]) -> dict[str, str]:
    """Options as the desk's forms take them: text, nothing for what was left out."""
    return {name: str(value) for name, value in options.items() if value is not None and value != ""}
