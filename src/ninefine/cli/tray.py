"""`ninefine tray` and `traysheet`: pieces counted and measured in a picture, and the sheet to photograph them on."""

from functools import partial
from pathlib import Path
from typing import Any

import click

from ninefine.assay.tray import COVER, Piece, Tray
from ninefine.catalog.shelf import load_catalog
from ninefine.cli.common import ON_HELP, Day, form_of, json_option, kit_of, say_and_book
from ninefine.cli.handed import read_bytes
from ninefine.cli.show import ledger, say, say_json
from ninefine.desk.tray import CANNOT, Laid, keep_tray, look, look_again, tray_sentence, wanted
from ninefine.desk.tray_seen import book_seen
from ninefine.errors import InputError, StoreError
from ninefine.papers.as_pdf import read_sheet
from ninefine.papers.tray_sheet import tray_sheet


@click.command("tray", short_help="Count and measure pieces in a photo or a scan.")
@click.argument("picture", type=click.Path(path_type=Path))
@click.option("--expect", metavar="SIZES", help="Sizes expected, parted by commas; the usual ones if left out.")
@click.option("--dpi", metavar="DOTS", help="A scan's dots to the inch, where its file does not say.")
@click.option("--ruler", metavar="MM", help="How long the sheet's ruler of 100 mm is as printed.")
@click.option("--known", metavar="N=SIZE", help="A piece that sets the scale: `3=quarter`, `3=24.26`.")
@click.option("--strip", type=click.Path(path_type=Path), metavar="FILE", help="Write the contact strip, a JPEG.")
@click.option(
    "--marked", type=click.Path(path_type=Path), metavar="FILE", help="Write the tray with its circles, a JPEG."
)
@click.option("--anew", is_flag=True, help="Write over these files if they are there.")
@click.option("--keep", is_flag=True, help="Keep both pictures in the book as a note.")
@click.option("--keep-picture", is_flag=True, help="Keep the picture itself too.")
@click.option("--lots", metavar="NAMES", help="Lots that the note is about, parted by commas.")
@click.option("--test", "number", metavar="N", help="Book the size of piece N as a test; say --kind too.")
@click.option("--kind", metavar="WHAT", help="With --test: what the piece is taken for.")
@click.option("--piece", metavar="WORDS", help="With --test: which piece it is, in your own words.")
@click.option("--heap", metavar="HEAP", help="With --test: the heap of the book that it belongs to.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--note", metavar="WORDS", help="Words of the note or of the test.")
@json_option
@click.pass_context
def tray_command(ctx: click.Context, /, picture: Path, **options: Any) -> None:
    r"""Count and measure the pieces in PICTURE: a photo of the tray sheet, or a flatbed scan. Needs no book.

    Nothing leaves this computer, and no picture is kept unless you say so. A diameter tells a size, not a metal.

    \b
    Examples:
      ninefine tray examples/tray-scan.jpg
      ninefine tray scan.png --dpi 600 --expect "dimes, quarters, silver eagle" --strip strip.jpg
      ninefine tray photo.jpg --ruler 99.4 --marked marked.jpg
      ninefine tray photo.jpg --known 3=quarter
      ninefine tray photo.jpg --test 3 --kind "half dollar" --piece "the pale one"
    """
    keeps, tests = options["keep"] or options["keep_picture"], options["number"] is not None
    if keeps and tests:
        raise InputError("One entry at a time: book a piece as a test, or keep the pictures as a note.")
    kit = kit_of(ctx) if keeps or tests else None
    asked = wanted(load_catalog() if kit is None else kit.catalog(), form_of(options))
    data = read_bytes(picture)
    laid = look(data, picture.name, asked)
    _write(options["strip"], laid.sheet, anew=options["anew"])
    _write(options["marked"], laid.marked, anew=options["anew"])
    if kit is None:
        if options["as_json"]:
            say_json(_record(laid))
        else:
            _say(laid.tray)
        return
    if tests:
        form = form_of({name: options[name] for name in ("number", "kind", "piece", "heap", "on", "note")})
        book = partial(book_seen, kit, laid, form)
    else:
        form = form_of({"on": options["on"], "lots": options["lots"], "text": options["note"]})
        book = partial(keep_tray, kit, laid, form, data if options["keep_picture"] else None)
    say_and_book(kit, partial(_say, laid.tray), _record(laid), book, as_json=options["as_json"])


def _say(tray: Tray) -> None:
    say(tray_sentence(tray))
    say(tray.scale.says)
    for words in tray.notes:
        say(words)
    say(CANNOT)
    say()
    say(ledger(["piece", "size", "mm", "95% within", "to look at"], [_row(piece) for piece in tray.pieces], left=2))
    odd = [words for piece in tray.pieces for words in _numbered(piece)]
    if odd:
        say()
    for words in odd:
        say(words)


def _row(piece: Piece) -> list[str]:
    within = "-" if piece.uncertainty is None else f"{COVER * piece.uncertainty:.2f}"
    across = "-" if piece.diameter is None else f"{piece.diameter:.2f}"
    return [str(piece.number), piece.size or "-", across, within, ", ".join(sorted(piece.flags)) or "-"]


def _numbered(piece: Piece) -> list[str]:
    return [f"{piece.number}: {words}" for words in piece.words]


def _record(laid: Laid) -> dict[str, object]:
    tray = laid.tray
    return {
        "pieces": len(tray.clear),
        "unsure": len(tray.unsure),
        "sizes": {size or "none": count for size, count in tray.counts().items()},
        "scale": {"by": str(tray.scale.by), "says": tray.scale.says},
        "notes": list(tray.notes),
        "look_again": dict(look_again(tray)),
        "list": [
            {
                "number": piece.number,
                "size": piece.size,
                "diameter_mm": None if piece.diameter is None else f"{piece.diameter:.3f}",
                "standard_uncertainty_mm": None if piece.uncertainty is None else f"{piece.uncertainty:.3f}",
                "flags": sorted(piece.flags),
                "words": list(piece.words),
            }
            for piece in tray.pieces
        ],
    }


@click.command("traysheet", short_help="Make the sheet to photograph pieces on.")
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--size", metavar="SIZE", default="Letter", show_default=True, help="A4 or Letter.")
@click.option("--black", is_flag=True, help="Print the frame solid black, where there is no card.")
@click.option("--anew", is_flag=True, help="Write over OUT if it is there.")
def traysheet_command(out: Path, size: str, *, black: bool, anew: bool) -> None:
    r"""Make the tray sheet as PDF at OUT: six marks, a frame for matt black card, and a ruler to check the printer by.

    Print it at 100 per cent, not fitted to the page.

    \b
    Example:
      ninefine traysheet tray-sheet.pdf --size A4
    """
    _write(out, tray_sheet(read_sheet(size), black=black), anew=anew)
    say(f"Wrote {out}. Print it at 100 per cent and measure its ruler.")


def _write(out: Path | None, data: bytes, *, anew: bool) -> None:
    """Write a file, or refuse.

    Raises:
        StoreError: it is there already, or cannot be written.
    """
    if out is None:
        return
    try:
        with out.open("wb" if anew else "xb") as file:
            file.write(data)
    except FileExistsError as error:
        raise StoreError(f"{out} is there already; --anew writes over it. Nothing was written.") from error
    except OSError as error:
        raise StoreError(f"{out} cannot be written: {error.strerror}.") from error
