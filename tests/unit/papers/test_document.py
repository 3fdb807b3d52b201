"""A paper as data: its sums are its own, an ounce names its basis, and what is said wrongly is refused."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.catalog.kinds import Basis
from ninefine.papers.document import Beside, Column, Document, Group, Ledger, Of, Pairs, Prose, Row, Value
from ninefine.papers.written import day_words, figure, write

D = Decimal
COLUMNS = (Column(head="Goods"), Column(head="Melt", of=Of.MONEY, summed=True), Column(head="Bid", of=Of.MONEY))


def ledger(*groups: tuple[str, list[tuple[Value, ...]]], main: bool = False) -> Ledger:
    return Ledger(
        caption="What there is",
        columns=COLUMNS,
        groups=tuple(Group(name=name, rows=tuple(Row(cells=row) for row in rows)) for name, rows in groups),
        main=main,
    )


def test_a_ledger_adds_up_its_own_rows_over_all_groups() -> None:
    made = ledger(
        ("A1", [("dimes", D("1.10"), D(9)), ("halves", D("2.25"), None)]), ("A2", [("bars", D("-0.35"), D(1))])
    )

    assert made.totals() == (None, D("3.00"), None)
    assert made.totals_of(made.groups[0].rows) == (None, D("3.35"), None)
    assert [so_far[1] for so_far in made.running(made.rows)] == [D("1.10"), D("3.35"), D("3.00")]


def test_a_cell_that_is_not_known_adds_nothing_and_a_sum_of_none_is_not_known() -> None:
    assert ledger(("", [("a", None, D(1)), ("b", D(2), None)])).totals()[1] == D(2)
    assert ledger(("", [("a", None, D(1))])).totals()[1] is None
    assert ledger().totals() == (None, None, None)


def test_whole_pieces_add_up_too() -> None:
    columns = (Column(head="Goods"), Column(head="Pieces", of=Of.COUNT, summed=True))
    rows = (Row(cells=("dimes", 1179)), Row(cells=("halves", 16)))

    assert Ledger(caption="x", columns=columns, groups=(Group(rows=rows),)).totals() == (None, D(1195))


@given(st.lists(st.decimals(min_value=-(10**9), max_value=10**9, places=2), max_size=60))
def test_the_last_running_sum_is_the_exact_total(values: list[D]) -> None:
    made = ledger(("", [("x", value, None) for value in values]))

    assert made.totals()[1] == (sum(values, D(0)) if values else None)


def test_an_ounce_names_its_basis_and_nothing_else_has_one() -> None:
    assert Column(head="Fine", of=Of.OUNCE, basis=Basis.SCALE).small == "ozt scale"
    with pytest.raises(ValueError, match="an ounce names its basis"):
        Column(head="Fine", of=Of.OUNCE)
    with pytest.raises(ValueError, match="an ounce names its basis"):
        Column(head="Melt", of=Of.MONEY, basis=Basis.TRADE)


def test_words_do_not_add_up_and_rows_fill_their_columns() -> None:
    with pytest.raises(ValueError, match="does not add up"):
        Column(head="Goods", summed=True)
    with pytest.raises(ValueError, match="2 cells for 3 columns"):
        ledger(("", [("a", D(1))]))


def test_a_table_file_is_made_of_the_main_ledgers_else_of_the_first() -> None:
    plain, first, second = ledger(("", [])), ledger(("", []), main=True), ledger(("", []), main=True)
    day = date(2026, 6, 12)

    assert Document(name="x", title="X", on=day, blocks=(plain, first, second)).main == (first, second)
    assert Document(name="x", title="X", on=day, blocks=(Beside(ledgers=(plain,)), first)).ledgers == (plain, first)
    assert Document(name="x", title="X", on=day, blocks=(plain,)).main == (plain,)
    assert Document(name="x", title="X", on=day, blocks=(Prose(text="a"), Pairs(pairs=()))).main == ()
    other = Ledger(caption="Other", columns=COLUMNS[:1], groups=(), main=True)
    with pytest.raises(ValueError, match="same columns"):
        Document(name="x", title="X", on=day, blocks=(first, other))


@pytest.mark.parametrize(
    ("column", "value", "written"),
    [
        (Column(head="x", of=Of.MONEY), D("1234567.005"), "1,234,567.01"),
        (Column(head="x", of=Of.MONEY), D("-0.005"), "\N{MINUS SIGN}0.01"),
        (Column(head="x", of=Of.MONEY), D("-0.004"), "0.00"),
        (Column(head="x", of=Of.OUNCE, basis=Basis.TRADE), D("310.25"), "310.2500"),
        (Column(head="x", of=Of.PERCENT, places=0), D("80.66"), "81%"),
        (Column(head="x", of=Of.COUNT), 1179, "1,179"),
        (Column(head="x", of=Of.DATE), date(2026, 6, 2), "2026-06-02"),
        (Column(head="x", of=Of.DATE), "INHERITED", "INHERITED"),
        (Column(head="x"), None, "\N{EN DASH}"),
    ],
)
def test_values_are_written_as_their_column_says(column: Column, value: Value, written: str) -> None:
    assert write(column, value) == written


@pytest.mark.parametrize(
    ("column", "value"),
    [
        (Column(head="x"), D(1)),
        (Column(head="x", of=Of.MONEY), "12.50"),
        (Column(head="x", of=Of.COUNT), date(2026, 1, 1)),
    ],
)
def test_a_value_of_another_sort_than_its_column_is_refused(column: Column, value: Value) -> None:
    with pytest.raises(TypeError, match="Column 'x' holds"):
        write(column, value)


def test_days_and_figures_in_words() -> None:
    assert day_words(date(2026, 3, 3)) == "3 March 2026"
    assert figure(D("0.5"), 0) == "1"
