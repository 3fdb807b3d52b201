"""By ear, as pages: a recording sent, listened to on its own thread, held against known rings, booked if asked."""

import io
from datetime import date
from pathlib import Path
from threading import Event

import httpx
import pytest
import soundfile

from ninefine.assay.ring_heard import Heard
from ninefine.book import entries as book
from ninefine.desk.kit import Kit
from ninefine.desk.ring import Tell, listen
from ninefine.desk.ring_bank import bank, keep_ring
from ninefine.errors import NotFoundError
from ninefine.testing import kit_in_memory
from ninefine.web import rings
from ninefine.web.guard import HEADERS
from ninefine.web.rings import RingShelf
from web import told
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, send_file, text_of

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
MORGAN = "us-dollar-morgan"


@pytest.fixture(scope="module")
def recording() -> bytes:
    return (EXAMPLES / "ring-dollar-b.flac").read_bytes()


@pytest.fixture(scope="module")
def known() -> Heard:
    return listen((EXAMPLES / "ring-dollar-a.flac").read_bytes(), "ring-dollar-a.flac")


@pytest.fixture
def kit(known: Heard) -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    keep_ring(made, known, {"label": "the 1921", "kind": MORGAN, "is": "sound", "known_by": "weight, gravity"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def send(house: Caller, data: bytes, name: str = "ring-dollar-b.flac", **typed: str) -> httpx.Response:
    """Send a recording as the page's form does."""
    return send_file(house, "/bench/ring/read", ("recording", name, data, "audio/flac"), **typed)


def settled(house: Caller, sent: httpx.Response) -> httpx.Response:
    """The recording's page once it was listened to."""
    return told.settled(house, sent, "being listened to")


@pytest.fixture
def heard(house: Caller, recording: bytes) -> str:
    """The address of a recording that was listened to."""
    return str(settled(house, send(house, recording, kind=MORGAN)).url.path)


def test_an_empty_bank_is_taught(app_caller: AppCaller) -> None:
    page = house_of(kit_in_memory(), app_caller).get("/bench/ring")

    assert page.status_code == 200
    assert "What goes here" in page.text
    assert "Do not strike proofs" in page.text


def test_the_microphone_is_open_to_the_form_alone(house: Caller, heard: str) -> None:
    """Every other page, and every page of a recording, keeps it shut; all else stays as it is everywhere."""
    policy = house.get("/bench/ring").headers["permissions-policy"]

    assert policy == HEADERS["Permissions-Policy"].replace("microphone=()", "microphone=(self)")
    assert "microphone=(self)" in policy
    for path in ("/bench", heard, "/book"):
        assert house.get(path).headers["permissions-policy"] == HEADERS["Permissions-Policy"]
    for header in ("content-security-policy", "referrer-policy"):
        assert house.get("/bench/ring").headers[header] == house.get("/bench").headers[header]


def test_a_recording_is_shown_with_nothing_kept(house: Caller, kit: Kit, recording: bytes) -> None:
    before = entries(kit)
    page = settled(house, send(house, recording, kind=MORGAN))
    said = text_of(page.text)

    assert page.status_code == 200
    assert "It rings as your known piece of Morgan dollar does, 1.5% lower as a whole" in said
    assert "4,531.00 ± 0.01 Hz" in said
    assert "your known pieces, in that metal" in said
    assert "Weight and specific gravity settle what a ring leaves open." in said
    assert "genuine" not in said
    assert page.text.count("<picture") == 1
    assert entries(kit) == before
    assert "ring-dollar-b.flac" in house.get("/bench/ring").text


def test_without_a_kind_only_the_partials_are_shown(house: Caller, recording: bytes) -> None:
    page = settled(house, send(house, recording))

    assert "the strongest lies at 4,531.00" in text_of(page.text)
    assert "Book it as a test" not in page.text
    held = settled(house, house.post(f"{page.url.path}/again", {"other": "morgan dollar"}))
    assert "It rings as your known piece" in text_of(held.text)
    assert "Book it as a test" in held.text


def test_a_kind_without_known_rings_is_held_against_a_flat_disc(house: Caller, recording: bytes) -> None:
    page = text_of(settled(house, send(house, recording, kind="us-dollar-peace")).text)

    assert "You keep no known ring of this kind. A flat disc of its size in silver .900 would ring lowest" in page
    assert "A flat disc decides nothing" in page


def test_what_is_typed_wrong_stands_at_its_field(house: Caller, kit: Kit, recording: bytes, heard: str) -> None:
    before = entries(kit)
    for sent, fields in (
        (send(house, recording, other="moon dust"), {"other"}),
        (house.post("/bench/ring/read", {"kind": MORGAN}), {"recording"}),
        (house.post(f"{heard}/again", {"other": "moon dust"}), {"other"}),
        (house.post(f"{heard}/book", {"on": "2027-01-01", "piece": ""}), {"piece", "on"}),
        (house.post(f"{heard}/keep", {"label": "", "is": "sound", "known_by": ""}), {"label", "known_by"}),
    ):
        assert sent.status_code == 400
        told = {
            name
            for name in ("piece", "heap", "on", "label", "known_by", "other", "recording")
            if f'id="{name}-fault"' in sent.text
        }
        assert told == fields
        assert sent.text.count("Nothing was written.") == 1
    assert faults_of(house.post(f"{heard}/book", {"on": "2027-01-01", "piece": ""}).text) == {"on", "piece"}
    for path in ("read", "forget"):
        assert foreign(house, f"/bench/ring/{path}", {"kind": MORGAN}) == 403
    for path in ("again", "book", "keep", "drop"):
        assert foreign(house, f"{heard}/{path}", {"piece": "x"}) == 403
    assert entries(kit) == before


def test_a_ring_is_booked_by_one_entry_with_its_recording(
    house: Caller, kit: Kit, recording: bytes, heard: str
) -> None:
    before = entries(kit)
    booked = house.post(f"{heard}/book", {"piece": "the nick", "on": "2026-11-25", "attach": "yes"})

    assert booked.status_code == 303
    assert entries(kit) == before + 1
    assert "Tested the nick: ring passed" in text_of(house.get(booked.headers["location"]).text)
    entry = kit.journal.records()[-1].entry
    assert isinstance(entry, book.Tested)
    assert kit.journal.attachment(entry.attachments[0].sha256) == recording


def test_a_ring_is_kept_as_known_and_struck_off(house: Caller, kit: Kit, heard: str) -> None:
    before = entries(kit)
    kept = house.post(f"{heard}/keep", {"label": "the second", "is": "sound", "known_by": "weight"})

    assert (kept.status_code, entries(kit)) == (303, before + 1)
    page = house.get(kept.headers["location"]).text
    assert "Set down the ring &#39;the second&#39;." in page
    assert f'value="{MORGAN}" selected' in page
    assert [one.label for one in bank(kit)] == ["the 1921", "the second"]

    struck = house.post("/bench/ring/forget", {"label": "the second"})
    assert (struck.status_code, entries(kit)) == (303, before + 2)
    assert [one.label for one in bank(kit)] == ["the 1921"]
    assert house.post("/bench/ring/forget", {"label": "the second"}).status_code == 404


def test_what_is_no_recording_is_told(house: Caller) -> None:
    page = settled(house, send(house, b"not a sound at all", "notes.txt"))

    assert page.status_code == 400
    assert "notes.txt is no recording that can be read." in text_of(page.text)


def test_a_recording_with_something_wrong_is_called_so(house: Caller, recording: bytes) -> None:
    """Cut off soon after the first strike."""
    sound, rate = soundfile.read(io.BytesIO(recording))
    cut = io.BytesIO()
    soundfile.write(cut, sound[: round(0.27 * rate)], rate, format="WAV")
    page = settled(house, send(house, cut.getvalue(), "cut.wav", kind=MORGAN))

    assert "Called too short. What is heard of such a recording decides nothing." in text_of(page.text)
    assert "Keep it as known" not in page.text


def test_a_recording_is_dropped_and_no_longer_found(house: Caller, heard: str) -> None:
    assert house.post(f"{heard}/drop", {}).status_code == 303
    assert house.get(heard).status_code == 404
    assert house.post(f"{heard}/book", {"piece": "x"}).status_code == 404


def test_pages_answer_while_a_recording_is_listened_to(house: Caller, monkeypatch: pytest.MonkeyPatch) -> None:
    """The work holds no turn: another page answers, this one says how far it is, and it can be stopped."""
    monkeypatch.setattr(rings, "SOON", 0.0)
    monkeypatch.setattr("ninefine.web.pages.bench_ring.SOON", 0.01)
    go, begun = Event(), Event()

    def slow(_data: bytes, _name: str, tell: Tell | None) -> Heard:
        assert tell is not None
        tell(1, 3)
        begun.set()
        assert go.wait(10)
        tell(2, 3)
        raise AssertionError("a stopped recording goes on")

    house.app.state.house.rings._read = slow
    sent = send(house, b"x")
    assert begun.wait(10)
    waits = house.get(sent.headers["location"])
    assert waits.headers["refresh"] == "1"
    assert "1 of 3 strikes" in text_of(waits.text)
    assert house.get("/book").status_code == 200
    job = house.app.state.house.rings.jobs()[0]
    assert house.post(f"{sent.headers['location']}/drop", {}).status_code == 303
    go.set()
    assert job.settled.wait(10)
    assert job.fault == "Listening was stopped."


def test_the_shelf_keeps_the_latest_and_tells_what_went_wrong() -> None:
    def broken(data: bytes, _name: str, _tell: Tell | None) -> Heard:
        raise (NotFoundError("Gone.") if data == b"known" else ZeroDivisionError)

    shelf = RingShelf(broken, most=2)
    jobs = [shelf.begin(data, "a", "") for data in (b"known", b"other", b"other")]

    for job in jobs:
        assert job.settled.wait(10)
    assert shelf.job(jobs[0].token) is None
    assert [one.token for one in shelf.jobs()] == [jobs[2].token, jobs[1].token]
    assert "ZeroDivisionError" in jobs[2].fault
    assert jobs[0].fault in {"Gone.", "Listening was stopped."}
