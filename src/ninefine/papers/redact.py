"""Leaving out of a paper what its reader is not to be told. What is left out is gone from the data, not covered up."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from ninefine.errors import NotFoundError
from ninefine.papers.document import (
    NOTHING,
    Beside,
    Block,
    Break,
    Code,
    Document,
    Group,
    Heading,
    Ledger,
    Notes,
    Pairs,
    Picture,
    Prose,
    Row,
    Slips,
    Tells,
)

Lines = tuple[tuple[str, Tells], ...]


def read_tells(text: str) -> Tells:
    """Read what to leave out, parted by commas: `values, places`.

    Raises:
        NotFoundError: a word that is none of these.
    """
    names = {str(one.name).lower(): one for one in Tells}
    found = NOTHING
    for word in filter(None, (part.strip().lower() for part in text.split(","))):
        if word not in names:
            raise NotFoundError(f"{word[:30]!r} is nothing that a paper can leave out.", instead=tuple(names))
        found |= names[word]
    return found


def redact(document: Document, hide: Tells) -> Document:
    """The same paper without what gives any of these away; it says which kinds of things were left out."""
    if not hide:
        return document
    return replace(
        document,
        blocks=_headed([block for one in document.blocks if (block := _block(one, hide)) is not None]),
        book="" if Tells.PEOPLE & hide else document.book,
        left_out=document.left_out | hide,
    )


def _block(block: Block, hide: Tells) -> Block | None:
    """A block without what is hidden; none where nothing of it is left."""
    parts = _PARTS.get(type(block))
    if isinstance(block, Prose | Picture | Code):
        return None if block.tells & hide else block
    return block if parts is None else parts(block, hide)


def _pairs(block: Pairs, hide: Tells) -> Pairs | None:
    pairs = tuple(pair for pair in block.pairs if not pair.tells & hide)
    return replace(block, pairs=pairs) if pairs else None


def _notes(block: Notes, hide: Tells) -> Notes | None:
    lines = _lines(block.lines, hide)
    return replace(block, lines=lines) if lines else None


def _beside(block: Beside, hide: Tells) -> Beside | None:
    ledgers = tuple(one for ledger in block.ledgers if (one := _ledger(ledger, hide)) is not None)
    return replace(block, ledgers=ledgers) if ledgers else None


def _slips(block: Slips, hide: Tells) -> Slips:
    return replace(block, slips=tuple(replace(slip, lines=_lines(slip.lines, hide)) for slip in block.slips))


def _headed(blocks: list[Block]) -> tuple[Block, ...]:
    """The blocks without headings and new pages that have nothing left under them."""
    kept: list[Block] = []
    for block in reversed(blocks):
        if isinstance(block, Break):
            if kept and not isinstance(kept[-1], Break):
                kept.append(block)
        elif not isinstance(block, Heading) or (kept and not isinstance(kept[-1], Heading | Break)):
            kept.append(block)
    return tuple(reversed(kept))


def _lines(lines: Lines, hide: Tells) -> Lines:
    return tuple((words, tells) for words, tells in lines if not tells & hide)


def _ledger(ledger: Ledger, hide: Tells) -> Ledger | None:
    """A ledger without its telling columns; groups whose names tell become one, in an order that tells nothing."""
    kept = [place for place, column in enumerate(ledger.columns) if not column.tells & hide]
    if not kept or ledger.tells & hide:
        return None
    groups = ledger.groups
    if ledger.named_by & hide:
        # sorted, so that the order of the rows does not tell which lay together
        rows = sorted((row for group in groups for row in group.rows), key=lambda row: str(row.cells[0]))
        groups = (Group(rows=tuple(rows)),)
    return replace(
        ledger,
        columns=tuple(ledger.columns[place] for place in kept),
        groups=tuple(Group(name=group.name, rows=tuple(_rows(group.rows, kept, hide))) for group in groups),
        named_by=NOTHING if ledger.named_by & hide else ledger.named_by,
    )


def _rows(rows: Iterable[Row], kept: list[int], hide: Tells) -> Iterable[Row]:
    for row in rows:
        yield Row(cells=tuple(row.cells[place] for place in kept), notes=_lines(row.notes, hide))


_PARTS: dict[type, Callable[[Any, Tells], Block | None]] = {
    Pairs: _pairs,
    Notes: _notes,
    Ledger: _ledger,
    Beside: _beside,
    Slips: _slips,
}
