"""The bench through the desk: forms read, tests worked out, booked with files, joined piece by piece; instruments."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.assay.evidence import Outcome
from ninefine.assay.instruments import CALIPERS_ERROR_MM
from ninefine.assay.verdict import Finding
from ninefine.assay.wear import Band
from ninefine.book import entries
from ninefine.desk.bench import all_benches, bench, benches, book_test
from ninefine.desk.bench_read import read_lengths, read_shown
from ninefine.desk.bench_tries import likely_strangers, try_heap, try_piece, try_ware
from ninefine.desk.describe import describe
from ninefine.desk.instruments import (
    instruments,
    put_calipers,
    put_scale,
    put_thermometer,
    read_degrees,
    read_length,
    read_small_mass,
)
from ninefine.desk.kit import Kit
from ninefine.desk.purchase import buy
from ninefine.desk.records import Upload
from ninefine.errors import Faults, InputError, NotFoundError
from ninefine.testing import kit_in_memory

DAY = date(2026, 11, 25)


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=DAY)


@pytest.fixture
def bought(kit: Kit) -> Kit:
    buy(kit, {"on": "2026-11-01", "kind-1": "quarters", "amount-1": "40 pieces", "price-1": "245"})
    return kit


def faults(error: pytest.ExceptionInfo[Faults]) -> dict[str, str]:
    return {fault.where: fault.wrong for fault in error.value.faults}


class TestReading:
    @pytest.mark.parametrize(
        ("text", "portions", "step"),
        [
            ("24.12 g", [["24.12"]], "0.01"),
            ("24.12", [["24.12"]], "0.01"),
            ("24.12, 24.13, 24.10 g", [["24.12", "24.13", "24.10"]], "0.01"),
            ("24.12 g; 24.1 g", [["24.12", "24.1"]], "0.01"),
            ("1461 g + 950.5 g", [["1461"], ["950.5"]], "0.1"),
            ("1,461 g", [["1461"]], "1"),
            ("2.5 kg", [["2500"]], "100"),
            ("1 ozt", [["31.1034768"]], "31.1034768"),
        ],
    )
    def test_weights_as_a_scale_shows_them(self, text: str, portions: list[list[str]], step: str) -> None:
        shown = read_shown(text)

        assert [list(one) for one in shown.portions] == [[Decimal(value) for value in one] for one in portions]
        assert shown.step_g == Decimal(step)

    @pytest.mark.parametrize("text", ["", "x", "24.12 furlongs", "24.12 +", "0 g", ", ", ", ".join(["1 g"] * 41)])
    def test_what_is_no_weight_is_refused(self, text: str) -> None:
        with pytest.raises(InputError):
            read_shown(text)

    @pytest.mark.parametrize(
        ("text", "expected"),
        [("30.6", ["30.6"]), ("30.60, 30.62 mm", ["30.60", "30.62"]), ("1.205 in", ["30.6070"]), ('1"', ["25.4"])],
    )
    def test_sizes(self, text: str, expected: list[str]) -> None:
        """31 U.S.C. 5112(a): a half dollar is 1.205 inches; an inch is 25.4 mm exactly."""
        assert list(read_lengths(text)) == [Decimal(one) for one in expected]

    @pytest.mark.parametrize("text", ["wide", "0 mm", "-3 mm", ""])
    def test_what_is_no_size_is_refused(self, text: str) -> None:
        with pytest.raises(InputError):
            read_lengths(text)

    def test_degrees_and_small_weights(self) -> None:
        assert read_degrees("20") == read_degrees("20 C") == read_degrees("68 F") == 20
        assert read_small_mass("0") == 0
        assert read_small_mass("0.01 g") == Decimal("0.01")
        for text in ("hot", "120", "-4"):
            with pytest.raises(InputError):
                read_degrees(text)
        with pytest.raises(InputError):
            read_length("long")


class TestOnePiece:
    def test_readings_that_were_given_are_tests_that_were_made(self, kit: Kit) -> None:
        found = try_piece(
            kit,
            {
                "kind": "morgan dollar",
                "weight": "26.70, 26.71 g",
                "diameter": "38.1",
                "thickness": "2.4",
                "magnet": "slow",
                "edge": "even",
                "wet": "24.12",
                "celsius": "68 F",
            },
        )

        assert [one.test for one in found.evidence] == ["weight", "diameter", "thickness", "magnet", "edge", "gravity"]
        typed = {one.test: one.figures[0].typed for one in found.evidence if one.figures}
        assert typed == {
            "weight": "26.70, 26.71 g",
            "diameter": "38.1",
            "thickness": "2.4",
            "gravity": "26.70, 26.71 g dry, 24.12 in water",
        }
        assert found.verdict.finding is Finding.NOTHING_AGAINST
        assert found.verdict.not_done == ("ring",)
        assert found.gravity is not None
        assert found.gravity.reading.value == pytest.approx(10.31, abs=0.02)

    def test_a_clad_quarter_passed_off_is_set_aside(self, kit: Kit) -> None:
        found = try_piece(kit, {"kind": "us-quarter-washington-silver", "weight": "5.67 g", "edge": "copper stripe"})

        assert found.verdict.finding is Finding.SET_ASIDE

    @pytest.mark.parametrize(
        ("form", "at"),
        [
            ({}, {"kind"}),
            ({"kind": "us-half-franklin"}, {"weight"}),
            ({"kind": "moon dust", "weight": "heavy"}, {"kind", "weight"}),
            ({"kind": "us-90", "weight": "6.2 g"}, {"weight"}),
            ({"kind": "us-half-franklin", "wet": "11 g", "celsius": "20"}, {"weight"}),
            ({"kind": "us-half-franklin", "weight": "12.5 g", "wet": "11.3 g"}, {"celsius"}),
            ({"kind": "us-half-franklin", "weight": "12.5 g", "wet": "13 g", "celsius": "20"}, {"wet"}),
            ({"kind": "us-half-franklin", "weight": "6 g + 6 g"}, {"weight"}),
            (
                {"kind": "us-half-franklin", "magnet": "sings", "edge": "blue", "band": "fine"},
                {"magnet", "edge", "band"},
            ),
            ({"kind": "us-half-flowing-hair", "thickness": "2"}, {"thickness"}),
            ({"kind": "us-half-franklin", "weight": "12.5 g", "scale": "kitchen"}, {"scale"}),
            ({"heap": "L9", "weight": "2.5 g"}, {"weight"}),
        ],
    )
    def test_every_fault_is_told_at_its_field(self, kit: Kit, form: dict[str, str], at: set[str]) -> None:
        with pytest.raises(Faults) as error:
            try_piece(kit, form)

        assert set(faults(error)) == at


class TestHeaps:
    def test_a_heap_of_the_book_knows_its_kind_and_count(self, bought: Kit) -> None:
        found = try_heap(bought, {"heap": "L1", "weight": "247.70 g"})

        assert found.kind.slug == "us-quarter-90"
        assert found.count == 40
        assert found.mix is not None
        assert [one.kind.slug for one in found.mix.strangers] == ["us-quarter-clad"]
        assert found.verdict.not_done == ("edges", "magnet", "tray")
        assert found.evidence[0].figures[0].typed == "247.70 g"

    def test_edges_and_a_magnet_are_tests_of_a_roll_as_well(self, bought: Kit) -> None:
        looked = {"edge": "copper stripe", "magnet": "nothing"}
        found = try_heap(bought, {"heap": "L1", "weight": "241.00 g", **looked})

        assert [one.test for one in found.evidence] == ["heap-weight", "hidden-mix", "magnet", "edges"]
        assert found.verdict.finding is Finding.SET_ASIDE
        assert found.verdict.not_done == ("tray",)

    def test_what_may_hide_can_be_said_or_left_out(self, kit: Kit) -> None:
        form = {"kind": "halves", "amount": "20 pieces", "weight": "240.10 g"}
        both = try_heap(kit, {**form, "strangers": "us-half-kennedy-40, us-half-clad"})

        assert both.mix is not None
        assert len(both.mix.strangers) == 2
        assert try_heap(kit, {**form, "strangers": "none"}).mix is None
        assert try_heap(kit, {"kind": "us-90", "amount": "100 face", "weight": "2480 g"}).mix is None

    def test_a_sample_of_the_roll_is_counted_in(self, kit: Kit) -> None:
        form = {"kind": "quarters", "amount": "1 roll", "weight": "246.00 g"}
        plain = try_heap(kit, form)
        sampled = try_heap(kit, {**form, "sample": "61.90 g", "sample_count": "10"})
        assert plain.mix is not None
        assert sampled.mix is not None

        assert len(sampled.mix.held) < len(plain.mix.held)
        with pytest.raises(Faults) as error:
            try_heap(kit, {**form, "sample": "61.90 g"})
        assert set(faults(error)) == {"sample_count"}

    def test_faults(self, kit: Kit) -> None:
        for form, at in (
            ({"kind": "quarters"}, {"weight"}),
            ({"kind": "us-quarter-clad", "weight": "200 g"}, {"kind"}),
            ({"kind": "quarters", "amount": "lots", "weight": "200 g"}, {"amount"}),
            ({"kind": "quarters", "amount": "40 pieces", "weight": "200 g", "strangers": "moon dust"}, {"strangers"}),
        ):
            with pytest.raises(Faults) as error:
                try_heap(kit, form)
            assert set(faults(error)) == at

    def test_clad_hides_among_silver_and_nothing_among_clad(self, kit: Kit) -> None:
        catalog = kit.catalog()
        assert [one.slug for one in likely_strangers(kit, catalog.kind("us-dime-90"))] == ["us-dime-clad"]
        assert likely_strangers(kit, catalog.kind("us-dime-clad")) == ()


def test_household_ware(kit: Kit) -> None:
    found = try_ware(
        kit, {"mark": "STERLING", "built": "weighted-candlestick", "weight": "200 g + 74 g", "magnet": "pulls"}
    )

    assert found.ware.fine is not None
    assert found.ware.fine.low_ozt == pytest.approx(Decimal("0.4074"), abs=Decimal("0.0001"))
    assert found.verdict.not_done == ()
    with pytest.raises(Faults) as error:
        try_ware(kit, {"built": "castle"})
    assert set(faults(error)) == {"mark", "built"}


class TestBooking:
    def test_tests_are_booked_with_their_figures_and_files_and_joined(self, bought: Kit) -> None:
        first = try_piece(bought, {"heap": "L1", "weight": "5.67 g"})
        photo = Upload(name="edge.jpg", data=b"picture")
        stored = book_test(bought, {"heap": "L1", "piece": "The dull one", "note": "odd"}, first.evidence, [photo])
        entry = stored.entry
        assert isinstance(entry, entries.Tested)

        assert entry.verdict == "unsettled"
        assert entry.kind == "us-quarter-90"
        assert entry.lines[0].figures[0].value == Decimal("5.670")
        assert entry.attachments[0].name == "edge.jpg"
        assert bought.journal.attachment(entry.attachments[0].sha256) == b"picture"
        assert describe(entry, bought.catalog()) == (
            "Tested The dull one of 90% silver quarters, mixed, lot L1: weight unsure; not settled; kept edge.jpg."
        )
        second = try_piece(bought, {"heap": "L1", "edge": "copper stripe", "magnet": "fast"})
        book_test(bought, {"heap": "L1", "piece": "the  dull one"}, second.evidence)
        (one,) = all_benches(bought)
        assert one.serials == (stored.serial, stored.serial + 1)
        assert one.verdict.finding is Finding.SET_ASIDE
        assert [read.test for read in one.verdict.of(Outcome.FAILED)] == ["magnet", "edge"]
        assert one.grams == Decimal("5.670")
        assert bench(bought, stored.serial + 1) == bench(bought, stored.serial) == one
        assert bought.journal.faults() == ()

    def test_a_piece_that_is_not_in_the_book_can_be_tested(self, kit: Kit) -> None:
        found = try_piece(kit, {"kind": "us-half-franklin", "weight": "12.40 g"})
        stored = book_test(kit, {"piece": "at the show", "kind": "us-half-franklin"}, found.evidence)

        assert bench(kit, stored.serial).words == "at the show"
        assert benches(kit, first=1) == ()
        with pytest.raises(NotFoundError, match="Entry 7 is not one of tests that stand"):
            bench(kit, 7)

    def test_faults_are_told_together_and_nothing_is_booked(self, bought: Kit) -> None:
        evidence = try_piece(bought, {"heap": "L1", "weight": "6.2 g"}).evidence
        with pytest.raises(Faults) as error:
            book_test(
                bought, {"heap": "L1", "count": "41", "on": "2027-01-01"}, evidence, [Upload(name="a.exe", data=b"x")]
            )
        assert set(faults(error)) == {"count", "on", "files"}
        for form, at in (({}, {"piece"}), ({"piece": "x" * 201}, {"piece"}), ({"heap": "L9"}, {"heap"})):
            with pytest.raises(Faults) as error:
                book_test(bought, form, evidence)
            assert set(faults(error)) == at
        with pytest.raises(Faults, match="nothing to book"):
            book_test(bought, {"piece": "x"}, [])
        assert bought.holdings().serial == 1


class TestInstruments:
    def test_a_scale_is_kept_with_its_check_and_used_by_name_or_by_its_step(self, kit: Kit) -> None:
        form = {"name": "pocket", "step": "0.01 g", "check": "100 g", "within": "0.01 g", "shown": "99.50 g"}
        put_scale(kit, form)
        checked = try_piece(kit, {"kind": "us-half-franklin", "weight": "12.40 g"})
        named = try_piece(kit, {"kind": "us-half-franklin", "weight": "12.4 g", "scale": "pocket"})
        assert checked.weight is not None
        assert named.weight is not None

        assert checked.weight.reading.value == pytest.approx(12.40 * 100 / 99.5, abs=1e-9)
        assert named.weight.reading == checked.weight.reading
        kitchen = try_heap(kit, {"kind": "halves", "amount": "20 pieces", "weight": "248 g"})
        assert kitchen.weight.weight.value == 248
        assert kitchen.weight.weight.u > 0.5

    def test_what_was_not_set_down_is_assumed(self, kit: Kit) -> None:
        assert instruments(kit).calipers.error_mm == CALIPERS_ERROR_MM
        put_calipers(kit, {"step": "0.02 mm", "error": "0"})
        put_thermometer(kit, {"step": "0.1", "error": "0.5"})
        found = instruments(kit)

        assert (found.calipers.step_mm, found.calipers.error_mm) == (0.02, 0.0)
        assert (found.thermometer.step_c, found.thermometer.error_c) == (0.1, 0.5)
        assert found.own == {"calipers", "thermometer"}

    @pytest.mark.parametrize(
        ("form", "at"),
        [
            ({}, {"name", "step"}),
            ({"name": "calipers", "step": "1 g"}, {"name"}),
            ({"name": "a", "step": "0.01 g", "check": "100 g"}, {"shown"}),
            ({"name": "a", "step": "0.01 g", "shown": "100 g"}, {"check"}),
            ({"name": "a", "step": "0.01 g", "check": "100 g", "shown": "90 g"}, {"shown"}),
            ({"name": "a", "step": "fine"}, {"step"}),
            ({"name": "a", "step": "0 g"}, {"step"}),
        ],
    )
    def test_faults_of_a_scale(self, kit: Kit, form: dict[str, str], at: set[str]) -> None:
        with pytest.raises(Faults) as error:
            put_scale(kit, form)
        assert set(faults(error)) == at

    def test_a_step_of_nothing_is_refused(self, kit: Kit) -> None:
        with pytest.raises(Faults):
            put_calipers(kit, {"step": "0"})


def test_bands_are_read_by_either_name(kit: Kit) -> None:
    for said in ("VG to G", "heavy"):
        found = try_piece(kit, {"kind": "us-half-barber", "weight": "11.8 g", "band": said})
        assert found.weight is not None
        assert found.weight.loss.mean == pytest.approx(0.056)
    assert Band("") is Band.UNSAID
