"""Tables from elsewhere, typed, pasted or exported: their lines told apart, and their columns named.

Commas, semicolons or tabs part the columns. Empty lines are passed over, and so are remarks: lines that begin with a
number sign and a space.
"""

import csv
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Kind
from ninefine.catalog.lookup import look
from ninefine.errors import Fault, Faults, NotFoundError

#: More lines than any person keeps; a larger file is some other table.
MOST_LINES = 100_000
#: After so many different names that mean no kind, no more are looked up.
MOST_REFUSED = 200
#: How far ahead of the next a kind must be to be taken by words without asking.
CLEAR_LEAD = 0.2

_DATED = re.compile(r"(?<!\d)(?:1[6-9]|20)\d\d(?!\d)")

#: What a mapping calls a column that is not to be read.
LEFT_OUT = "-"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a table, with its number in the file."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """The columns that a table may have.

    Attributes:
        names: as the program calls them.
        aliases: other headings -> a name, or `LEFT_OUT`.
        other: names a heading that is none of these (a grade, a mint); none where it cannot.
    """

    names: tuple[str, ...]
    aliases: Mapping[str, str]
    other: Callable[[str], str | None]

    def known(self, heading: str) -> str | None:
        """The name of a column by its heading; none where it is not known."""
        word = tidied(heading)
        return word if word in self.names else self.aliases.get(word) or self.other(heading)


def tidied(heading: str) -> str:
    """One spelling for a heading: small letters, single spaces, no underscores."""
    return " ".join(heading.lower().replace("_", " ").split())


def lines_of(text: str, source: str, faults: list[Fault]) -> list[Line]:
    """The lines that hold anything, told apart into cells; cells that cannot be told apart are faults.

    Raises:
        Faults: more lines than any person keeps.
    """
    every = text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}").splitlines()
    if len(every) > MOST_LINES:
        raise Faults([Fault(where="", wrong=f"There are more than {MOST_LINES} lines.")], source=source)
    kept = [(number, line) for number, line in enumerate(every, 1) if line.strip(" ,;\t") and not _remark(line)]
    mark = _mark([line for _, line in kept])
    found = []
    for number, line in kept:
        try:
            cells = next(csv.reader([line], delimiter=mark, strict=True, skipinitialspace=mark != "\t"))
        except csv.Error as error:
            faults.append(Fault(where=f"line {number}", wrong=f"The cells cannot be told apart: {error}."))
            continue
        found.append(Line(number, tuple(cell.strip() for cell in cells)))
    return found


def _mark(lines: Sequence[str]) -> str:
    """What parts the cells: told by the first line, or, where that holds a single cell, by all of them."""
    for sample in (*lines[:1], "".join(lines)):
        mark = max("\t;,", key=sample.count)
        if mark in sample:
            return mark
    return ","


def _remark(line: str) -> bool:
    return line.startswith("# ") or line.strip() == "#"


def name_columns(head: Line, fields: Fields, mapping: Mapping[str, str] | None, faults: list[Fault]) -> tuple[str, ...]:
    """The names of a table's columns, `LEFT_OUT` for those that are not read. What cannot be named is a fault.

    Args:
        head: the line of headings.
        fields: the columns that there may be.
        mapping: heading -> name, as the person set it; it goes before the program's own reading.
        faults: where faults are set down.
    """
    where = f"line {head.number}"
    said = {tidied(heading): tidied(name) or LEFT_OUT for heading, name in (mapping or {}).items()}
    headings = [tidied(cell) for cell in head.cells]
    for heading, name in said.items():
        if heading not in headings:
            faults.append(Fault(where=where, wrong=f"There is no column headed {heading[:40]!r}."))
        if name != LEFT_OUT and fields.known(name) is None:
            wrong = f"{name[:40]!r} is nothing that a column may be; there are {', '.join(fields.names)}."
            faults.append(Fault(where=where, wrong=wrong))
    names = [_name(cell, fields, said, where, faults) for cell in head.cells]
    twice = [name for name in dict.fromkeys(names) if name != LEFT_OUT and names.count(name) > 1]
    faults += [Fault(where=where, wrong=f"Two columns are read as {name}; leave one out.") for name in twice]
    return tuple(names)


def _name(cell: str, fields: Fields, said: Mapping[str, str], where: str, faults: list[Fault]) -> str:
    heading = tidied(cell)
    if not heading:
        return LEFT_OUT
    if heading in said:
        return LEFT_OUT if said[heading] == LEFT_OUT else fields.known(said[heading]) or LEFT_OUT
    name = fields.known(cell)
    if name is None:
        wrong = f"{cell[:40]!r} is not a column here; map it to one of {', '.join(fields.names)}, or leave it out."
        faults.append(Fault(where=where, wrong=wrong))
    return name or LEFT_OUT


def row_of(line: Line, names: Sequence[str], faults: list[Fault]) -> dict[str, str]:
    """A line's cells by the names of their columns, empty ones and those left out not among them."""
    extra = [cell for cell in line.cells[len(names) :] if cell]
    if extra:
        wrong = f"{len(line.cells)} cells stand in {len(names)} columns."
        faults.append(Fault(where=f"line {line.number}", wrong=wrong))
    return {name: cell for name, cell in zip(names, line.cells, strict=False) if cell and name != LEFT_OUT}


class Kinds:
    """Names of kinds looked up once each, and refused once each: a table says the same name on many lines."""

    def __init__(self, catalog: Catalog) -> None:
        self._catalog = catalog
        self._known: dict[str, Kind] = {}
        self._refused: dict[str, NotFoundError] = {}

    def named(self, text: str) -> Kind:
        """A kind by its slug, or by plain words that mean one kind alone.

        Raises:
            NotFoundError: nothing fits, several kinds fit alike (says which to write), or it names a date as well; or
                so many names were refused before it that the column can be no column of kinds.
        """
        if text in self._refused:
            raise self._refused[text]
        if text not in self._known:
            if len(self._refused) >= MOST_REFUSED:
                raise NotFoundError(f"{text[:40]!r} is not looked up: {MOST_REFUSED} other names were refused.")
            try:
                self._known[text] = kind_in(self._catalog, text)
            except NotFoundError as error:
                self._refused[text] = error
                raise
        return self._known[text]


def kind_in(catalog: Catalog, text: str) -> Kind:
    """A kind by its slug, or by plain words that mean one kind alone.

    Raises:
        NotFoundError: nothing fits, several kinds fit alike (says which to write), or it names a date as well.
    """
    said = text.strip()
    if said.lower() in catalog.by_slug:
        return catalog.kind(said.lower())
    hits = look(catalog, said).hits
    if _DATED.search(said) and not (hits and hits[0].kind.name.lower() == said.lower()):
        raise NotFoundError(
            f"{said[:60]!r} names a date as well as a kind.", expected="Dates stand in columns of their own."
        )
    if not hits:
        return catalog.kind(said)
    best, *others = hits
    rivals = [hit.kind.slug for hit in others if hit.kind != best.kind and hit.score > best.score - CLEAR_LEAD]
    if rivals:
        raise NotFoundError(
            f"{said[:60]!r} may be {len(rivals) + 1} different kinds.",
            expected="Write which one.",
            instead=[best.kind.slug, *rivals[:4]],
        )
    return best.kind
