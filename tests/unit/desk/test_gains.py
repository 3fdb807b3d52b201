"""The year's table: its columns, how pieces were named, what brokers reported, reminders beside a sale."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Bought
from ninefine.book.term import Term
from ninefine.desk import purchase, records, sale
from ninefine.desk.book_settings import GainsForm, Method, settle
from ninefine.desk.gains import FORM_COLUMNS, gains, last_year, report, reported, strike_report, year_of, years_of
from ninefine.desk.kit import Kit
from ninefine.desk.reminders import for_purchase, for_sale, reminders, set_reminder, silence, words
from ninefine.errors import Faults, NotFoundError
from ninefine.testing import kit_in_memory

D = Decimal
DAY = date(2026, 6, 12)


@pytest.fixture
def kit() -> Kit:
    """Two lots of halves, one long and one short; forty face sold with fees."""
    book = kit_in_memory(today=DAY)
    for on, price in (("2020-03-23", "1490"), ("2026-02-08", "4000")):
        purchase.buy(book, {"on": on, "amount-1": "100 face", "kind-1": "90% halves", "price-1": price})
    form = {"heap-1": "L1", "amount-1": "30 face", "heap-2": "L2", "amount-2": "10 face", "price": "44.00x"}
    sale.sell(book, sale.read_sale(book, form | {"fees": "8", "buyer": "Quay Coin", "on": "2026-06-10"}))
    return book


def test_the_columns_stand_in_the_order_of_the_form(kit: Kit) -> None:
    """Form 8949: (a) description to (h) gain; (h) is (d) less (e) plus (g). From memory."""
    assert [letter for letter, _ in FORM_COLUMNS] == list("abcdefgh")
    table = gains(kit)
    first, second = table.lines

    assert (table.year, table.form, table.method) == (2026, GainsForm.FORM_8949, Method.LOTS)
    assert first.description == "60 pieces, 30 face of 90% silver half dollars, mixed, lot L1"
    assert (first.acquired, first.sold, first.term) == ("2020-03-23", date(2026, 6, 10), Term.LONG)
    assert (first.proceeds, first.basis, first.codes, first.adjustment) == (D("1314.00"), D("447.00"), "C", D(0))
    assert (first.gain, second.gain, second.term) == (D("867.00"), D("38.00"), Term.SHORT)
    for line in table.lines:
        assert line.gain == line.proceeds - (line.basis or 0) + line.adjustment
    assert (table.short.gain, table.long.gain, table.whole.gain) == (D("38.00"), D("867.00"), D("905.00"))
    assert (first.box, second.box) == ("F", "C")


def test_a_plain_table_has_no_code_of_the_form(kit: Kit) -> None:
    settle(kit, {"form": "plain"})

    assert {line.codes for line in gains(kit).lines} == {""}


def test_both_methods_stand_beside_each_other(kit: Kit) -> None:
    """5,490 for 200 face: 40 cost 1,098.00 by the average, 447 + 400 by the lots."""
    by_lots, by_average = gains(kit), gains(kit, method=Method.AVERAGE)

    assert (by_lots.whole.basis, by_lots.other.basis) == (D("847.00"), D("1098.00"))
    assert (by_average.whole.gain, by_average.other.gain) == (D("654.00"), D("905.00"))
    settle(kit, {"method": "average"})
    assert gains(kit).whole.gain == D("654.00")
    assert year_of(kit, 2026).sold[0].note == "average cost"


def test_how_pieces_were_named_is_shown_and_a_late_word_is_marked(kit: Kit) -> None:
    """The book in memory writes on 1 January 2026: a sale of 2025 is late, a mend always is."""
    assert not gains(kit).lines[0].late
    assert gains(kit).lines[0].identified == "chosen, written down on 2026-01-01"
    sale.sell(kit, sale.read_sale(kit, {"heap-1": "L1", "amount-1": "1 face", "price": "44x", "on": "2025-12-20"}))

    (line,) = gains(kit, 2025).lines
    assert line.late
    assert line.identified == "chosen, written down on 2026-01-01, 12 days after"
    mend = records.mend_fields(kit, 3, {"fees": "9"})
    assert gains(kit).lines[0].late
    assert "mended on 2026-01-01" in gains(kit).lines[0].identified
    records.withdraw(kit, mend.serial)
    assert not gains(kit).lines[0].late


def test_years_are_listed_latest_first(kit: Kit) -> None:
    sale.sell(kit, sale.read_sale(kit, {"heap-1": "L1", "amount-1": "1 face", "price": "44x", "on": "2025-12-20"}))

    assert (years_of(kit), last_year(kit)) == ((2026, 2025), 2026)
    assert last_year(kit_in_memory(today=DAY)) == 2026
    assert gains(kit_in_memory(today=DAY)).lines == ()


class TestReports:
    """A broker's figures beside the book's; a difference is shown and nothing decided."""

    def test_a_report_before_fees_finds_its_sale_and_shows_the_fees_as_an_adjustment(self, kit: Kit) -> None:
        report(kit, {"on": "2026-06-12", "proceeds": "1760", "broker": "Quay Coin"})
        table = gains(kit)
        (match,) = table.reports.matches
        first = table.lines[0]

        assert (match.serial, match.off, match.agrees) == (3, D(0), True)
        assert (first.proceeds, first.codes, first.adjustment) == (D("1320.00"), "CE", D("-6.00"))
        assert (first.gain, first.box) == (D("867.00"), "E")
        assert first.gain == first.proceeds - (first.basis or 0) + first.adjustment
        assert table.reports.unreported == ()

    def test_a_difference_in_proceeds_or_basis_is_shown(self, kit: Kit) -> None:
        report(kit, {"name": "b1", "on": "2026-06-10", "proceeds": "1700", "entry": "3", "basis": "900"})
        (match,) = gains(kit).reports.matches

        assert (match.brought, match.basis) == (D("1760.00"), D("847.00"))
        assert (match.off, match.basis_off, match.agrees) == (D("-60.00"), D("53.00"), False)

    def test_net_reports_boxes_and_reports_of_nothing(self, kit: Kit) -> None:
        report(
            kit,
            {"name": "net", "on": "2026-06-10", "proceeds": "1752", "gross": "no", "basis": "847"}
            | {"to_authority": "yes"},
        )
        report(kit, {"name": "stray", "on": "2026-06-10", "proceeds": "1"})
        report(kit, {"name": "twice", "on": "2026-06-10", "proceeds": "1752", "entry": "3"})
        net, stray, twice = gains(kit).reports.matches

        assert (twice.serial, net.serial, stray.serial) == (3, None, None)
        assert "within 10 days" in stray.why
        strike_report(kit, "twice")
        table = gains(kit)
        assert table.reports.matches[0].agrees
        assert (table.lines[0].box, table.lines[1].box, table.lines[0].codes) == ("D", "A", "C")
        assert [line.name for line in reported(kit)] == ["net", "stray"]

    def test_a_year_without_reports_lists_its_sales_as_unreported(self, kit: Kit) -> None:
        assert gains(kit).reports.unreported == (3,)
        report(kit, {"name": "x", "on": "2026-06-10", "proceeds": "5", "entry": "1"})
        (match,) = gains(kit).reports.matches
        assert match.why == "Entry 1 is no sale of that year."

    def test_faults_of_a_report_are_told_at_once(self, kit: Kit) -> None:
        with pytest.raises(Faults) as caught:
            report(kit, {"proceeds": "dear", "gross": "perhaps", "to_authority": "yes", "colour": "red"})

        faults = {fault.where for fault in caught.value.faults}
        assert faults == {"on", "proceeds", "gross", "basis", "colour"}


class TestReminders:
    """They remind beside a sale or a purchase, and can be made one's own."""

    def test_a_small_sale_hears_of_the_return_and_a_large_one_of_reporting(self, kit: Kit) -> None:
        small = sale.read_sale(kit, {"heap-1": "L2", "price": "44x"})
        assert [one.name for one in for_sale(kit, small)] == ["a gain belongs on the return", "collectibles"]
        form = {"amount-1": "2000 face", "kind-1": "90% halves", "price-1": "44x"}
        purchase.buy(kit, form)
        large = sale.read_sale(kit, {"heap-1": "L3", "price": "44x"})

        assert "90% coin a broker may report" in [one.name for one in for_sale(kit, large)]

    def test_a_purchase_in_cash(self, kit: Kit) -> None:
        entry = purchase.read_purchase(kit, {"amount-1": "300 face", "kind-1": "90% halves", "price-1": "44x"})
        assert isinstance(entry, Bought)

        assert for_purchase(kit, entry) == ()
        assert [one.name for one in for_purchase(kit, entry, in_cash=True)] == ["cash over 10,000"]

    def test_an_example_is_made_ones_own_or_silenced(self, kit: Kit) -> None:
        set_reminder(kit, {"name": "collectibles", "words": "Ask A. Reed.", "source": "her letter"})
        silence(kit, "a gain belongs on the return")
        plan = sale.read_sale(kit, {"heap-1": "L2", "price": "44x"})

        (one,) = for_sale(kit, plan)
        assert words(one) == "Ask A. Reed. Source: her letter, as of 2026-11-25."
        assert not one.example
        shipped = next(each for each in reminders(kit) if each.name == "cash over 10,000")
        assert "An example, not advice." in words(shipped)

    def test_what_cannot_be_is_refused(self, kit: Kit) -> None:
        with pytest.raises(NotFoundError, match="no reminder 'nothing'"):
            silence(kit, "nothing")
        with pytest.raises(Faults, match="Name the reminder"):
            set_reminder(kit, {"words": "x"})

    def test_a_book_in_other_money_has_no_examples_of_the_united_states(self) -> None:
        assert reminders(kit_in_memory(currency="CAD")) == ()
