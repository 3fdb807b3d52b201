"""Commands about the book itself: new, book, check, passphrase."""

from pathlib import Path

import click

from ninefine import wire
from ninefine.cli.common import ask_hidden, book_path, json_option, kit_of, passphrase_of, read_passphrase_file
from ninefine.cli.show import say, say_json
from ninefine.desk.journal import journal
from ninefine.desk.proof import prove
from ninefine.measure.money import currency_code

PLAIN_WARNING = (
    "This book is kept WITHOUT a passphrase: anyone who has the file can read it. "
    "`ninefine passphrase` sets one at any time."
)


def ask_new_passphrase(ctx: click.Context) -> str:
    """A new passphrase: the file's first line, else typed twice."""
    given = read_passphrase_file(ctx)
    if given is not None:
        return given
    return ask_hidden("New passphrase", again="Once more")


@click.command("new", short_help="Make a new book, with a passphrase.")
@click.option("--name", default="Our silver", show_default=True, help="What you call it.")
@click.option("--currency", default="USD", show_default=True, help="The book's one currency, by its ISO 4217 code.")
@click.option("--without-passphrase", is_flag=True, help="Keep it open to anyone who has the file.")
@click.pass_context
def new_command(ctx: click.Context, name: str, currency: str, *, without_passphrase: bool) -> None:
    r"""Make a new, empty book. A lost passphrase cannot be recovered by anyone.

    \b
    Examples:
      ninefine new --name "The Harbor Lane silver"
      ninefine --book ~/silver.ninefine new --without-passphrase
    """
    path = book_path(ctx)
    passphrase = None if without_passphrase else ask_new_passphrase(ctx)
    wire.new_book(path, passphrase, name=name, currency=currency_code(currency), plain=without_passphrase)
    say(f"Made the book {name!r} at {path}.")
    say(PLAIN_WARNING if without_passphrase else "Write the passphrase down and keep it apart: nobody can recover it.")


@click.command("book", short_help="Show the journal, entry by entry.")
@click.option(
    "--most",
    type=click.IntRange(min=1),
    metavar="NUMBER",
    default=20,
    show_default=True,
    help="How many entries, newest first.",
)
@click.option("--before", type=click.IntRange(min=1), metavar="NUMBER", help="Only entries below this number.")
@json_option
@click.pass_context
def book_command(ctx: click.Context, most: int, before: int | None, *, as_json: bool) -> None:
    r"""Show the journal, newest first.

    \b
    Example:
      ninefine book --most 5
    """
    kit = kit_of(ctx)
    lines = journal(kit, before=before, most=most)
    if as_json:
        say_json(
            {
                "entries": [
                    {
                        "serial": line.stored.serial,
                        "on": line.on.isoformat(),
                        "said_at": line.stored.said_at.isoformat(),
                        "entry": line.name,
                        "sentence": line.sentence,
                        "mended_by": list(line.mended_by),
                        "withdrawn_by": line.withdrawn_by,
                        "digest": line.stored.digest.hex(),
                    }
                    for line in lines
                ]
            }
        )
        return
    if kit.journal.is_plain:
        say(PLAIN_WARNING)
    say(f"{kit.journal.name}: {len(kit.journal.records())} entries.")
    for line in lines:
        mark = " (withdrawn)" if line.withdrawn_by else " (mended)" if line.mended_by else ""
        say(f"{line.stored.serial:>5}  {line.on.isoformat()}{mark}  {line.sentence}")


@click.command("check", short_help="Prove the book's laws, chain and attachments.")
@json_option
@click.pass_context
def check_command(ctx: click.Context, *, as_json: bool) -> None:
    r"""Prove that every entry is whole and unaltered, that the laws of the book hold, and that attachments are there.

    \b
    Example:
      ninefine check
    """
    proof = prove(kit_of(ctx))
    if as_json:
        say_json(
            {
                "entries": proof.entries,
                "digest": proof.digest,
                "laws": list(proof.laws),
                "attachments": proof.attachments,
            }
        )
        return
    files = "1 attachment" if proof.attachments == 1 else f"{proof.attachments} attachments"
    say(f"The book holds: {proof.entries} entries in an unbroken chain, {files} whole.")
    for law in proof.laws:
        say(f"  {law}")
    say(f"Last digest: {proof.digest}")


@click.command("passphrase", short_help="Change or set the passphrase.")
@click.option("--new-file", type=click.Path(path_type=Path), help="A file whose first line is the new passphrase.")
@click.pass_context
def passphrase_command(ctx: click.Context, new_file: Path | None) -> None:
    r"""Change the passphrase of the book, or set one on a book without. Close its other windows first.

    \b
    Example:
      ninefine passphrase
    """
    path = book_path(ctx)
    present = passphrase_of(ctx, path)
    ctx.obj["passphrase_file"] = new_file
    wire.change_passphrase(path, present, ask_new_passphrase(ctx))
    say("The passphrase was changed. Copies made before keep their old one.")
