"""Write docs/reference/commands.md from the commands' own help.

Run `python builders/command_reference.py` after changing a command.
"""

from pathlib import Path

import click

from ninefine.cli.main import COMMANDS, main

PAGE = Path(__file__).resolve().parent.parent / "docs" / "reference" / "commands.md"
HEAD = """# Commands

<!-- Written by builders/command_reference.py from the commands' own help; edit that instead. -->

`ninefine --book FILE COMMAND` speaks of another book than your own; `NINEFINE_BOOK` does the same. Every command that
prints figures takes `--json`: exact decimals as strings, with the unit and the ounce basis in the key's name.
"""


def reference() -> str:
    """The whole page."""
    parent = click.Context(main, info_name="ninefine", help_option_names=["-h", "--help"])
    parts = [HEAD]
    for name in COMMANDS:
        command = main.get_command(parent, name)
        if command is None:
            raise LookupError(name)
        context = click.Context(command, info_name=name, parent=parent, terminal_width=96, max_content_width=96)
        parts.append(f"## {name}\n\n```text\n{command.get_help(context)}\n```\n")
        if isinstance(command, click.Group):
            parts += [_below(command, below, context) for below in command.list_commands(context)]
    return "\n".join(parts)


def _below(group: click.Group, name: str, parent: click.Context) -> str:
    """A command of a group, under the group's own head."""
    command = group.get_command(parent, name)
    if command is None:
        raise LookupError(name)
    context = click.Context(command, info_name=name, parent=parent, terminal_width=96, max_content_width=96)
    return f"### {parent.info_name} {name}\n\n```text\n{command.get_help(context)}\n```\n"


if __name__ == "__main__":
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(reference(), encoding="utf-8")
    print(f"Wrote {PAGE.name}.")
