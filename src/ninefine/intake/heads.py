"""Finding the line of headings in a spreadsheet, and saying what each column is.

Titles and remarks may stand above it, and a second line of headings over it, each over several columns, as merged cells
leave it: `Purchase` over `Date` and `Price` makes `Purchase Date` and `Purchase Price`.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from ninefine.errors import Fault
from ninefine.intake.book_columns import COLUMNS, PRICE_OR_EACH, REPEATED, Heading, Purpose, bare, named
from ninefine.intake.columns import LEFT_OUT
from ninefine.intake.raw_table import RawLine

#: So many lines are looked through for headings.
SEARCHED = 40
#: So many columns are read; a wider table is some other.
WIDEST = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Heads:
    """The headings of a table.

    Attributes:
        line: the number of their line; of the lower one, where there are two.
        headings: in order.
    """

    line: int
    headings: tuple[Heading, ...]

    @property
    def shape(self) -> str:
        """A digest of the headings' words, by which a list of the same make is known again."""
        return shape_of([each.words for each in self.headings])


def shape_of(words: Sequence[str]) -> str:
    """A digest of headings, whatever their capitals, marks and spaces."""
    told = "\x1f".join(bare(each) for each in words).rstrip("\x1f")
    return sha256(told.encode()).hexdigest()[:16]


def find_heads(
    lines: Sequence[RawLine], purpose: Purpose, said: int | None, mapping: Mapping[str, str], faults: list[Fault]
) -> Heads | None:
    """The line of headings that most columns are known in, the first of equals, or the line that the person names.

    None where there is none: a fault says so. What the person names otherwise (`mapping`) is known too.
    """
    asked = {bare(heading) for heading in mapping}
    filled = [line for line in lines if not line.blank]
    best: tuple[int, Heads] | None = None
    for place, line in enumerate(filled[:SEARCHED] if said is None else filled):
        if said is not None and line.number != said:
            continue
        above = filled[place - 1] if place and filled[place - 1].number == line.number - 1 else None
        for upper in (None, above) if above is not None else (None,):
            heads = _heads(line, upper, purpose)
            score = _score(heads, asked)
            if best is None or score > best[0]:
                best = score, heads
    if best is None or (best[0] < 4 and said is None):
        where = "line 1" if said is None else f"line {said}"
        wrong = "No line of headings is found: a line such as Date, Item, Qty, Face, Price, Dealer above the figures."
        faults.append(Fault(where=where, wrong=wrong))
        return None
    return best[1]


def _score(heads: Heads, asked: Collection[str]) -> int:
    """Two for each thing that is known over a column, one for what is still to be told apart."""
    names = {each.name for each in heads.headings if each.name}
    named_by_hand = sum(1 for each in heads.headings if each.words and bare(each.words) in asked and not each.name)
    return 2 * (len(names - {PRICE_OR_EACH}) + named_by_hand) + (PRICE_OR_EACH in names)


def _heads(line: RawLine, above: RawLine | None, purpose: Purpose) -> Heads:
    found = []
    over = ""
    for place, cell in enumerate(line.cells[:WIDEST], 1):
        own = above.cells[place - 1].text if above is not None and place <= len(above.cells) else ""
        over = own or over
        words = cell.text
        joined = f"{over} {words}".strip()
        if above is not None and words and named(joined, purpose):
            words = joined
        elif above is not None and not words and named(own, purpose):
            words = own
        found.append(Heading(place=place, words=words, name=named(words, purpose)))
    return Heads(line=line.number, headings=tuple(found))


def name_heads(
    heads: Heads, body: Sequence[RawLine], mapping: Mapping[str, str], faults: list[Fault]
) -> tuple[Heading, ...]:
    """Every column with what it is: as the person says, else by its heading. What cannot be told is a fault.

    Args:
        heads: the headings as found.
        body: the lines below: a column that holds nothing needs no name.
        mapping: heading, or `column 5`, -> one of `COLUMNS`, or `-` to leave it out.
        faults: where faults are set down.
    """
    where = f"line {heads.line}"
    asked = {bare(heading): bare(name) or LEFT_OUT for heading, name in mapping.items()}
    asked = {heading: LEFT_OUT if name == "leave out" else name for heading, name in asked.items()}
    for heading, name in asked.items():
        if heading not in {bare(words_of(each)) for each in heads.headings}:
            faults.append(Fault(where=where, wrong=f"There is no column headed {heading[:40]!r}."))
        if name not in {*COLUMNS, LEFT_OUT}:
            wrong = f"{name[:40]!r} is nothing that a column may be; there are {', '.join(COLUMNS)}."
            faults.append(Fault(where=where, wrong=wrong))
    headings = tuple(_named(each, asked, body, where, faults) for each in heads.headings)
    names = [each.name for each in headings if each.name and each.name != LEFT_OUT]
    for name in dict.fromkeys(names):
        if names.count(name) > 1 and name not in REPEATED:
            twice = " and ".join(repr(words_of(each)) for each in headings if each.name == name)
            faults.append(Fault(where=where, wrong=f"{twice} are both read as {name}; leave one out."))
    return headings


def words_of(heading: Heading) -> str:
    """A column by its heading; by its place where it has none."""
    return heading.words or f"column {heading.place}"


def _named(
    heading: Heading, asked: Mapping[str, str], body: Sequence[RawLine], where: str, faults: list[Fault]
) -> Heading:
    name = asked.get(bare(words_of(heading)), heading.name)
    if name not in {*COLUMNS, LEFT_OUT}:
        name = heading.name
    if not name:
        sample = next((line for line in body if cell_of(line, heading)), None)
        if sample is None:
            return Heading(place=heading.place, words=heading.words, name=LEFT_OUT)
        wrong = (
            f"{words_of(heading)[:40]!r} is not a heading known here (line {sample.number} holds "
            f"{cell_of(sample, heading)[:30]!r}). Say what it is, or leave it out."
        )
        faults.append(Fault(where=where, wrong=wrong))
    return Heading(place=heading.place, words=heading.words, name=name)


def cell_of(line: RawLine, heading: Heading) -> str:
    """The text of a line's cell in a column; empty where the line is shorter."""
    return line.cells[heading.place - 1].text if heading.place <= len(line.cells) else ""
