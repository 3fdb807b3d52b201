"""A paper as plain text, for a terminal or a letter: ledgers align on the decimal point, nothing needs a font."""

import textwrap
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from ninefine.papers.document import (
    TELLS_WORDS,
    Beside,
    Break,
    Code,
    Column,
    Document,
    Heading,
    Ledger,
    Notes,
    Pairs,
    Picture,
    Prose,
    Slips,
    Tells,
    Value,
)
from ninefine.papers.written import day_words, write, write_pair

WIDTH = 96
_GAP = "  "


def as_text(document: Document, *, width: int = WIDTH) -> str:
    """The whole paper; ledgers wider than `width` keep their columns."""
    parts = [f"{document.title}\n{'=' * len(document.title)}", _under_title(document)]
    parts += [_BLOCKS[type(block)](block, width) for block in document.blocks]
    if document.left_out:
        parts.append(textwrap.fill(left_out_words(document.left_out), width))
    return "\n\n".join(part for part in parts if part) + "\n"


def left_out_words(left_out: Tells) -> str:
    """What a paper says of what it was made without."""
    return f"Left out for this reader: {', '.join(TELLS_WORDS[tells] for tells in left_out)}."


def _under_title(document: Document) -> str:
    return day_words(document.on) + (f", {document.book}" if document.book else "")


def _heading(block: Heading, width: int) -> str:
    del width
    return f"{block.text}\n{'-' * len(block.text)}"


def _notes(block: Notes, width: int) -> str:
    lines = [textwrap.fill(line, width, initial_indent="- ", subsequent_indent="  ") for line, _ in block.lines]
    return "\n".join([block.title, *lines] if block.title else lines)


def _slips(block: Slips, width: int) -> str:
    del width
    return "\n\n".join(
        "\n".join([slip.name, slip.goods, *(line for line, _ in slip.lines), f"[code: {slip.code}]"])
        for slip in block.slips
    )


def _pairs(block: Pairs, width: int) -> str:
    del width
    written = [(pair.name, *write_pair(pair), pair.column.is_figure) for pair in block.pairs]
    names = max(len(name) for name, *_ in written)
    figures = max((len(value) for _, value, _, is_figure in written if is_figure), default=0)
    return "\n".join(
        f"{name.ljust(names)}{_GAP}{value.rjust(figures) if is_figure else value} {unit}".rstrip()
        for name, value, unit, is_figure in written
    )


def _ledger(ledger: Ledger, width: int) -> str:
    if not ledger.rows:
        return f"{ledger.caption}\n{ledger.empty}"
    lines = list(_lines(ledger))
    room = [
        max(len(cells[place]) for cells in lines if not isinstance(cells, str)) for place in range(len(ledger.columns))
    ]
    out = [ledger.caption]
    for number, cells in enumerate(lines):
        if isinstance(cells, str):
            out += textwrap.wrap(cells, max(width, sum(room)), subsequent_indent=_GAP)
        else:
            out.append(_line(ledger.columns, cells, room))
        if number == 1:
            out.append(_GAP.join("-" * space for space in room))
    return "\n".join(out)


def _line(columns: Sequence[Column], cells: Sequence[str], room: Sequence[int]) -> str:
    aligned = (
        cell.rjust(space) if column.is_figure else cell.ljust(space)
        for column, cell, space in zip(columns, cells, room, strict=True)
    )
    return _GAP.join(aligned).rstrip()


def _lines(ledger: Ledger) -> Iterator[tuple[str, ...] | str]:
    """Head, units, then every row; a line that is one text runs across."""
    yield tuple(column.head for column in ledger.columns)
    yield tuple(column.small for column in ledger.columns)
    for group in ledger.groups:
        if group.name:
            yield ledger.title_of(group)
        for row in group.rows:
            yield tuple(write(column, cell) for column, cell in zip(ledger.columns, row.cells, strict=True))
            if row.notes:
                yield _GAP + "; ".join(words for words, _ in row.notes)
        if group.name and ledger.sums:
            yield sum_cells(ledger, ledger.totals_of(group.rows), f"{ledger.title_of(group)}, together")
    if ledger.sums:
        yield sum_cells(ledger, ledger.totals(), ledger.total)


def sum_cells(ledger: Ledger, sums: Sequence[Value], words: str) -> tuple[str, ...]:
    """A line of sums as written: its words in the first column, nothing under columns that are not summed."""
    written = [
        write(column, value) if column.summed else "" for column, value in zip(ledger.columns, sums, strict=True)
    ]
    if not ledger.columns[0].summed:
        written[0] = words
    return tuple(written)


_BLOCKS: dict[type, Callable[[Any, int], str]] = {
    Prose: lambda block, width: textwrap.fill(block.text, width),
    Heading: _heading,
    Pairs: _pairs,
    Ledger: _ledger,
    Beside: lambda block, width: "\n\n".join(_ledger(ledger, width) for ledger in block.ledgers),
    Notes: _notes,
    Picture: lambda block, width: textwrap.fill(f"[{block.alt}]", width),
    Code: lambda block, width: f"{textwrap.fill(block.words, width)}\n[code: {block.text}]",
    Slips: _slips,
    Break: lambda _, __: "",
}
