"""Pieces laid aside, held against their heap, pulled and put back; whether grading one pays."""

import csv
import re
import tomllib
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ninefine.book.entries import HeapRef, Joined, Sorted, Split
from ninefine.catalog.shelf import load_catalog
from ninefine.desk import arrivals, pieces, purchase, records, sale, sorting, tables, triage
from ninefine.desk.collectors import (
    collector_fields,
    collector_named,
    grader_fields,
    grader_named,
    put_collector,
    put_grader,
    read_tiers,
)
from ninefine.desk.grading import grading, read_outcomes
from ninefine.desk.judging import flaw_fields, flaw_shares, judging, judging_fields, put_flaw_shares, put_judging
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import Where
from ninefine.desk.say_sorting import details_sentence, grading_sentence, triage_sentence
from ninefine.desk.sets import put_set
from ninefine.desk.sheets import put_sheet
from ninefine.errors import Faults, NotFoundError, UnreadableError
from ninefine.testing import kit_in_memory
from ninefine.worth.span import Grading
from ninefine.worth.verdict import Against, Verdict

CATALOG = load_catalog()
D = Decimal
PAGE = (Path(__file__).resolve().parents[3] / "docs" / "ideas" / "triage.md").read_text(encoding="utf-8")
RULES, SHEET, PIECES, OUTCOMES, FEES = (
    text for _, text in re.findall(r"^```(\w+)\n(.*?)^```", PAGE, re.DOTALL | re.MULTILINE)
)


def rows(text: str) -> list[dict[str, str]]:
    return [dict(row) for row in csv.DictReader(text.splitlines(), skipinitialspace=True)]


@pytest.fixture
def kit() -> Kit:
    """A book with the rules and the sheet of docs/ideas/triage.md, and a heap of each kind that it speaks of."""
    made = kit_in_memory(today=date(2026, 11, 25), catalog=CATALOG)
    said = tomllib.loads(RULES)
    records.price(made, {"per_ozt": said["spot"]})
    for row in said["exit"]:
        tables.set_exit(made, row)
    for row in said["collector"]:
        put_collector(made, row)
    put_judging(made, {"threshold": said["threshold"], "hour_worth": said["hourly"]})
    put_flaw_shares(made, said["shares"])
    put_sheet(made, {"name": "the sheet", "on": "2026-06-01", "table": SHEET})
    kinds = dict.fromkeys(row["kind"] for row in rows(PIECES))
    for number, kind in enumerate(kinds, 1):
        line = {"kind-1": kind, "amount-1": "50 pieces", "price-1": "500", "lot-1": f"L{number}", "place": "A1"}
        purchase.buy(made, {"on": "2026-01-05", **line})
    return made


def lay_all(kit: Kit) -> None:
    """The ten pieces of the page, each out of the heap of its kind."""
    lots = {lot.kind: name for name, lot in kit.holdings().lots.items()}
    for row in rows(PIECES):
        form = {
            "label": row["no"],
            "heap": lots[row["kind"]],
            "what": f"{row['kind']}#{row['issue']}",
            "band": row["band"],
            "grams": f"{row['grams']} g" if row["grams"] else "",
            "wanted": row["wanted"],
        }
        pieces.lay(kit, form)


class TestTheTenPieces:
    """The worked example of docs/ideas/triage.md, laid aside and answered through the desk."""

    def test_every_figure_is_that_of_the_page(self, kit: Kit) -> None:
        lay_all(kit)
        lines = [line for line in PAGE.splitlines() if re.match(r"\| \d+ \|", line)]
        shown = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]

        for answer, cells in zip(triage.answers(kit), shown, strict=True):
            assert answer.found is not None
            found = answer.found
            assert answer.laid.label == cells[0]
            assert str(found.metal.melt) == cells[1]
            assert str(found.metal.bids[0].net) == cells[2]
            net = found.best.net if found.best is not None else None
            assert cells[7:10] == (
                ["", "", ""] if net is None else [f"{end:.2f}" for end in (net.low, net.mid, net.high)]
            )
            assert str(found.verdict) == cells[13]

    def test_four_are_pulled_two_kept_and_four_go_back(self, kit: Kit) -> None:
        lay_all(kit)

        assert triage_sentence(kit) == (
            "10 pieces lie on the table: 4 to pull, for 362.00 net from collectors (313.20 to 410.80) where the heap "
            "would bring 38.21; 2 to keep, 4 back to the heap."
        )
        put_judging(kit, {**judging_fields(judging(kit)), "grading": "apart"})
        assert "362.00 net from collectors (326.24 to 397.76)" in triage_sentence(kit)

    def test_another_spot_is_only_asked_about(self, kit: Kit) -> None:
        lay_all(kit)

        dear = triage.answer(kit, "4", D(64)).found

        assert dear is not None
        assert dear.metal.melt == D("48.96")
        assert triage.answer(kit, "4").found != dear

    def test_whether_grading_pays(self, kit: Kit) -> None:
        put_grader(kit, fees_form())
        outcomes = "\n".join(f"{row['band']}: {row['chance']}" for row in rows(OUTCOMES))
        form = {"what": "us-quarter-washington-silver#1932-D", "raw": "MS60", "outcomes": outcomes, "declared": "1100"}
        form |= {"pieces": "4", "raw_exit": "the online sale", "graded_exit": "the online sale"}

        found = grading(kit, form)

        answer = found.answer
        assert [str(one) for one in (answer.raw, answer.cost, answer.expected, answer.gain)] == [
            "818.10",
            "65.00",
            "849.51",
            "-33.59",
        ]
        assert "loses 33.59 on average" in grading_sentence(kit, found)
        assert details_sentence(found) == (
            "The chance of details is 30.0%. Grading pays while that chance is below 24.7%."
        )


def fees_form() -> dict[str, str]:
    said = tomllib.loads(FEES)
    tiers = said.pop("tiers")
    return {**said, "tiers": "\n".join(f"{tier.get('up_to', 'any')}: {tier['fee']}" for tier in tiers)}


def lay(kit: Kit, **form: str) -> None:
    lot = next(name for name, lot in kit.holdings().lots.items() if lot.kind == "us-dime-mercury")
    pieces.lay(kit, {"label": "E1-1", "heap": lot, "what": "us-dime-mercury#1921-D", "band": "VG8", **form})


class TestPulling:
    """A pulled piece is a heap of its own, at its label, with its share of what its heap cost."""

    def test_pieces_and_cost_are_shared_by_what_is_taken(self, kit: Kit) -> None:
        """One of fifty that cost 500.00 takes 10.00 with it; two leave forty-eight at 480.00."""
        lay(kit, grams="2.44 g")
        lay(kit, label="E1-2", what="us-dime-mercury#1926-S", band="F12")
        triage.pull(kit, {"label": "E1-1"})

        stored = triage.pull(kit, {"label": "E1-2", "note": "in a flip"})

        heaps = {heap.place: heap for heap in kit.holdings().lots["L1"].heaps}
        assert (heaps["E1-1"].count, heaps["E1-1"].basis, heaps["E1-1"].gross_g) == (1, D("10.00"), D("2.44"))
        assert (heaps["A1"].count, heaps["A1"].basis) == (48, D("480.00"))
        assert isinstance(stored.entry, Sorted)
        assert stored.entry.note.startswith("in a flip ")
        assert kit.journal.faults() == ()

    def test_the_reason_and_the_threshold_are_kept_with_the_entry(self, kit: Kit) -> None:
        lay(kit)

        entry = triage.pull(kit, {"label": "E1-1"}).entry

        assert isinstance(entry, Sorted)
        assert entry.note.startswith("Pull: It would net 51.00 (47.00 to 55.00) by the club table")
        assert entry.note.endswith("the threshold is 4.00.")

    def test_it_is_told_where_it_lies_and_is_not_pulled_twice(self, kit: Kit) -> None:
        lay(kit)
        stored = triage.pull(kit, {"label": "E1-1"})

        one = pieces.laid_named(kit, "E1-1")

        assert (one.where, one.pulled_by) == (Where.PULLED, stored.serial)
        with pytest.raises(Faults, match=f"pulled by entry {stored.serial}"):
            triage.pull(kit, {"label": "E1-1"})
        assert "1 piece is pulled and not sold, worth 51.00" in triage_sentence(kit)

    def test_it_is_followed_when_it_is_moved_and_gone_when_it_is_sold(self, kit: Kit) -> None:
        lay(kit)
        triage.pull(kit, {"label": "E1-1"})
        records.move(kit, {"heap": "L1/us-dime-mercury/1921-D@E1-1", "to": "E2"})
        records.move(kit, {"heap": "L1/us-dime-mercury/1921-D@E2", "to": "the bank"})
        moved = pieces.laid_named(kit, "E1-1")
        sale.sell(kit, sale.read_sale(kit, {"heap-1": "L1/us-dime-mercury/1921-D", "price": "60"}))

        assert moved.held is not None
        assert moved.held.place == "the bank"
        assert pieces.laid_named(kit, "E1-1").where is Where.GONE
        assert triage.answers(kit) == ()
        assert "no longer held" in triage.answer(kit, "E1-1").wrong

    def test_it_is_followed_into_a_lot_of_its_own(self, kit: Kit) -> None:
        lay(kit)
        triage.pull(kit, {"label": "E1-1"})
        heap = HeapRef(lot="L1", kind="us-dime-mercury", issue="1921-D", place="E1-1")

        kit.journal.append(Split(on=kit.today(), heap=heap, lot="the find"))

        one = pieces.laid_named(kit, "E1-1")
        assert one.held is not None
        assert (one.held.lot, one.where) == ("the find", Where.PULLED)

    def test_it_is_followed_when_its_lot_is_joined_to_another(self, kit: Kit) -> None:
        lay(kit)
        triage.pull(kit, {"label": "E1-1"})

        kit.journal.append(Joined(on=kit.today(), lots=("L2", "L1")))

        one = pieces.laid_named(kit, "E1-1")
        assert one.held is not None
        assert (one.held.lot, one.where) == ("L2", Where.PULLED)

    def test_a_pull_that_was_withdrawn_never_happened(self, kit: Kit) -> None:
        lay(kit)
        records.withdraw(kit, triage.pull(kit, {"label": "E1-1"}).serial)

        assert pieces.laid_named(kit, "E1-1").where is Where.TABLE

    def test_a_heap_of_just_the_piece_keeps_its_weight(self, kit: Kit) -> None:
        row = {"kind-1": "us-dime-mercury#1921-D", "amount-1": "1 piece, 2.457 g"}
        sorting.sort(kit, {"heap": "L1", **row})
        lay(kit, heap="L1/us-dime-mercury/1921-D", what="")
        assert pieces.laid_named(kit, "E1-1").gross_g == D("2.457")

        triage.pull(kit, {"label": "E1-1"})

        (heap,) = (heap for heap in kit.holdings().heaps if heap.issue == "1921-D")
        assert (heap.place, heap.gross_g) == ("E1-1", D("2.457"))

    def test_a_heap_that_is_kept_by_face_gives_its_face(self, kit: Kit) -> None:
        line = {"lot-1": "B1", "kind-1": "90%", "amount-1": "100 face", "price-1": "20x"}
        purchase.buy(kit, {"on": "2026-01-06", **line})
        lay(kit, heap="B1", count="2")

        triage.pull(kit, {"label": "E1-1"})

        heaps = {heap.place: heap for heap in kit.holdings().lots["B1"].heaps}
        assert (heaps["E1-1"].face, heaps["E1-1"].basis) == (D("0.20"), D("4.00"))
        assert heaps[""].face == D("99.8")


class TestLaying:
    """What is laid aside is checked against its heap, and its label is its own."""

    @pytest.mark.parametrize(
        ("wrong", "field", "words"),
        [
            ({"label": ""}, "label", "This is needed"),
            ({"label": "A1"}, "label", "Something lies or lay at A1"),
            ({"label": "x" * 41}, "label", "at most 40"),
            ({"heap": "L99"}, "heap", "No lot"),
            ({"what": "quarter 1932-D"}, "what", "holds no Washington quarter"),
            ({"what": "90% dimes"}, "what", "Say which coin it is"),
            ({"what": "merc dime 1922"}, "what", "1922"),
            ({"count": "51"}, "count", "That heap holds 50"),
            ({"band": "VG9"}, "band", "not a point"),
            ({"grams": "heavy"}, "grams", "not a weight"),
        ],
    )
    def test_each_fault_stands_at_its_field(self, kit: Kit, wrong: Mapping[str, str], field: str, words: str) -> None:
        before = len(kit.journal.records())

        with pytest.raises(Faults, match=words) as error:
            lay(kit, **wrong)

        assert {fault.where for fault in error.value.faults} == {field}
        assert len(kit.journal.records()) == before

    def test_no_more_can_be_laid_aside_than_there_are(self, kit: Kit) -> None:
        lay(kit, count="49")
        with pytest.raises(Faults, match="That heap holds 50, and 49 of them laid aside already"):
            lay(kit, label="E1-2", count="2")
        lay(kit, label="E1-2")

    def test_a_label_that_was_used_is_not_used_again(self, kit: Kit) -> None:
        lay(kit)
        with pytest.raises(Faults, match="E1-1 is a piece already"):
            lay(kit)
        triage.pull(kit, {"label": "E1-1"})
        pieces.strike(kit, "E1-1")
        with pytest.raises(Faults, match="lies or lay at E1-1"):
            lay(kit)

    def test_a_heap_told_apart_is_what_it_is(self, kit: Kit) -> None:
        sorting.sort(kit, {"heap": "L1", "kind-1": "us-dime-mercury#1944-P", "amount-1": "3"})
        with pytest.raises(Faults, match="told apart already: it is Mercury"):
            lay(kit, heap="L1/us-dime-mercury/1944-P")

    def test_looking_again_changes_what_is_seen_and_nothing_else(self, kit: Kit) -> None:
        lay(kit, grams="2.44 g", count="3")
        pieces.look_again(kit, {"label": "E1-1", "band": "F12", "note": "by daylight"})

        one = pieces.laid_named(kit, "E1-1")

        assert (str(one.band), one.count, one.issue, one.gross_g, one.note) == ("F12", 3, "1921-D", None, "by daylight")

    def test_free_labels_are_offered(self, kit: Kit) -> None:
        lay(kit, label="P1")

        assert pieces.next_label(kit) == "P2"
        with pytest.raises(NotFoundError, match="P1"):
            pieces.laid_named(kit, "P9")


class TestBack:
    """Pieces told apart go back among the common ones of their design; a weight once taken is never lost by that."""

    def test_they_keep_their_lot_and_cost(self, kit: Kit) -> None:
        sorting.sort(kit, {"heap": "L1", "kind-1": "us-dime-mercury#1944-P", "amount-1": "20"})

        triage.back(kit, {"heap": "L1/us-dime-mercury/1944-P", "amount": "5 pieces"})

        counts = {(heap.issue, heap.count, heap.basis) for heap in kit.holdings().lots["L1"].heaps}
        assert counts == {("", 35, D("350.00")), ("1944-P", 15, D("150.00"))}

    def test_an_unweighed_piece_does_not_go_onto_a_weighed_heap(self, kit: Kit) -> None:
        sorting.sort(kit, {"heap": "L1", "kind-1": "us-dime-mercury#1944-P", "amount-1": "20"})
        arrivals.weigh(kit, {"heap-1": "L1/us-dime-mercury@A1", "weight-1": "73.1 g"})
        before = kit.holdings()

        with pytest.raises(Faults, match="its weight would be lost") as error:
            triage.back(kit, {"heap": "L1/us-dime-mercury/1944-P"})

        assert {fault.where for fault in error.value.faults} == {"place"}
        assert kit.holdings() == before
        triage.back(kit, {"heap": "L1/us-dime-mercury/1944-P", "place": "A2"})
        assert {heap.gross_g for heap in kit.holdings().lots["L1"].heaps} == {D("73.1"), None}

    def test_what_has_no_date_cannot_go_back(self, kit: Kit) -> None:
        with pytest.raises(Faults, match="not told apart by date"):
            triage.back(kit, {"heap": "L1"})


def test_a_piece_that_a_kept_set_keeps_is_not_to_be_pulled(kit: Kit) -> None:
    lay(kit)
    put_set(kit, {"name": "the album", "what": "us-dime-mercury", "grade": "F12"})

    found = triage.answer(kit, "E1-1").found

    assert found is not None
    assert found.verdict is Verdict.KEEP
    assert found.reason.startswith("Wanted: the set the album keeps it.")


def test_candidates_are_dates_that_sorters_look_for_or_that_have_a_price_of_their_own(kit: Kit) -> None:
    rows = {"kind-1": "us-dime-mercury#1926-S", "amount-1": "2", "kind-2": "us-dime-mercury#1944-P", "amount-2": "9"}
    sorting.sort(kit, {"heap": "L1", **rows, "kind-3": "us-dime-mercury#1921-D", "amount-3": "1"})

    names = [one.heap.issue for one in triage.candidates(kit)]
    lay(kit, heap="L1/us-dime-mercury/1921-D", what="")

    assert names == ["1921-D", "1926-S"]
    assert [one.heap.issue for one in triage.candidates(kit)] == ["1926-S"]


def test_a_metal_without_a_price_is_said() -> None:
    poor = kit_in_memory(today=date(2026, 11, 25), currency="EUR", catalog=CATALOG)
    purchase.buy(poor, {"on": "2026-01-05", "kind-1": "us-dime-mercury", "amount-1": "5", "price-1": "9"})
    pieces.lay(poor, {"label": "E1", "heap": "L1", "what": "us-dime-mercury#1921-D", "band": "G4"})

    (answer,) = triage.answers(poor)

    assert answer.found is None
    assert "no price of silver" in answer.wrong


def test_the_persons_figures_read_back_as_they_were_set_down(kit: Kit) -> None:
    form = {
        "threshold": "4.50",
        "hour_worth": "12",
        "pieces_per_hour": "700",
        "against": "bid",
        "grading": "apart",
        "stale_after": "200",
    }
    put_judging(kit, form)

    now = judging(kit)

    assert (now.threshold, now.against, now.grading, now.stale_after) == (D("4.5"), Against.BID, Grading.APART, 200)
    assert judging_fields(now) == {**form, "threshold": "4.5"}
    with pytest.raises(Faults, match="against"):
        put_judging(kit, {"against": "face"})
    assert flaw_fields(flaw_shares(kit)) == {"cleaned": "50", "details": "50", "mounted": "30", "holed": "metal"}


def test_ways_out_and_fees_read_back_as_they_were_set_down(kit: Kit) -> None:
    put_grader(kit, fees_form())

    form = collector_fields(collector_named(kit, "the online sale"))
    fees = grader_fields(grader_named(kit, ""))

    assert {name: text for name, text in form.items() if text} == {
        "name": "the online sale",
        "pct_of_sheet": "100",
        "fee_pct": "13",
        "fee": "0.4",
        "postage": "5",
        "minutes": "15",
        "least": "15",
    }
    assert fees["tiers"] == "300: 22\n1500: 40\nany: 90"
    with pytest.raises(NotFoundError, match="the club table"):
        collector_named(kit, "nobody")
    with pytest.raises(Faults) as error:
        put_collector(kit, {"name": "", "fee_pct": "130", "minutes": "soon"})
    assert {fault.where for fault in error.value.faults} == {"name", "fee_pct", "minutes"}


def test_fees_are_read_by_their_limits() -> None:
    assert read_tiers("up to 1,500: $40\nover = 90") == [{"fee": "40", "up_to": "1500"}, {"fee": "90"}]
    with pytest.raises(UnreadableError, match="300: 22"):
        read_tiers("cheap")


def test_faults_of_fees_stand_at_their_fields(kit: Kit) -> None:
    with pytest.raises(Faults) as error:
        put_grader(kit, {"name": "", "tiers": "cheap", "read_on": "spring"})
    assert {fault.where for fault in error.value.faults} == {"name", "tiers", "read_on"}


def test_outcomes_are_read_line_by_line() -> None:
    first, second, third = read_outcomes("MS61: 50%\nMS62 = 0.2, 900\nMS60 details: 30%")

    assert (str(first.band), first.chance, second.price) == ("MS61", D("0.5"), D(900))
    assert third.band.details == "details"
    with pytest.raises(UnreadableError, match="MS61: 50%"):
        read_outcomes("probably fine")


def test_faults_of_grading_stand_at_their_fields(kit: Kit) -> None:
    with pytest.raises(Faults) as error:
        grading(kit, {"what": "", "raw": "zz", "outcomes": "MS61: 50%", "declared": "", "fees": "", "end": "best"})

    assert {fault.where for fault in error.value.faults} == {"what", "raw", "outcomes", "declared", "fees", "end"}
    put_grader(kit, fees_form())
    form = {"what": "us-dollar-peace#1921-P", "raw": "VF20", "outcomes": "VF20: 100%", "declared": "50"}
    with pytest.raises(Faults, match="No sheet of yours lists us-dollar-peace"):
        grading(kit, form)
