"""A paper as one HTML file that needs nothing else: no script, no font, no address, and so no network."""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any

from ninefine.papers.as_text import left_out_words, sum_cells
from ninefine.papers.code import qr_svg
from ninefine.papers.document import (
    Beside,
    Break,
    Code,
    Column,
    Document,
    Group,
    Heading,
    Ledger,
    Notes,
    Pairs,
    Picture,
    Prose,
    Slips,
)
from ninefine.papers.written import day_words, write, write_pair

#: A browser that honours it loads nothing from anywhere and runs nothing, whatever the file might say.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def as_html(document: Document) -> str:
    """The whole paper. All text is escaped."""
    under = day_words(document.on) + (f", {document.book}" if document.book else "")
    if document.left_out:
        under += f". {left_out_words(document.left_out)}"
    head = (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(document.title)}</title>\n<style>\n{_style()}</style>\n</head>\n<body>\n"
        f'<h1>{escape(document.title)}</h1>\n<p class="under sans">{escape(under)}</p>\n<hr class="reeded">\n'
    )
    return head + "\n".join(_BLOCKS[type(block)](block) for block in document.blocks) + "\n</body>\n</html>\n"


@cache
def _style() -> str:
    return (files("ninefine.papers") / "paper.css").read_text(encoding="utf-8")


def _prose(block: Prose) -> str:
    dress = ' class="answer"' if block.answer else ""
    return f"<p{dress}>{escape(block.text)}</p>"


def _notes(block: Notes) -> str:
    title = f"<p><b>{escape(block.title)}</b></p>" if block.title else ""
    return f'<div class="notes">{title}{"".join(f"<p>{escape(line)}</p>" for line, _ in block.lines)}</div>'


def _code(block: Code) -> str:
    drawn = _drawn(qr_svg(block.text), f"A code that says {block.text}")
    return f'<div class="code">{drawn}<span>{escape(block.words)}</span></div>'


def _drawn(svg: str, alt: str) -> str:
    """An SVG of our own making, with its words for who cannot see it."""
    return svg.replace("<svg ", f'<svg role="img" aria-label="{escape(alt)}" ', 1)


def _picture(block: Picture) -> str:
    words = f"<figcaption>{escape(block.caption)}</figcaption>" if block.caption else ""
    return f"<figure>{_drawn(block.svg, block.alt)}{words}</figure>"


def _pairs(block: Pairs) -> str:
    rows = []
    for pair in block.pairs:
        value, unit = write_pair(pair)
        marks = [name for name, has in (("figure", pair.column.is_figure), ("strong", pair.strong)) if has]
        dress = f' class="{" ".join(marks)}"' if marks else ""
        rows.append(
            f"<dt>{escape(pair.name)}</dt><dd{dress}>{escape(value)}</dd><dd><small>{escape(unit)}</small></dd>"
        )
    return f"<dl>{''.join(rows)}</dl>"


def _slips(block: Slips) -> str:
    return f'<div class="slips">{"".join(_slips_of(block))}</div>'


def _slips_of(block: Slips) -> Iterator[str]:
    for slip in block.slips:
        lines = "".join(f"<p>{escape(line)}</p>" for line, _ in slip.lines)
        code = _drawn(qr_svg(slip.code), f"A code that says {slip.code}")
        yield f'<div class="slip"><div><b>{escape(slip.name)}</b><p>{escape(slip.goods)}</p>{lines}</div>{code}</div>'


def _ledger(ledger: Ledger) -> str:
    if not ledger.rows:
        return f'<p class="sans"><b>{escape(ledger.caption)}</b>: {escape(ledger.empty)}</p>'
    head = "".join(_head(column) for column in ledger.columns)
    body = "".join(_group(ledger, group) for group in ledger.groups)
    total = _sums(ledger, sum_cells(ledger, ledger.totals(), ledger.total), "total") if ledger.sums else ""
    caption = f"<caption>{escape(ledger.caption)}</caption>"
    return f'<div class="wide"><table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}{total}</tbody></table></div>'


def _head(column: Column) -> str:
    small = f"<small>{escape(column.small)}</small>" if column.small else ""
    return f'<th scope="col"{_dress(column)}>{escape(column.head)}{small}</th>'


def _dress(column: Column) -> str:
    return ' class="figure"' if column.is_figure else ""


def _group(ledger: Ledger, group: Group) -> str:
    rows = []
    title = ledger.title_of(group)
    if title:
        rows.append(f'<tr class="group"><th scope="rowgroup" colspan="{len(ledger.columns)}">{escape(title)}</th></tr>')
    for row in group.rows:
        cells = [
            f"<td{_dress(column)}>{escape(write(column, cell))}</td>"
            for column, cell in zip(ledger.columns, row.cells, strict=True)
        ]
        notes = f"<small>{escape('; '.join(words for words, _ in row.notes))}</small>" if row.notes else ""
        first = ledger.columns[0]
        cells[0] = f'<th scope="row"{_dress(first)}>{escape(write(first, row.cells[0]))}{notes}</th>'
        rows.append(f"<tr>{''.join(cells)}</tr>")
    if title and ledger.sums:
        rows.append(_sums(ledger, sum_cells(ledger, ledger.totals_of(group.rows), f"{title}, together"), "sum"))
    return "".join(rows)


def _sums(ledger: Ledger, cells: Sequence[str], kind: str) -> str:
    first, *rest = [
        f"<td{_dress(column)}>{escape(cell)}</td>" for column, cell in zip(ledger.columns, cells, strict=True)
    ]
    named = first.replace("<td", '<th scope="row"', 1).replace("</td>", "</th>")
    return f'<tr class="{kind}">{named}{"".join(rest)}</tr>'


_BLOCKS: dict[type, Callable[[Any], str]] = {
    Prose: _prose,
    Heading: lambda block: f"<h2>{escape(block.text)}</h2>",
    Pairs: _pairs,
    Ledger: _ledger,
    Beside: lambda block: f'<div class="beside">{"".join(_ledger(one) for one in block.ledgers)}</div>',
    Notes: _notes,
    Picture: _picture,
    Code: _code,
    Slips: _slips,
    Break: lambda _: '<div class="new"></div>',
}
