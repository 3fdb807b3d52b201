"""`ninefine open` and `ninefine demo`: the pages, on this computer alone."""

from pathlib import Path

import click

from ninefine import wire
from ninefine.cli.books import PLAIN_WARNING
from ninefine.cli.common import passphrase_of
from ninefine.cli.show import say

port_option = click.option(
    "--port",
    type=click.IntRange(0, 65535),
    metavar="NUMBER",
    default=0,
    show_default=True,
    help="The port on this computer; 0 takes any free one.",
)


@click.command("open", short_help="Open the pages in the browser: your book, or the demo.")
@port_option
@click.option("--no-browser", is_flag=True, help="Print the address, open no browser.")
@click.pass_context
def open_command(ctx: click.Context, port: int, *, no_browser: bool) -> None:
    r"""Serve the pages of your book on this computer alone, and open the browser. Without a book, the demo opens.

    \b
    Example:
      ninefine open
    """
    path: Path = ctx.obj["book"] or wire.own_book()
    if ctx.obj["book"] is None and not path.exists():
        say("There is no book of your own yet (`ninefine new` makes one), so the invented demo opens.")
        path = _demo()
    _serve(ctx, path, port, browser=not no_browser)


@click.command("demo", short_help="Build the invented demo book and open it.")
@port_option
@click.option("--no-browser", is_flag=True, help="Print the address, open no browser.")
@click.option("--build-only", is_flag=True, help="Build the book and stop.")
@click.option("--anew", is_flag=True, help="Build it again from the start; what you changed in the demo is lost.")
@click.pass_context
def demo_command(ctx: click.Context, port: int, *, no_browser: bool, build_only: bool, anew: bool) -> None:
    r"""Build the demo book (invented people, shops and prices) and open its pages.

    \b
    Examples:
      ninefine demo
      ninefine --book ~/try.ninefine demo --build-only
    """
    path = _demo(ctx.obj["book"], anew=anew)
    if build_only:
        say(f"The demo book is at {path}.")
        return
    _serve(ctx, path, port, browser=not no_browser)


def _demo(path: Path | None = None, *, anew: bool = False) -> Path:
    chosen = path or wire.demo_book()
    if anew or not chosen.exists():
        say(f"Building the demo book at {chosen} ...")
        wire.build_demo(chosen, anew=anew)
    return chosen


def _serve(ctx: click.Context, path: Path, port: int, *, browser: bool) -> None:
    passphrase = passphrase_of(ctx, path)
    kit = wire.open_kit(path, passphrase)
    if kit.journal.is_plain and path != wire.demo_book():
        say(PLAIN_WARNING)
    # the web part is heavy, and no other command needs it
    from ninefine.web.app import make_app  # noqa: PLC0415
    from ninefine.web.serve import serve  # noqa: PLC0415

    serve(
        lambda authority, keys: make_app(lambda: kit, keys, authority=authority),
        port=port,
        open_browser=browser,
        say=say,
    )
