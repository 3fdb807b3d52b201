"""Tables handed in on the command line: a file's text, and columns named otherwise than they are headed."""

from collections.abc import Sequence
from pathlib import Path

from ninefine.errors import NotFoundError, UnreadableError
from ninefine.intake.spreadsheet import text_of


def read_table(path: Path) -> str:
    """The text of a table: a CSV file's, or a workbook's first sheet.

    Raises:
        NotFoundError: it cannot be read.
        UnreadableError: neither text in UTF-8 nor a workbook.
        RangeError: larger than any person's table.
    """
    try:
        return text_of(path.name, path.read_bytes())
    except OSError as error:
        raise NotFoundError(f"{str(path)!r} cannot be read: {error.strerror}.") from error


def read_bytes(path: Path) -> bytes:
    """The bytes of a file that is to be kept.

    Raises:
        NotFoundError: it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise NotFoundError(f"{str(path)!r} cannot be read: {error.strerror}.") from error


def columns_named(pairs: Sequence[str]) -> dict[str, str]:
    """`HEADING=NAME` arguments as a form's numbered fields.

    Raises:
        UnreadableError: an argument without an equals sign.
    """
    form: dict[str, str] = {}
    for number, pair in enumerate(pairs, 1):
        heading, found, name = pair.rpartition("=")
        if not found:
            raise UnreadableError(f"{pair!r} has no '=' in it.", instead=("Yr=year", "Remarks=-"))
        form |= {f"head-{number}": heading.strip(), f"col-{number}": name.strip()}
    return form
