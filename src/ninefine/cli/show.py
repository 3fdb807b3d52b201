"""Results on the terminal: sentences, and ledgers whose figures align on the decimal point."""

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal

import click

from ninefine.measure.numbers import plain, to_places


def money(value: Decimal | None, places: int = 2) -> str:
    """An amount with thousands marks: `20,476.50`; a dash where there is none."""
    return "-" if value is None else f"{to_places(value, places):,f}"


def ounces(value: Decimal | None) -> str:
    """Ounces to four places: `310.2500`."""
    return "-" if value is None else f"{to_places(value, 4):,f}"


def percent(value: Decimal | None, places: int = 2) -> str:
    """A share of one as per cent: `0.8066` -> `80.66%`."""
    return "-" if value is None else f"{to_places(value * 100, places):,f}%"


def ledger(heads: Sequence[str], rows: Sequence[Sequence[str]], *, left: int = 1) -> str:
    """A plain table: the first `left` columns flush left, the figures flush right, so that points align.

    Args:
        heads: column heads.
        rows: cells as finished text; a column of figures has the same number of places in every row.
        left: how many leading columns are words.
    """
    table = [list(heads), *[list(row) for row in rows]]
    widths = [max(len(row[column]) for row in table) for column in range(len(heads))]
    lines = []
    for row in table:
        cells = [
            cell.ljust(width) if column < left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(cells).rstrip())
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join(lines)


def say(text: str = "") -> None:
    """Print a sentence or a finished ledger."""
    click.echo(text)


def say_json(value: Mapping[str, object]) -> None:
    """Print a result as JSON: decimals as strings, a chance that was reckoned in floats too; dates as ISO 8601."""
    click.echo(json.dumps(_in_strings(value), indent=2, default=_json_text, ensure_ascii=False))


def _in_strings(value: object) -> object:
    """The same with every float as the text of its shortest decimal; whole numbers stay numbers."""
    if isinstance(value, float):
        return plain(Decimal(repr(value)))
    if isinstance(value, Mapping):
        return {key: _in_strings(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_in_strings(part) for part in value]
    return value


def _json_text(value: object) -> str:
    return plain(value) if isinstance(value, Decimal) else str(value)
