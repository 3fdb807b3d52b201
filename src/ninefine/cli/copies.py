"""Commands that keep the book safe and open: copy, restore, export, rebuild."""

from pathlib import Path

import click

from ninefine import wire
from ninefine.book.proved import Proved
from ninefine.cli.books import PLAIN_WARNING, ask_new_passphrase
from ninefine.cli.common import book_path, json_option, kit_of, passphrase_of
from ninefine.cli.show import say, say_json
from ninefine.desk.writing_out import JOURNAL, as_zip, write_out
from ninefine.errors import NotFoundError, StoreError


def _proved(proved: Proved, words: str, *, as_json: bool) -> None:
    """Say what was done, and what was proved of it."""
    if as_json:
        said_at = proved.said_at.isoformat() if proved.said_at else ""
        say_json(
            {"entries": proved.entries, "attachments": proved.files, "digest": proved.digest, "last_said_at": said_at}
        )
        return
    say(words)
    files = "1 attachment" if proved.files == 1 else f"{proved.files} attachments"
    say(f"Proved: {proved.entries} entries in an unbroken chain, {files} whole, the laws of the book hold.")
    if proved.digest:
        say(f"Last digest: {proved.digest}")


@click.command("copy", short_help="Copy the book, whole and encrypted.")
@click.argument("to", type=click.Path(path_type=Path))
@json_option
@click.pass_context
def copy_command(ctx: click.Context, to: Path, *, as_json: bool) -> None:
    r"""Copy the book TO another file, with the same passphrase; the copy is opened and proved before it is kept.

    \b
    Example:
      ninefine copy /media/stick/silver-2024-03.ninefine
    """
    path = book_path(ctx)
    proved = wire.copy_book(path, passphrase_of(ctx, path), to)
    _proved(proved, f"Copied {proved.entries} entries to {to}, read back and proved.", as_json=as_json)


@click.command("restore", short_help="Make the book of a copy of it, proved first.")
@click.argument("copy", type=click.Path(path_type=Path))
@json_option
@click.pass_context
def restore_command(ctx: click.Context, copy: Path, *, as_json: bool) -> None:
    r"""Make the book (or the one that --book names) of COPY, which is only read. Never writes over a file.

    The copy's chain, attachments and laws are proved first; a copy that does not hold is refused and nothing is kept.

    \b
    Examples:
      ninefine restore /media/stick/silver-2024-03.ninefine
      ninefine --book trial.ninefine restore /media/stick/silver-2024-03.ninefine
    """
    if not copy.exists():
        raise NotFoundError(f"There is no copy at {copy}.")
    to = book_path(ctx)
    proved = wire.restore_book(copy, passphrase_of(ctx, copy), to)
    _proved(proved, f"Made the book at {to} of {copy}; the copy was not changed.", as_json=as_json)


@click.command("export", short_help="Write everything out: the journal by lines, and tables.")
@click.argument("to", type=click.Path(path_type=Path))
@json_option
@click.pass_context
def export_command(ctx: click.Context, to: Path, *, as_json: bool) -> None:
    r"""Write everything out TO a new folder, or TO a file whose name ends in .zip.

    The journal goes out as JSON lines, each entry with its number, moment and digest, and with every file kept in the
    book; `ninefine rebuild` makes the same book of it. Beside it stand tables as CSV: holdings, lots, purchases, sales,
    gains. Nothing in them is encrypted.

    \b
    Examples:
      ninefine export silver-2024-03
      ninefine export silver-2024-03.zip
    """
    written = write_out(kit_of(ctx))
    try:
        if to.suffix.lower() == ".zip":
            with to.open("xb") as file:
                file.write(as_zip(written))
        else:
            to.mkdir()
            for name, data in written.files.items():
                (to / name).write_bytes(data)
    except FileExistsError:
        raise StoreError(f"{to}: there is a file or folder already. Name another place; nothing was written.") from None
    except OSError as error:
        raise StoreError(f"{to}: {(error.strerror or str(error)).lower()}.") from error
    if as_json:
        say_json(
            {
                "entries": written.entries,
                "attachments": written.kept,
                "digest": written.digest,
                "files": list(written.files),
            }
        )
        return
    kept = "1 attachment" if written.kept == 1 else f"{written.kept} attachments"
    say(f"Wrote {written.entries} entries and {kept} to {to}: {', '.join(written.files)}.")
    say("Anyone can read these files: keep them as you keep the silver.")


@click.command("rebuild", short_help="Make the book of a journal that was written out.")
@click.argument("journal", type=click.Path(path_type=Path))
@click.option("--without-passphrase", is_flag=True, help="Keep it open to anyone who has the file.")
@json_option
@click.pass_context
def rebuild_command(ctx: click.Context, journal: Path, *, without_passphrase: bool, as_json: bool) -> None:
    r"""Make the book (or the one that --book names) of JOURNAL, as `ninefine export` wrote it; never over a file.

    JOURNAL is the file journal.jsonl, or the folder that holds it. Each line is proved; the book has the same entries
    with the same digests. A line that was changed is named, and nothing is made.

    \b
    Example:
      ninefine --book again.ninefine rebuild silver-2024-03
    """
    source = journal / JOURNAL if journal.is_dir() else journal
    try:
        lines = source.read_bytes()
    except OSError as error:
        raise NotFoundError(f"{source} cannot be read: {(error.strerror or str(error)).lower()}.") from error
    to = book_path(ctx)
    if to.exists():
        raise StoreError(f"{to}: there is a file already. Name another place; nothing was written.")
    passphrase = None if without_passphrase else ask_new_passphrase(ctx)
    proved = wire.rebuild_book(lines, passphrase, to, plain=without_passphrase)
    _proved(proved, f"Made the book at {to} of {source}, line by line.", as_json=as_json)
    if without_passphrase and not as_json:
        say(PLAIN_WARNING)
