"""A paper as JSON for the typesetter: every figure a finished string, so that nothing there adds up or rounds."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from ninefine.papers.as_text import left_out_words, sum_cells
from ninefine.papers.code import qr_svg
from ninefine.papers.document import (
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
    Slip,
    Slips,
)
from ninefine.papers.written import day_words, write, write_pair

ZERO_WIDTH = "\N{ZERO WIDTH SPACE}"

Json = dict[str, Any]

CARRIED = "Carried forward"
BROUGHT = "Brought forward"
_SHORT_ROWS, _SHORT_LETTERS = 10, 1500
#: A word longer than this may be broken where it stands, so that it is not cut at the edge of the sheet.
_LONGEST_WORD, _LONGEST_IN_CELL = 66, 26


def payload(document: Document) -> Json:
    """The whole paper. Reading order is the order of its lists."""
    blocks = [_BLOCKS[type(block)](block) for block in document.blocks]
    for number, ledger in enumerate(_ledgers_in(blocks), 1):
        ledger["number"] = number
    return {
        "title": document.title,
        "date": [document.on.year, document.on.month, document.on.day],
        "day": day_words(document.on),
        "book": document.book,
        "small": document.small,
        "broad": document.broad,
        "left_out": left_out_words(document.left_out) if document.left_out else "",
        "missing": "",
        "blocks": blocks,
    }


def _ledgers_in(blocks: list[Json]) -> Iterator[Json]:
    """Every ledger; each has a number of its own, by which the typesetter counts its rows."""
    for block in blocks:
        if block["kind"] == "ledger":
            yield block["ledger"]
        elif block["kind"] == "beside":
            yield from block["ledgers"]


def _notes(block: Notes) -> Json:
    lines = [bendable(line) for line, _ in block.lines]
    return {"kind": "notes", "title": block.title, "lines": lines, "whole": sum(map(len, lines)) <= _SHORT_LETTERS}


def _picture(block: Picture) -> Json:
    return {"kind": "picture", "svg": block.svg, "alt": block.alt, "caption": block.caption}


def _code(block: Code) -> Json:
    return {
        "kind": "code",
        "svg": qr_svg(block.text),
        "alt": f"A code that says {block.text}",
        "words": bendable(block.words),
    }


def bendable(text: str, most: int = _LONGEST_WORD) -> str:
    """Text whose overlong words may be broken every `most` letters (by a space of no width)."""
    if len(text) <= most:
        return text
    words = text.split(" ")
    return " ".join(
        word if len(word) <= most else ZERO_WIDTH.join(word[at : at + most] for at in range(0, len(word), most))
        for word in words
    )


def _cell(text: str) -> str:
    return bendable(text, _LONGEST_IN_CELL)


def _pairs(block: Pairs) -> Json:
    pairs = []
    for pair in block.pairs:
        value, unit = write_pair(pair)
        is_figure = pair.column.is_figure
        pairs.append(
            {
                "name": _cell(pair.name),
                "value": bendable(value),
                "unit": unit,
                "figure": is_figure,
                "strong": pair.strong,
            }
        )
    return {"kind": "pairs", "pairs": pairs}


def _slip(slip: Slip) -> Json:
    return {
        "name": _cell(slip.name),
        "goods": _cell(slip.goods),
        "lines": [_cell(line) for line, _ in slip.lines],
        "svg": qr_svg(slip.code),
        "alt": f"A code that says {slip.code}",
    }


def ledger_json(ledger: Ledger) -> Json:
    """A ledger: groups of rows with the sums up to each row, which stand at a page's end if it is the last there."""
    running = iter(ledger.running(ledger.rows))
    return {
        "number": 0,
        "caption": ledger.caption,
        "columns": _columns(ledger),
        "groups": [
            {
                "name": _cell(ledger.title_of(group)),
                "rows": [
                    {
                        "cells": [
                            _cell(write(column, cell)) for column, cell in zip(ledger.columns, row.cells, strict=True)
                        ],
                        "notes": [_cell(words) for words, _ in row.notes],
                        "so_far": list(sum_cells(ledger, next(running), "")) if ledger.sums else [],
                    }
                    for row in group.rows
                ],
                "sums": list(sum_cells(ledger, ledger.totals_of(group.rows), f"{ledger.title_of(group)}, together"))
                if group.name and ledger.sums
                else [],
            }
            for group in ledger.groups
        ],
        "totals": list(sum_cells(ledger, ledger.totals(), ledger.total)) if ledger.sums else [],
        "whole": _is_short(ledger),
        "carried": CARRIED,
        "brought": BROUGHT,
        "empty": ledger.empty,
    }


def _is_short(ledger: Ledger) -> bool:
    """Whether a ledger is kept on one page, so that no total stands on a page alone; it must fit one for certain."""
    letters = sum(
        sum(len(cell) for cell in row.cells if isinstance(cell, str)) + sum(len(words) for words, _ in row.notes)
        for row in ledger.rows
    )
    return len(ledger.rows) <= _SHORT_ROWS and letters <= _SHORT_LETTERS


def wide_ones(columns: Sequence[Column]) -> list[bool]:
    """Which columns take the room that the others leave: those that say so, else the first of text, else all alike."""
    if any(column.wide for column in columns):
        return [column.wide for column in columns]
    first = next((place for place, column in enumerate(columns) if not column.is_figure), None)
    return [first is None or place == first for place in range(len(columns))]


def _columns(ledger: Ledger) -> list[Json]:
    wide = wide_ones(ledger.columns)
    return [
        {
            "head": column.head,
            "small": column.small,
            "figure": column.is_figure,
            "wide": wide[place],
            "longest": _longest(ledger, place) if column.is_figure else 0,
            "longest_word": max(map(len, (*column.head.split(), *column.small.split(), ""))),
        }
        for place, column in enumerate(ledger.columns)
    ]


def _longest(ledger: Ledger, place: int) -> int:
    """How many signs the longest figure of a column has, its sums among them."""
    column = ledger.columns[place]
    cells = [row.cells[place] for row in ledger.rows] + ([ledger.totals()[place]] if column.summed else [])
    return max((len(write(column, cell)) for cell in cells), default=0)


_BLOCKS: dict[type, Callable[[Any], Json]] = {
    Prose: lambda block: {"kind": "answer" if block.answer else "prose", "text": bendable(block.text)},
    Heading: lambda block: {"kind": "heading", "text": bendable(block.text)},
    Pairs: _pairs,
    Ledger: lambda block: {"kind": "ledger", "ledger": ledger_json(block)},
    Beside: lambda block: {"kind": "beside", "ledgers": [ledger_json(ledger) for ledger in block.ledgers]},
    Notes: _notes,
    Picture: _picture,
    Code: _code,
    Slips: lambda block: {"kind": "slips", "cut": str(block.cut), "slips": [_slip(slip) for slip in block.slips]},
    Break: lambda _: {"kind": "break"},
}
