"""Rings at the desk: listened to, kept as known with what vouches for them, held against, booked as tests."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.assay.evidence import Outcome
from ninefine.assay.ring_heard import Call, Heard, Partial, Remark
from ninefine.book import entries
from ninefine.desk.bench import all_benches
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload
from ninefine.desk.ring import book_ring, decay_words, hold, hz_words, listen, read_kind, ring_sentence
from ninefine.desk.ring_bank import KnownRing, bank, forget_ring, keep_ring, known_rings, ring_from
from ninefine.errors import Faults, NotFoundError
from ninefine.testing import kit_in_memory

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
MORGAN = "us-dollar-morgan"
KNOWN = {"label": "the 1921", "kind": "morgan dollar", "is": "sound", "known_by": "weight, gravity"}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2026, 11, 25))


@pytest.fixture(scope="module")
def dollar() -> Heard:
    return listen((EXAMPLES / "ring-dollar-a.flac").read_bytes(), "ring-dollar-a.flac")


@pytest.fixture(scope="module")
def other() -> Heard:
    return listen((EXAMPLES / "ring-dollar-b.flac").read_bytes(), "ring-dollar-b.flac")


@pytest.fixture(scope="module")
def copper() -> Heard:
    return listen((EXAMPLES / "ring-copper.flac").read_bytes(), "ring-copper.flac")


def test_the_examples_are_heard_as_they_were_made(dollar: Heard, copper: Heard) -> None:
    """Against the figures in builders/ring_examples.py, through sixteen bits and a file."""
    assert dollar.clear
    assert [one.hz for one in dollar.partials] == pytest.approx([4602, 4617, 8126, 10930, 18760], rel=1e-4)
    assert [one.decay for one in dollar.partials] == pytest.approx([0.31, 0.28, 0.19, 0.22, 0.10], rel=0.05)
    assert [one.hz for one in copper.partials] == pytest.approx([5960, 5977, 10560, 14160], rel=1e-4)


def test_a_known_ring_decides_and_a_flat_disc_does_not(kit: Kit, dollar: Heard, other: Heard, copper: Heard) -> None:
    kind = read_kind(kit, "morgan dollar")
    assert hold(kit, other, kind).evidence.outcome is Outcome.UNSURE

    keep_ring(kit, dollar, KNOWN)

    assert hold(kit, other, kind).evidence.outcome is Outcome.PASSED
    failed = hold(kit, copper, kind)
    assert failed.evidence.outcome is Outcome.FAILED
    assert "it fits copper, " in failed.evidence.says

    keep_ring(kit, copper, {**KNOWN, "label": "a copper disc", "is": "other", "made_of": "copper disc"})
    assert "it fits your known copper disc, copper or brass better" in hold(kit, copper, kind).evidence.says
    assert hold(kit, other, kind).evidence.outcome is Outcome.PASSED


def test_a_kept_ring_reads_back_and_is_struck_off(kit: Kit, dollar: Heard) -> None:
    keep_ring(kit, dollar, {**KNOWN, "on": "2026-11-20"})
    (one,) = bank(kit)

    assert (one.label, one.kind, one.sound, one.known_by) == ("the 1921", MORGAN, True, "weight, gravity")
    assert one.on == date(2026, 11, 20)
    assert one.strikes == 3
    assert [partial.hz for partial in one.partials] == pytest.approx([one.hz for one in dollar.partials], abs=0.01)
    assert len(known_rings(kit, MORGAN)) == 1
    assert not known_rings(kit, "us-dollar-peace")
    assert kit.journal.faults() == ()

    forget_ring(kit, "the 1921")

    assert not bank(kit)
    with pytest.raises(NotFoundError, match="no known ring"):
        forget_ring(kit, "the 1921")


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"label": ""}, "label"),
        ({"label": "x" * 61}, "label"),
        ({"kind": "moon dust"}, "kind"),
        ({"kind": ""}, "kind"),
        ({"known_by": ""}, "known_by"),
        ({"is": "perhaps"}, "is"),
        ({"is": "other", "made_of": ""}, "made_of"),
        ({"on": "2027-01-01"}, "on"),
    ],
)
def test_each_fault_of_a_known_ring_stands_at_its_field(
    kit: Kit, dollar: Heard, changed: dict[str, str], field: str
) -> None:
    with pytest.raises(Faults) as told:
        keep_ring(kit, dollar, KNOWN | changed)

    assert [fault.where for fault in told.value.faults] == [field]
    assert not kit.journal.records()


def test_a_name_that_is_taken_needs_a_word(kit: Kit, dollar: Heard, other: Heard) -> None:
    keep_ring(kit, dollar, KNOWN)
    with pytest.raises(Faults, match="known ring has this name"):
        keep_ring(kit, other, KNOWN)

    keep_ring(kit, other, KNOWN | {"anew": "yes"})

    (one,) = bank(kit)
    assert one.partials[0].hz == pytest.approx(4531, abs=0.1)


def test_a_recording_with_something_wrong_is_not_kept(kit: Kit, dollar: Heard) -> None:
    wrong = replace(dollar, remarks=(Remark(call=Call.CLIPPED, says="It was too loud."),))

    with pytest.raises(Faults, match=r"Only a clear recording can be kept: It was too loud\."):
        keep_ring(kit, wrong, KNOWN)


def test_a_ring_is_booked_as_a_test_with_its_recording(kit: Kit, dollar: Heard, other: Heard) -> None:
    keep_ring(kit, dollar, KNOWN)
    data = (EXAMPLES / "ring-dollar-b.flac").read_bytes()
    before = len(kit.journal.records())

    form = {"piece": "the nick", "on": "2026-11-24", "note": "over a cloth"}
    stored = book_ring(kit, other, read_kind(kit, MORGAN), form, [Upload(name="ring-dollar-b.flac", data=data)])

    assert len(kit.journal.records()) == before + 1
    assert isinstance(stored.entry, entries.Tested)
    (line,) = stored.entry.lines
    assert (line.test, line.ground, line.outcome) == ("ring", "sound", "passed")
    assert line.figures[0].unit == "Hz"
    assert float(line.figures[0].value) == pytest.approx(4531, abs=0.1)
    assert kit.journal.attachment(stored.entry.attachments[0].sha256) == data
    (one,) = all_benches(kit)
    assert "ring" not in one.verdict.not_done


def test_a_ring_is_booked_of_a_named_piece_alone(kit: Kit, dollar: Heard) -> None:
    with pytest.raises(Faults):
        book_ring(kit, dollar, read_kind(kit, MORGAN), {})

    assert not kit.journal.records()


def test_a_damaged_row_is_told_field_by_field() -> None:
    with pytest.raises(Faults) as told:
        ring_from("x", {"sound": "yes", "partials": [{"hz": "loud", "hz_u": "0.1", "decay_ms": "2", "more": "1"}]})

    where = {fault.where for fault in told.value.faults}
    assert {"kind", "partials 1: hz", "partials 1: decay_u_ms", "partials 1: more"} <= where


hertz = st.floats(400, 20_000)
small = st.floats(0.01, 50)


@given(
    hz=hertz,
    hz_u=small,
    decay=st.floats(0.005, 3.0),
    level=st.floats(-50, 0),
    strikes=st.integers(1, 12),
    sound=st.booleans(),
)
def test_any_ring_survives_the_book_s_table(
    hz: float, hz_u: float, decay: float, level: float, strikes: int, *, sound: bool
) -> None:
    partial = Partial(hz=hz, hz_u=hz_u, decay=decay, decay_u=0.001, level=level, strikes=strikes)
    made_of = "" if sound else "tin"
    one = KnownRing(label="a", kind=MORGAN, sound=sound, made_of=made_of, strikes=strikes, partials=(partial,))

    back = ring_from("a", one.as_dict())

    assert replace(back, partials=()) == replace(one, partials=())
    (found,) = back.partials
    assert found.hz == pytest.approx(hz, abs=0.006)
    assert found.decay == pytest.approx(decay, abs=6e-6)
    assert found.level == pytest.approx(level, abs=0.06)
    assert found.strikes == strikes


@pytest.mark.parametrize(
    ("hz", "hz_u", "words"),
    [
        (4461.234, 0.001, "4,461.23 ± 0.01 Hz"),
        (4461.234, 0.34, "4,461.2 ± 0.3 Hz"),
        (10930.6, 2.6, "10,931 ± 3 Hz"),
        (4461.2, 0.0951, "4,461.2 ± 0.1 Hz"),
    ],
)
def test_a_frequency_is_told_no_finer_than_it_is_known(hz: float, hz_u: float, words: str) -> None:
    assert hz_words(Partial(hz=hz, hz_u=hz_u, decay=0.2, decay_u=0.0023, level=0.0)) == words


def test_a_decay_is_told_in_milliseconds() -> None:
    assert decay_words(Partial(hz=4000.0, hz_u=0.1, decay=0.2, decay_u=0.0023, level=0.0)) == "200 ± 2 ms"


def test_what_was_heard_is_a_sentence(dollar: Heard) -> None:
    silent = Heard(seconds=1.0, rate=48_000, remarks=(Remark(call=Call.NO_STRIKE, says="No strike was found."),))

    assert ring_sentence(dollar).startswith("3 strikes in 2.3 s, 5 partials; the strongest lies at 4,602.0")
    assert ring_sentence(silent) == "No strike was found."
