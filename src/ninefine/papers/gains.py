"""Gains and losses: a line for each disposal, its columns in the order of U.S. Form 8949, or a plain table elsewhere.

Columns (a) to (h), and codes C (collectibles) and L (a loss that does not count), as the form and its instructions have
them (IRS, Form 8949 and its instructions); that a line of code C alone has an adjustment of zero is from memory. What
goes on a return is for the person and their preparer to decide.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.holdings import Disposal
from ninefine.book.how import How
from ninefine.book.term import Term, term_of
from ninefine.papers.document import (
    NOTHING,
    Column,
    Document,
    Group,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Prose,
    Row,
    Tells,
)
from ninefine.papers.inventory import About
from ninefine.papers.words import money

#: Column (f): the pieces are collectibles, which have a rate of their own when held for more than a year.
COLLECTIBLES = "C"
#: Column (f): a loss that does not count, here on what the household used itself.
NO_LOSS = "L"
_TERMS = {
    Term.SHORT: "Short term: held for a year or less",
    Term.LONG: "Long term: held for more than a year",
    Term.UNKNOWN: "Term not known",
}
_ACQUIRED = {How.INHERITED: "inherited"}
_GIFT = "a gift: its loss goes by its value at the gift"
_UNKNOWN_COST = "what it cost is not known, so it has no gain here"
_NET = (
    "Proceeds are net of the fees and costs of the sale. Basis is what the pieces cost, with their share of carriage "
    "and other costs, less what a seller paid back."
)
_HOW = (_NET, "Held for more than a year: counted from the day after acquisition, the day of sale included.")
_PARTS = (
    "Columns stand in the order of U.S. Form 8949: Part I takes the short term, Part II the long. Which box to tick "
    "goes by whether a broker reported the sale."
)
_CODES = "Code L marks a loss on what the household used itself, which does not count: the adjustment takes it off."
_FORM = (
    _PARTS,
    _CODES,
    "Code C marks collectibles, whose long-term gain has a rate of its own; its adjustment is zero.",
)
_CAUTION = "ninefine reminds, it never decides. Ask a licensed preparer, and your own state, before you file."


@dataclass(frozen=True, slots=True, kw_only=True)
class GainLine:
    """A disposal as a return asks for it: proceeds net of fees, less basis, plus adjustment, is the gain.

    `basis` is what the gain was reckoned from: for a loss on a gift, its value at the gift. Basis and gain are none
    where nobody knows the cost.
    """

    description: str
    acquired: date | str
    sold: date
    proceeds: Decimal
    basis: Decimal | None
    code: str
    adjustment: Decimal
    term: Term
    note: str = ""

    @property
    def gain(self) -> Decimal | None:
        """Below zero for a loss."""
        return None if self.basis is None else self.proceeds - self.basis + self.adjustment


def gain_line(disposal: Disposal, description: str) -> GainLine:
    """A line of a disposal for money or money's worth."""
    gain = disposal.gain
    by_value = gain is not None and gain < 0 and disposal.loss_basis is not None
    not_counted = gain is not None and gain < 0 and disposal.own_use
    note = _GIFT if by_value else _UNKNOWN_COST if gain is None else ""
    return GainLine(
        description=description,
        acquired=_ACQUIRED.get(disposal.how) or disposal.acquired or "not known",
        sold=disposal.on,
        proceeds=disposal.net,
        basis=None if gain is None else disposal.net - gain,
        code=COLLECTIBLES + (NO_LOSS if not_counted else ""),
        adjustment=-gain if gain is not None and not_counted else Decimal(0),
        term=term_of(disposal, disposal.on, by_value=by_value),
        note=note,
    )


def gains(
    about: About,
    year: int,
    disposals: Iterable[Disposal],
    *,
    describe: Callable[[Disposal], str],
    form_8949: bool = True,
) -> Document:
    """A year's gains.

    Args:
        about: whose and when.
        year: the calendar year of the disposals; others are left out.
        disposals: all of the book's.
        describe: a disposal in words.
        form_8949: columns of the U.S. form; else a plain table without codes and adjustments.
    """
    gone = [one for one in disposals if one.on.year == year]
    found = [gain_line(one, describe(one)) for one in gone if one.left.for_money]
    found.sort(key=lambda line: (line.sold, str(line.acquired), line.description))
    terms = {term: [line for line in found if line.term is term] for term in Term}
    without = [f"{describe(one)}, {one.left}" for one in gone if not one.left.for_money]
    whole = _net(found)
    counted = f"{len(found)} disposal{'' if len(found) == 1 else 's'} in {year}"
    return Document(
        name=f"gains-{year}",
        title=f"Gains and losses of {year}",
        on=about.on,
        book=about.book,
        broad=True,
        blocks=(
            Prose(
                text=f"{counted}: a net {'loss' if whole < 0 else 'gain'} of {money(abs(whole), about.currency)}.",
                answer=True,
                tells=Tells.COSTS,
            ),
            _summary(about, terms),
            *(
                _ledger(about, lines, _TERMS[term], form_8949=form_8949)
                for term, lines in terms.items()
                if lines or term is not Term.UNKNOWN
            ),
            _notes(without, form_8949=form_8949),
        ),
    )


def _net(lines: Iterable[GainLine]) -> Decimal:
    return sum((line.gain for line in lines if line.gain is not None), Decimal(0))


def _summary(about: About, terms: dict[Term, list[GainLine]]) -> Pairs:
    return Pairs(
        pairs=tuple(
            Pair(
                name="Term not known, net" if term is Term.UNKNOWN else f"{term.capitalize()} term, net",
                value=_net(lines),
                of=Of.MONEY,
                unit=about.currency,
                tells=Tells.COSTS,
                strong=True,
            )
            for term, lines in terms.items()
            if lines or term is not Term.UNKNOWN
        )
    )


def _ledger(about: About, lines: Sequence[GainLine], caption: str, *, form_8949: bool) -> Ledger:
    def named(letter: str, head: str) -> str:
        return f"({letter}) {head}" if form_8949 else head

    unit = about.currency
    columns = [
        Column(head=named("a", "Description"), wide=True),
        Column(head=named("b", "Acquired"), of=Of.DATE),
        Column(head=named("c", "Sold"), of=Of.DATE),
        Column(head=named("d", "Proceeds"), of=Of.MONEY, unit=unit, summed=True, tells=Tells.COSTS),
        Column(head=named("e", "Cost or basis"), of=Of.MONEY, unit=unit, summed=True, tells=Tells.COSTS),
        Column(head=named("f", "Code")),
        Column(head=named("g", "Adjustment"), of=Of.MONEY, unit=unit, summed=True, tells=Tells.COSTS),
        Column(head=named("h", "Gain or loss"), of=Of.MONEY, unit=unit, summed=True, tells=Tells.COSTS),
        Column(head="Term"),
    ]
    rows = [
        (
            line.description, line.acquired, line.sold, line.proceeds, line.basis,
            line.code, line.adjustment, line.gain, str(line.term),
        )
        for line in lines
    ]  # fmt: skip
    notes = [((line.note, NOTHING),) if line.note else () for line in lines]
    kept = [place for place in range(len(columns)) if form_8949 or place not in {5, 6}]
    return Ledger(
        caption=caption,
        columns=tuple(columns[place] for place in kept),
        groups=(
            Group(
                rows=tuple(
                    Row(cells=tuple(row[place] for place in kept), notes=note)
                    for row, note in zip(rows, notes, strict=True)
                )
            ),
        )
        if rows
        else (),
        empty="None.",
        main=True,
    )


def _notes(without: Sequence[str], *, form_8949: bool) -> Notes:
    lines = [*_HOW, *(_FORM if form_8949 else ())]
    if without:
        lines.append(f"Not for money, and in no figure here: {'; '.join(without)}.")
    return Notes(title="How to read this", lines=tuple((line, NOTHING) for line in (*lines, _CAUTION)))
