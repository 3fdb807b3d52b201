"""A paper as a page shows it: its blocks in the dress of the pages, ledgers as ledgers. Nothing is worked out here."""

import base64
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from ninefine.papers import document as paper
from ninefine.papers.code import qr_svg
from ninefine.papers.written import write_pair
from ninefine.web.ledger import Column, Ledger, Of, Row, Value, Weight

#: Rows of a ledger that a page shows; a file has them all.
MOST_ROWS = 120
MOST_SLIPS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A block ready for its macro: which kind it is, and what it holds."""

    kind: str
    holds: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLedger:
    """A ledger with how many of its rows are left out here."""

    table: Ledger
    left_out: int


def shown(document: paper.Document) -> list[Shown]:
    """Every block of a paper in order; new pages have no meaning here."""
    return [made for block in document.blocks if (made := _BLOCKS.get(type(block), lambda _: None)(block)) is not None]


def data_uri(svg: str) -> str:
    """A drawing as an address of its own, on white, so that it reads on any ground."""
    head, mark, rest = svg.partition(">")
    whole = f'{head}{mark}<rect width="100%" height="100%" fill="#fff"/>{rest}'
    return f"data:image/svg+xml;base64,{base64.b64encode(whole.encode()).decode()}"


def _ledger(ledger: paper.Ledger) -> ShownLedger:
    rows: list[Row] = []
    room = MOST_ROWS
    for group in ledger.groups:
        title = ledger.title_of(group)
        if title and room > 0:
            rows.append(Row(cells={"0": title}, weight=Weight.SUBTOTAL))
        rows += [_row(ledger, row) for row in group.rows[: max(room, 0)]]
        room -= len(group.rows)
    if ledger.sums and ledger.rows:
        rows.append(_total(ledger))
    table = Ledger(
        caption=ledger.caption,
        columns=[_column(str(place), column) for place, column in enumerate(ledger.columns)],
        rows=rows,
        empty=ledger.empty,
    )
    return ShownLedger(table=table, left_out=max(0, -room))


def _column(key: str, column: paper.Column) -> Column:
    of = Of.TEXT if column.of is Of.DATE else column.of  # words may stand for a date
    return Column(
        key=key, head=column.head, of=of, places=column.digits if column.is_figure else None,
        unit=column.unit, basis=column.basis,
    )  # fmt: skip


def _row(ledger: paper.Ledger, row: paper.Row) -> Row:
    cells: dict[str, Value] = {
        str(place): cell.isoformat() if isinstance(cell, date) else cell for place, cell in enumerate(row.cells)
    }
    del ledger
    return Row(cells=cells, note="; ".join(words for words, _ in row.notes))


def _total(ledger: paper.Ledger) -> Row:
    cells: dict[str, Value] = {
        str(place): value
        for place, (column, value) in enumerate(zip(ledger.columns, ledger.totals(), strict=True))
        if column.summed
    }
    if not ledger.columns[0].is_figure:
        cells["0"] = ledger.total
    cells.setdefault("0", None)
    return Row(cells=cells, weight=Weight.TOTAL)


def _pairs(block: paper.Pairs) -> Shown:
    rows: list[Mapping[str, str | bool]] = []
    for pair in block.pairs:
        value, unit = write_pair(pair)
        rows.append({"name": pair.name, "value": value, "unit": unit, "strong": pair.strong})
    return Shown(kind="pairs", holds=rows)


def _picture(block: paper.Picture) -> Shown:
    return Shown(kind="picture", holds={"src": data_uri(block.svg), "alt": block.alt, "caption": block.caption})


def _code(block: paper.Code) -> Shown:
    return Shown(
        kind="code",
        holds={"src": data_uri(qr_svg(block.text)), "alt": f"A code that says {block.text}", "words": block.words},
    )


def _slips(block: paper.Slips) -> Shown:
    slips: Sequence[Mapping[str, Any]] = [
        {
            "name": slip.name,
            "goods": slip.goods,
            "lines": [line for line, _ in slip.lines],
            "src": data_uri(qr_svg(slip.code)),
            "alt": f"A code that says {slip.code}",
        }
        for slip in block.slips[:MOST_SLIPS]
    ]
    return Shown(kind="slips", holds={"slips": slips, "left_out": max(0, len(block.slips) - MOST_SLIPS)})


_BLOCKS: dict[type, Callable[[Any], Shown | None]] = {
    paper.Prose: lambda block: Shown(kind="answer" if block.answer else "prose", holds=block.text),
    paper.Heading: lambda block: Shown(kind="heading", holds=block.text),
    paper.Pairs: _pairs,
    paper.Ledger: lambda block: Shown(kind="ledger", holds=_ledger(block)),
    paper.Beside: lambda block: Shown(kind="beside", holds=[_ledger(ledger) for ledger in block.ledgers]),
    paper.Notes: lambda block: Shown(
        kind="notes", holds={"title": block.title, "lines": [line for line, _ in block.lines]}
    ),
    paper.Picture: _picture,
    paper.Code: _code,
    paper.Slips: _slips,
}
