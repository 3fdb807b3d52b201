"""Gains and losses: a line for each disposal, its columns in the order of U.S. Form 8949, or a plain table elsewhere.

Columns (a) to (h), and codes C (collectibles) and L (a loss that does not count), as the form and its instructions have
them (IRS, Form 8949 and its instructions); that a line of code C alone has an adjustment of zero is from memory. What
goes on a return is for the person and their preparer to decide.
"""

from collections.abc import Callable, Collection, Mapping, Sequence

from ninefine.book.gains import GainRow, YearGains, totals
from ninefine.book.holdings import Disposal
from ninefine.book.how import How
from ninefine.book.share import ZERO
from ninefine.book.term import Term
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
    Value,
)
from ninefine.papers.inventory import About
from ninefine.papers.words import money

#: Column (f): the pieces are collectibles, which have a rate of their own when held for more than a year.
COLLECTIBLES = "C"
#: Column (f): expenses of the sale that the reported proceeds leave in (from the form's instructions, from memory).
EXPENSES = "E"
#: Column (f): a loss that does not count, here on what the household used itself.
NO_LOSS = "L"
_TERMS = {
    Term.SHORT: "Short term: held for a year or less",
    Term.LONG: "Long term: held for more than a year",
    Term.UNKNOWN: "Term not known",
}
#: Letter of the form, head, and what the column holds.
_HEADS = (
    ("a", "Description", Of.TEXT),
    ("b", "Acquired", Of.DATE),
    ("c", "Sold", Of.DATE),
    ("d", "Proceeds", Of.MONEY),
    ("e", "Cost or basis", Of.MONEY),
    ("f", "Code", Of.TEXT),
    ("g", "Adjustment", Of.MONEY),
    ("h", "Gain or loss", Of.MONEY),
    ("", "Term", Of.TEXT),
)
#: Columns that mean something on the U.S. form alone.
_OF_THE_FORM = frozenset({5, 6})
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
_AVERAGED = "Basis is by average cost of all that is quoted alike; whether a place allows that is for its law."
_EXPENSES = (
    "Code E marks proceeds that a broker reported before fees: they stand as reported, and the adjustment takes the "
    "fees off."
)
_FORM = (
    _PARTS,
    _CODES,
    _EXPENSES,
    "Code C marks collectibles, whose long-term gain has a rate of its own; its adjustment is zero.",
)
_CAUTION = "ninefine reminds, it never decides. Ask a licensed preparer, and your own state, before you file."


def gains(
    about: About,
    of_year: YearGains,
    *,
    describe: Callable[[Disposal], str],
    form_8949: bool = True,
    gross: Collection[int] = (),
    averaged: bool = False,
) -> Document:
    """A year's gains.

    Args:
        about: whose and when.
        of_year: the year's disposals as they are reckoned.
        describe: a disposal in words.
        form_8949: columns of the U.S. form; else a plain table without codes and adjustments.
        gross: entries whose proceeds a broker reported before fees: the form takes them so, and the fees with code E.
        averaged: the cost is counted by the average of all that is quoted alike, which the paper says.
    """
    year = of_year.year
    whole = totals(of_year.sold).gain
    counted = f"{len(of_year.sold)} disposal{'' if len(of_year.sold) == 1 else 's'} in {year}"
    without = [f"{describe(row.disposal)}, {row.disposal.left}" for row in of_year.apart]
    terms = {term: of_year.of_term(term) for term in Term}
    shown = {term: rows for term, rows in terms.items() if rows or term is not Term.UNKNOWN}
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
            _summary(about, shown),
            *(_ledger(about, rows, term, describe, gross=gross if form_8949 else None) for term, rows in shown.items()),
            _notes(without, form_8949=form_8949, averaged=averaged),
        ),
    )


def _summary(about: About, terms: Mapping[Term, Sequence[GainRow]]) -> Pairs:
    return Pairs(
        pairs=tuple(
            Pair(
                name="Term not known, net" if term is Term.UNKNOWN else f"{term.capitalize()} term, net",
                value=totals(rows).gain,
                of=Of.MONEY,
                unit=about.currency,
                tells=Tells.COSTS,
                strong=True,
            )
            for term, rows in terms.items()
        )
    )


def _ledger(
    about: About,
    rows: Sequence[GainRow],
    term: Term,
    describe: Callable[[Disposal], str],
    *,
    gross: Collection[int] | None,
) -> Ledger:
    """The lines of a term; `gross` is none where the table is no form's."""
    form_8949 = gross is not None
    kept = [place for place in range(len(_HEADS)) if form_8949 or place not in _OF_THE_FORM]
    columns = [_column(about, place, form_8949=form_8949) for place in kept]
    cells = [_cells(row, describe(row.disposal), gross=row.disposal.serial in (gross or ())) for row in rows]
    lines = tuple(
        Row(cells=tuple(one[place] for place in kept), notes=((row.note, NOTHING),) if row.note else ())
        for row, one in zip(rows, cells, strict=True)
    )
    return Ledger(
        caption=_TERMS[term],
        columns=tuple(columns),
        groups=(Group(rows=lines),) if lines else (),
        empty="None.",
        main=True,
    )


def _column(about: About, place: int, *, form_8949: bool) -> Column:
    letter, head, of = _HEADS[place]
    money_of = of is Of.MONEY
    return Column(
        head=f"({letter}) {head}" if form_8949 and letter else head,
        of=of,
        unit=about.currency if money_of else "",
        summed=money_of,
        tells=Tells.COSTS if money_of else NOTHING,
        wide=place == 0,
    )


def _cells(row: GainRow, description: str, *, gross: bool) -> tuple[Value, ...]:
    """A row's cells in the order of `_HEADS`; a word stands for a date where the form takes one."""
    gone = row.disposal
    acquired = row.acquired_words if gone.acquired is None or gone.how is How.INHERITED else gone.acquired
    left_in = gone.fees if gross else ZERO
    code = COLLECTIBLES + (EXPENSES if left_in else "") + (NO_LOSS if row.adjustment else "")
    proceeds, adjustment = row.net + left_in, row.adjustment - left_in
    return (description, acquired, gone.on, proceeds, row.basis, code, adjustment, row.gain, str(row.term))


def _notes(without: Sequence[str], *, form_8949: bool, averaged: bool) -> Notes:
    lines = [*_HOW, *((_AVERAGED,) if averaged else ()), *(_FORM if form_8949 else ())]
    if without:
        lines.append(f"Not for money, and in no figure here: {'; '.join(without)}.")
    return Notes(title="How to read this", lines=tuple((line, NOTHING) for line in (*lines, _CAUTION)))
