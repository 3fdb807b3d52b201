"""The `ninefine` command: finds the sub-command, turns errors into plain lines and an exit code.

Exit codes: 0 done, 2 something typed or read cannot be used, 3 the book refuses, 4 the book's file or another, 5 a
defect.
"""

import os
import sys
from pathlib import Path
from typing import Any

import click

from ninefine import __version__
from ninefine.cli.group import TableGroup
from ninefine.cli.typed import show_wrong_use, told
from ninefine.errors import BookError, Faults, InputError, NinefineError, StoreError

#: Command -> the module that holds it (as `command`), loaded only when asked for, and its one line in the list.
COMMANDS: dict[str, tuple[str, str]] = {
    "open": ("pages", "Open the pages in the browser: your book, or the demo."),
    "demo": ("pages", "Build the invented demo book and open it."),
    "new": ("books", "Make a new book, with a passphrase."),
    "quote": ("quote", "Say a quote in every other way, at a spot."),
    "offers": ("offers", "Compare the offers in a file, or those in the book."),
    "look": ("look", "Look a coin, bar or mark up by plain words."),
    "holdings": ("holdings", "What you hold, now or on any date."),
    "worth": ("worth", "What each way out would pay."),
    "waiting": ("holdings", "What is waiting to be done."),
    "plan": ("plan", "Plan a purchase, a sale, a sharing out; what if spot moves."),
    "buy": ("silver", "Book a purchase."),
    "given": ("came", "Book a gift received, with its giver's cost and date."),
    "inherit": ("came", "Book an inheritance, at its value on the day of death."),
    "opening": ("came", "Book silver that was held before the book."),
    "receive": ("silver", "Book a parcel as counted."),
    "claim": ("silver", "Work out what to ask back for pieces that are not what was sold."),
    "credit": ("silver", "Book money that a seller paid back."),
    "weigh": ("silver", "Book a heap's weight on the scale."),
    "sort": ("silver", "Book a heap as told apart."),
    "tally": ("mix", "Book a heap as told apart by date, from a table of counts."),
    "mix": ("mix", "What the dates of a lot or an open tally say."),
    "search": ("mix", "What searching a bag may pay, before it is opened."),
    "searched": ("mix", "What the search of a lot did pay."),
    "sheets": ("sheets", "Your guide sheets, or what they say of a piece."),
    "sheet": ("sheets", "Set a guide sheet down from a table of prices."),
    "sets": ("sheets", "What a date set lacks, and what may go back."),
    "piece": ("triage", "Lay a piece aside, to be held against its heap."),
    "triage": ("triage", "Keep, pull, or back to the heap, piece by piece."),
    "pull": ("triage", "Pull a piece: it becomes a heap of its own."),
    "back": ("triage", "Put pieces told apart back among the common ones."),
    "figures": ("triage", "Set down what pieces and hours are held against."),
    "collector": ("grading", "Set down a way out to collectors, piece by piece."),
    "grader": ("grading", "Set down a grader's table of fees."),
    "grading": ("grading", "Whether having a piece graded by a third party pays."),
    "bench": ("bench", "Test a piece, a heap or a roll: weight, size, density, magnet."),
    "tray": ("tray", "Count and measure pieces in a photo or a scan."),
    "traysheet": ("tray", "Make the sheet to photograph pieces on."),
    "ring": ("ring", "Read the recording of a struck piece."),
    "rings": ("ring", "Your known rings, or strike one off."),
    "move": ("silver", "Book a move to another place."),
    "sell": ("silver", "Book a sale."),
    "swap": ("went", "Book silver exchanged for silver."),
    "lose": ("went", "Book silver lost, stolen, destroyed or given away."),
    "refine": ("went", "Book a refiner's settlement statement."),
    "split": ("went", "Make a heap, or part of it, a lot of its own."),
    "join": ("went", "Put lots of one date and past together."),
    "use": ("went", "Say that lots serve the household itself."),
    "gains": ("gains", "The gains of a year, lot by lot."),
    "reported": ("gains", "Set down what a broker reported of a sale."),
    "returns": ("returns", "How the silver has done: cost an ounce, gain, yearly return."),
    "remind": ("settle", "The reminders beside sales and purchases, or set one down."),
    "settle": ("settle", "Settle rules and rates for the whole book."),
    "paper": ("papers", "Make a paper: inventory, letter, gains, labels and more."),
    "price": ("records", "Set down a price that you read."),
    "exit": ("records", "Set down a way out: its bids and fees."),
    "offer": ("records", "Set down an offer to weigh."),
    "kind": ("records", "Set down a kind of your own."),
    "set": ("papers", "Set down what papers rest on: asks, places, people, reviews."),
    "note": ("records", "Keep a remark, a photo or a receipt."),
    "mend": ("records", "Put an earlier entry right."),
    "withdraw": ("records", "Say that an earlier entry never happened."),
    "book": ("books", "Show the journal, entry by entry."),
    "check": ("books", "Prove the book's laws, chain and attachments."),
    "passphrase": ("books", "Change or set the passphrase."),
    "bring": ("bring", "Bring your own list of purchases, holdings or sales in."),
    "copy": ("copies", "Copy the book, whole and encrypted."),
    "restore": ("copies", "Make the book of a copy of it, proved first."),
    "export": ("copies", "Write everything out: the journal by lines, and tables."),
    "rebuild": ("copies", "Make the book of a journal that was written out."),
}


@click.group(
    cls=TableGroup,
    table=COMMANDS,
    held_as="{}_command",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="ninefine")
@click.option(
    "--book",
    "book",
    type=click.Path(path_type=Path),
    envvar="NINEFINE_BOOK",
    help="The book's file; your own if left out.",
)
@click.option(
    "--passphrase-file",
    type=click.Path(path_type=Path),
    envvar="NINEFINE_PASSPHRASE_FILE",
    help="A file whose first line is the passphrase, instead of being asked.",
)
@click.pass_context
def main(ctx: click.Context, book: Path | None, passphrase_file: Path | None) -> None:
    """Savings in physical silver: from the offer to what it is worth. Local, offline, in one encrypted file.

    Start with: ninefine demo
    """
    ctx.obj |= {"book": book, "passphrase_file": passphrase_file}


def exit_code(error: NinefineError) -> int:
    """The exit code that an error ends a command with."""
    if isinstance(error, InputError):
        return 2
    if isinstance(error, BookError):
        return 3
    return 4 if isinstance(error, StoreError) else 5


def _refused_by_system(error: OSError) -> str:
    """What the system would not do; a file that is not named is the output."""
    why = (error.strerror or str(error)).lower()
    if error.filename:
        return f"{error.filename}: {why}."
    return f"The output could not be written: {why}. What the command booked is booked: see `ninefine book`."


def run(arguments: list[str] | None = None) -> None:
    """Run a command line and leave with its exit code. No traceback reaches the person."""
    shared: dict[str, Any] = {}
    try:
        result: Any = main.main(args=arguments, prog_name="ninefine", standalone_mode=False, obj=shared)
    except Faults as error:
        click.echo(told(error, shared.get("command")), err=True)
        sys.exit(exit_code(error))
    except NinefineError as error:
        click.echo(str(error), err=True)
        sys.exit(exit_code(error))
    except click.exceptions.Abort:
        click.echo("Stopped; nothing was written.", err=True)
        sys.exit(130)
    except click.ClickException as error:
        show_wrong_use(error)
        sys.exit(error.exit_code)
    except BrokenPipeError:
        # the reader of our output went away; leave quietly, and keep Python from complaining at exit
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except OSError as error:
        if os.environ.get("NINEFINE_TRACE"):
            raise
        click.echo(_refused_by_system(error), err=True)
        sys.exit(4)
    except Exception as error:
        if os.environ.get("NINEFINE_TRACE"):
            raise
        click.echo(
            f"ninefine met what it did not expect ({type(error).__name__}: {error}). Nothing was written by this "
            "command after that point. Set NINEFINE_TRACE=1 and run it again to see where.",
            err=True,
        )
        sys.exit(5)
    sys.exit(result if isinstance(result, int) else 0)
