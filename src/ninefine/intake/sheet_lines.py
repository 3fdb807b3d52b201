"""On which line of a TOML sheet a field stands: what its reader forgets, found again."""

import re
from dataclasses import dataclass

from ninefine.errors import Fault

_HEADER = re.compile(r"\s*\[{1,2}\s*([\w.-]+)\s*\]{1,2}")
_NUMBERED = re.compile(r"(.+) (\d+)")


@dataclass(frozen=True, slots=True)
class _Span:
    """Lines from `start` to before `end`, counted from 0; `nth` of several like fields within them is meant."""

    start: int
    end: int
    nth: int = 1


class SheetLines:
    """The lines of a sheet, ready to place faults on them. A line that cannot be told is not guessed.

    Args:
        text: the whole sheet.
    """

    def __init__(self, text: str) -> None:
        self._lines = text.splitlines()
        matches = [(at, _HEADER.match(line)) for at, line in enumerate(self._lines)]
        self._headers = [(at, match[1]) for at, match in matches if match is not None]

    def placed(self, fault: Fault, section: str, number: int = 1, name: str = "") -> Fault:
        """The same fault, with its line and the section it stands in.

        Args:
            fault: where: a path of fields, such as `goods 2: quote`.
            section: the table, such as `offer`; empty for the sheet's own fields.
            number: which of several tables of that name.
            name: what the person calls it.
        """
        line = self._line(fault.where, section, number)
        called = f"{section} {name}".strip() if name else (f"{section} {number}" if section == "offer" else section)
        where = ", ".join(part for part in (line and f"line {line}", called, fault.where) if part)
        return Fault(where=where, wrong=fault.wrong)

    def _line(self, where: str, section: str, number: int) -> int | None:
        """The line of a path of fields, counted from 1; none where the section is not found."""
        span = self._section(section, number)
        if span is None:
            return None
        *outer, last = where.split(": ")
        for part in outer:
            span = self._narrowed(span, section, part)
        hits = self._hits(span, last)
        if not hits and (numbered := _NUMBERED.fullmatch(last)) is not None:
            hits = self._hits(span, numbered[1])
        if not hits:
            return span.start + 1 if section else None
        return hits[min(span.nth, len(hits)) - 1] + 1

    def _section(self, section: str, number: int) -> _Span | None:
        if not section:
            return _Span(0, self._headers[0][0] if self._headers else len(self._lines))
        starts = [at for at, name in self._headers if name == section]
        if len(starts) < number:
            return None
        start = starts[number - 1]
        after = [at for at, name in self._headers if at > start and not name.startswith(section + ".")]
        return _Span(start, after[0] if after else len(self._lines))

    def _narrowed(self, span: _Span, section: str, part: str) -> _Span:
        """The lines of an inner row: under its own header, or from where its list begins."""
        numbered = _NUMBERED.fullmatch(part)
        name, nth = (numbered[1], int(numbered[2])) if numbered else (part, 1)
        inside = [at for at, head in self._headers if span.start < at < span.end and head == f"{section}.{name}"]
        if len(inside) >= nth:
            following = [at for at, _ in self._headers if inside[nth - 1] < at < span.end]
            return _Span(inside[nth - 1], following[0] if following else span.end)
        begins = self._hits(span, name)
        return _Span(begins[0], span.end, nth) if begins else span

    def _hits(self, span: _Span, field: str) -> list[int]:
        """Every line on which a field is given a value; a line with two counts twice."""
        pattern = re.compile(rf"(?<![\w.-]){re.escape(field)}\s*=")
        return [at for at in range(span.start, span.end) for _ in pattern.findall(self._code(at))]

    def _code(self, at: int) -> str:
        line = self._lines[at]
        return "" if line.lstrip().startswith("#") else line
