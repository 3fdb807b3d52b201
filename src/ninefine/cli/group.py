"""A group of commands that is a table: each command's module is imported only when the command is called."""

import importlib
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

import click

from ninefine.cli.typed import with_words


class TellingGroup(click.Group):
    """A group that leaves the command it found where an error can be told by that command's options."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, and leave it on the context's object; a name of none is answered with those near to it."""
        try:
            name, command, rest = super().resolve_command(ctx, args)
        except click.UsageError as error:
            near = get_close_matches(args[0], self.list_commands(ctx), n=3)
            instead = f"Try: {', '.join(near)}." if near else "`ninefine --help` lists them."
            raise click.UsageError(f"There is no command {args[0][:40]!r}. {instead}", ctx) from error
        if isinstance(ctx.obj, dict):
            ctx.obj["command"] = command
        return name, command, rest


class TableGroup(TellingGroup):
    """A group whose commands are listed from a table, and imported only when they are called.

    Args:
        table: command -> the module of `ninefine.cli` that holds it, and its one line in the list.
        held_as: what the command is called in that module, `{}` standing for its name in the table.
        of_click: what any group of click takes.
    """

    def __init__(self, *, table: Mapping[str, tuple[str, str]], held_as: str, **of_click: Any) -> None:
        super().__init__(**of_click)
        self._table = table
        self._held_as = held_as

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Every command, in the order of the table."""
        return list(self._table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """Load a command's module and answer the command."""
        if cmd_name not in self._table:
            return None
        module = importlib.import_module(f"ninefine.cli.{self._table[cmd_name][0]}")
        attribute = self._held_as.format(cmd_name)
        command = getattr(module, attribute)
        if not isinstance(command, click.Command):
            raise TypeError(f"{attribute} is no command")
        return _as_written(command)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in self._table.items()])


def _as_written(command: click.Command) -> click.Command:
    """A command whose help keeps the lines of its examples and whose texts are `Words`, and those below it."""
    if command.help is not None:
        # docstrings are raw; click keeps the lines after this control sign as they are
        command.help = command.help.replace("\\b\n", "\b\n")
    with_words(command)
    if isinstance(command, click.Group):
        for below in command.commands.values():
            _as_written(below)
    return command
