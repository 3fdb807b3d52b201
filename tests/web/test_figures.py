"""How figures are written: exact, fixed places, a true minus, a basis beside every ounce."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markupsafe import Markup

from ninefine.catalog.kinds import Basis
from ninefine.measure.numbers import to_places
from ninefine.web import format as written
from ninefine.web.ledger import Cell, Column, Of, write
from ninefine.web.render import environment

D = Decimal


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (D("15691"), 2, "15,691.00"),
        (D("0.005"), 2, "0.01"),
        (D("-0.005"), 2, "\N{MINUS SIGN}0.01"),
        (D("-0.004"), 2, "0.00"),
        (D("1234567.891"), 1, "1,234,567.9"),
        (D("1E+3"), 0, "1,000"),
        (1000, 0, "1,000"),
        (None, 2, "\N{EN DASH}"),
    ],
)
def test_a_figure_is_rounded_half_up_with_thousands_and_a_true_minus(
    value: Decimal | int | None, places: int, text: str
) -> None:
    assert written.figure(value, places) == text


@given(st.decimals(min_value=-(10**12), max_value=10**12, places=6), st.integers(0, 6))
def test_a_written_figure_reads_back_as_the_rounded_value(value: Decimal, places: int) -> None:
    """Writing loses nothing but what rounding half up takes."""
    text = written.figure(value, places)

    assert D(text.replace(",", "").replace("\N{MINUS SIGN}", "-")) == to_places(value, places)
    assert len(text.partition(".")[2]) == places


def test_a_sign_is_written_before_what_is_above_zero_only() -> None:
    assert [written.percent(D(one), signed=True) for one in ("4.111", "0", "-2")] == [
        "+4.11%",
        "0.00%",
        "\N{MINUS SIGN}2.00%",
    ]
    assert written.percent(None) == "\N{EN DASH}"
    assert written.money(D("20.835")) == "20.84"


@pytest.mark.parametrize("basis", list(Basis))
def test_every_ounce_names_its_basis(basis: Basis) -> None:
    shown = written.ounces(D("310.25"), basis)

    assert isinstance(shown, Markup)
    assert shown.striptags() == f"310.2500 ozt {basis.value}"


def test_an_ounce_of_no_known_basis_is_refused() -> None:
    with pytest.raises(ValueError, match="avoirdupois"):
        written.ounces(D(1), "avoirdupois")


def test_what_goes_into_markup_is_escaped() -> None:
    assert "<b>" not in written.with_unit("<b>", "<i>")
    assert "<i>" not in written.with_unit("<b>", "<i>")


def test_dates_and_counts_in_words() -> None:
    assert written.day(date(2026, 3, 3)) == "3 March 2026"
    assert written.short_day(date(2026, 3, 3)) == "2026-03-03"
    assert written.day(None) == written.short_day(None) == "\N{EN DASH}"
    assert written.plural(1, "parcel") == "1 parcel"
    assert written.plural(1200, "box", "boxes") == "1,200 boxes"


def test_a_date_in_running_words_is_kept_whole_and_nothing_else_is_touched() -> None:
    kept = written.dates_kept("spot on 2026-11-13 10:10, <b>due 2026-12-01; lot 12-2026-11-13-4")

    assert kept == (
        'spot on <span class="fig">2026-11-13 10:10</span>, &lt;b&gt;due <span class="fig">2026-12-01</span>; '
        "lot 12-2026-11-13-4"
    )
    assert written.dates_kept(Markup('<a href="/holdings?on=2026-11-13">then</a>')) == (
        '<a href="/holdings?on=2026-11-13">then</a>'
    )


def test_the_filters_stand_in_templates_and_escape() -> None:
    render = environment().from_string("{{ a | money }}|{{ b | ounces('scale') }}|{{ c | percent }}|{{ t }}").render

    text = render(a=D("1234.5"), b=D(2), c=None, t="<script>")

    assert text.startswith('1,234.50|<span class="fig">2.0000')
    assert text.endswith("|\N{EN DASH}|&lt;script&gt;")


def test_a_column_writes_its_kind() -> None:
    def shown(column: Column, value: Decimal | int | str | date | Cell | None) -> tuple[str, str]:
        cell = write(column, value)
        return cell.text, cell.unit

    ounce = Column(key="k", head="", of=Of.OUNCE, basis=Basis.TRADE)
    assert shown(Column(key="k", head="", of=Of.MONEY, unit="USD"), D(5)) == ("5.00", "")
    assert shown(Column(key="k", head="", of=Of.FIGURE, unit="g", places=3), D("2.5")) == ("2.500", "g")
    assert shown(Column(key="k", head="", of=Of.COUNT), 1234) == ("1,234", "")
    assert shown(Column(key="k", head="", of=Of.PERCENT, signed=True), D(3)) == ("+3.00", "%")
    assert shown(Column(key="k", head="", of=Of.DATE), date(2026, 3, 3)) == ("2026-03-03", "")
    assert shown(Column(key="k", head=""), "dimes") == ("dimes", "")
    assert shown(ounce, D(1)) == ("1.0000", "ozt trade")
    assert shown(ounce, Cell(value=D(1), basis=Basis.SCALE)) == ("1.0000", "ozt scale")
    assert shown(ounce, None) == ("\N{EN DASH}", "")


def test_a_column_refuses_what_it_does_not_hold() -> None:
    with pytest.raises(ValueError, match="names its basis"):
        write(Column(key="k", head="", of=Of.OUNCE), D(1))
    with pytest.raises(ValueError, match="not a unit"):
        Column(key="k", head="", of=Of.OUNCE, unit="oz")
    with pytest.raises(TypeError, match="is text"):
        write(Column(key="k", head="", of=Of.MONEY), "5.00")
    with pytest.raises(TypeError, match="is a number"):
        write(Column(key="k", head=""), 5)
