"""What is typed on a command line: text that can be kept, and faults told in the command's own words."""

import re
from typing import Any

import click

from ninefine.errors import Fault, Faults
from ninefine.measure.text import unfit

#: Longer than any note that the book keeps; what is longer was not typed.
LONGEST = 20_000
_NUMBERED = re.compile(r"(?P<name>[a-z][a-z_]*)-(?P<number>[0-9]{1,9})", re.ASCII)
_FIELD = re.compile(r"[a-z][a-z_]*", re.ASCII)


class Words(click.types.StringParamType):
    """Text of an option or argument. Control characters are refused: they are never seen, and would be kept."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Take the text as it is, or say what is wrong with it."""
        text: str = super().convert(value, param, ctx)
        if len(text) > LONGEST:
            self.fail(f"This is {len(text):,} characters long. At most {LONGEST:,} are read.", param, ctx)
        wrong = unfit(text)
        if wrong:
            self.fail(wrong, param, ctx)
        return text


class Whole(click.IntRange):
    """A whole number, between bounds where it has any."""

    name = "whole number"


def with_words(command: click.Command) -> None:
    """Have every plain text of a command read as `Words`, and every number told as `Whole`."""
    for param in command.params:
        if type(param.type) is click.types.StringParamType:
            param.type = Words()
        elif type(param.type) is click.types.IntParamType:
            param.type = Whole()
        elif type(param.type) is click.IntRange:
            param.type = Whole(param.type.min, param.type.max)


def show_wrong_use(error: click.ClickException) -> None:
    """Say what was wrong with a command line, then an example of the command from its own help."""
    error.show()
    ctx = error.ctx if isinstance(error, click.UsageError) else None
    lines = (ctx.command.help or "").splitlines() if ctx is not None else []
    example = next((line.strip() for line in lines if line.strip().startswith("ninefine ")), "")
    if example:
        click.echo(f"For example: {example}", err=True)


def told(faults: Faults, command: click.Command | None) -> str:
    """Every fault, each under the option or argument that it was typed by."""
    return "\n".join([faults.wrong, *(f"  {_told(fault, command)}" for fault in faults.faults)])


def _told(fault: Fault, command: click.Command | None) -> str:
    return str(Fault(where=_label(fault.where, command), wrong=fault.wrong))


def _label(where: str, command: click.Command | None) -> str:
    for param in command.params if command is not None else ():
        if param.name == where:
            return max(param.opts, key=len) if isinstance(param, click.Option) else _of_argument(param)
    numbered = _NUMBERED.fullmatch(where)
    if numbered is not None:
        return f"{numbered['name']} {numbered['number']}".replace("_", " ")
    return where.replace("_", " ") if _FIELD.fullmatch(where) else where


def _of_argument(param: click.Parameter) -> str:
    return re.sub(r"[^A-Z_ ].*", "", (param.metavar or param.human_readable_name).strip("[]").upper())
