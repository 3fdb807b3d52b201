"""The tray's pages: a picture sent, read on its own thread, shown, kept only when asked, laid beside a tally."""

from datetime import date
from pathlib import Path
from threading import Event

import httpx
import pytest

from ninefine.book.entries import Noted
from ninefine.book.tested import Tested as BookedTest
from ninefine.catalog.shelf import load_catalog
from ninefine.desk import sorting
from ninefine.desk.kit import Kit
from ninefine.desk.purchase import buy
from ninefine.desk.tray import Laid, Tell, Wanted, look, wanted
from ninefine.errors import NotFoundError
from ninefine.testing import kit_in_memory
from ninefine.web.trays import TrayShelf
from web import told
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, send_file, text_of

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2026, 11, 25))


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


@pytest.fixture(scope="module")
def scan() -> bytes:
    return (EXAMPLES / "tray-scan.jpg").read_bytes()


@pytest.fixture
def read_before(house: Caller, laid: Laid) -> None:
    """The shelf answers with a tray that was read already: these tests are of pages."""
    house.app.state.house.trays._read = lambda *_: laid


@pytest.fixture(scope="module")
def laid(scan: bytes) -> Laid:
    return look(scan, "tray-scan.jpg", wanted(load_catalog(), {}))


def send(house: Caller, data: bytes, name: str = "tray-scan.jpg", **typed: str) -> httpx.Response:
    """Send a picture as the page's form does."""
    return send_file(house, "/bench/tray/read", ("picture", name, data, "image/jpeg"), **typed)


def settled(house: Caller, sent: httpx.Response) -> httpx.Response:
    """The tray's page once its picture has been read."""
    return told.settled(house, sent, "being read")


def test_the_page_teaches_and_offers_the_sheet(house: Caller) -> None:
    page = house.get("/bench/tray")

    assert page.status_code == 200
    assert "Lay pieces apart on dark card" in page.text
    assert "kept in the book only if you ask" in page.text
    for size in ("letter", "a4"):
        sheet = house.get(f"/bench/tray/sheet/{size}")
        assert sheet.headers["content-type"] == "application/pdf"
        assert sheet.content.startswith(b"%PDF")
    assert house.get("/bench/tray/sheet/a9").status_code == 404


def test_a_scan_is_read_shown_and_walked_with_nothing_kept(house: Caller, kit: Kit, scan: bytes) -> None:
    page = settled(house, send(house, scan))

    said = text_of(page.text)
    assert "14 pieces: 6 dimes, 2 half dollars, 5 quarters, 1 of no one size." in said
    assert "To look at: odd size 5; odd colour 14." in said
    assert "A diameter tells a size, not a metal" in said
    assert page.text.count("<li") >= 14
    assert page.text.count('loading="lazy"') == 14
    here = str(page.url.path)
    for path in (f"{here}/picture/marked", f"{here}/picture/pieces", f"{here}/piece/14"):
        picture = house.get(path)
        assert picture.headers["content-type"] == "image/jpeg"
        assert picture.content.startswith(b"\xff\xd8")
    assert house.get(f"{here}/piece/15").status_code == 404
    assert entries(kit) == 0
    assert "tray-scan.jpg" in house.get("/bench/tray").text


def test_what_is_typed_wrong_stands_at_its_field(house: Caller, scan: bytes) -> None:
    wrong = send(house, scan, expect="dimes, doubloons", ruler="12", dpi="many")

    assert wrong.status_code == 400
    assert faults_of(wrong.text) == {"expect", "ruler", "dpi"}
    none = house.post("/bench/tray/read", {"expect": ""})
    assert none.status_code == 400
    assert faults_of(none.text) == {"picture"}
    assert foreign(house, "/bench/tray/read", {"expect": "dimes"}) == 403


def test_what_is_no_picture_is_told_and_can_be_tried_again(house: Caller) -> None:
    page = settled(house, send(house, b"not a picture at all", "notes.txt", dpi="300"))

    assert page.status_code == 400
    assert "notes.txt is no picture that can be read." in text_of(page.text)
    assert 'value="300"' in page.text


def test_a_known_piece_sets_the_scale_anew(house: Caller, scan: bytes) -> None:
    page = settled(house, send(house, scan))
    again = settled(house, house.post(f"{page.url.path}/again", {"known": "4 = 24.26"}))

    assert "The scale is set by piece 4, taken as 24.26 mm wide." in text_of(again.text)
    refused = house.post(f"{page.url.path}/again", {"known": "a quarter"})
    assert (refused.status_code, faults_of(refused.text)) == (400, {"known"})


@pytest.mark.usefixtures("read_before")
def test_pictures_are_kept_by_one_entry_and_only_when_asked(house: Caller, kit: Kit, scan: bytes) -> None:
    page = settled(house, send(house, scan))

    wrong = house.post(f"{page.url.path}/keep", {"lots": "L9"})
    assert (wrong.status_code, faults_of(wrong.text), entries(kit)) == (400, {"lots"}, 0)
    kept = house.post(f"{page.url.path}/keep", {"text": "The first tray.", "original": "yes"})

    assert kept.status_code == 303
    assert entries(kit) == 1
    fact = kit.journal.records()[0].entry
    assert isinstance(fact, Noted)
    assert fact.text.startswith("The first tray. A tray: 14 pieces")
    assert [one.name for one in fact.attachments] == ["tray-marked.jpg", "tray-pieces.jpg", "tray-scan.jpg"]
    assert kit.journal.attachment(fact.attachments[2].sha256) == scan
    assert "Entry 1: the tray&#39;s pictures are kept." in house.get(kept.headers["location"]).text


@pytest.mark.usefixtures("read_before")
def test_a_piece_is_booked_as_tested_with_its_own_picture(house: Caller, kit: Kit, scan: bytes) -> None:
    """A dime held against a dime passes; piece 5, of an odd size, fails; a fault books nothing."""
    page = settled(house, send(house, scan))
    test = f"{page.url.path}/test"

    wrong = house.post(test, {"number": "15", "kind": "", "piece": "it"})
    assert (wrong.status_code, faults_of(wrong.text), entries(kit)) == (400, {"number", "kind"}, 0)
    dime = next(piece.number for piece in job_of(house, page).tray.pieces if piece.size == "dime")
    for number in (dime, 5):
        booked = house.post(test, {"number": str(number), "kind": "us-dime-90", "piece": f"number {number}"})
        assert booked.status_code == 303
    good, odd = (record.entry for record in kit.journal.records())

    assert isinstance(good, BookedTest)
    assert isinstance(odd, BookedTest)
    assert [(line.test, line.outcome) for line in (*good.lines, *odd.lines)] == [("tray", "passed"), ("tray", "failed")]
    assert "does not fit" in odd.lines[0].says
    assert [one.name for one in odd.attachments] == ["tray-piece-5.jpg"]
    assert kit.journal.attachment(odd.attachments[0].sha256).startswith(b"\xff\xd8")


def job_of(house: Caller, page: httpx.Response) -> Laid:
    """The tray that a page shows."""
    job = house.app.state.house.trays.job(page.url.path.rsplit("/", 1)[1])
    assert job is not None
    laid = job.laid
    assert isinstance(laid, Laid)
    return laid


@pytest.mark.usefixtures("read_before")
def test_the_strip_lies_beside_a_tally_as_numbered_pictures(house: Caller, kit: Kit, scan: bytes) -> None:
    tally = a_tally(kit)
    page = settled(house, send(house, scan))

    before = house.get(f"/sorting/tallies/{tally}").text
    led = house.post(f"{page.url.path}/beside", {"tally": str(tally)})
    board = house.get(led.headers["location"]).text

    assert "strip-panel" not in before
    assert led.headers["location"] == f"/sorting/tallies/{tally}"
    assert board.count('alt="Piece ') == 15  # fourteen and the one enlarged
    assert "tally-strip.js" in board
    assert 'id="mark"' in board
    refused = house.post(f"{page.url.path}/beside", {"tally": "99"})
    assert (refused.status_code, faults_of(refused.text)) == (400, {"tally"})
    house.post(f"{page.url.path}/drop", {})
    assert "strip-panel" not in house.get(f"/sorting/tallies/{tally}").text
    assert house.get(str(page.url.path)).status_code == 404


def a_tally(kit: Kit) -> int:
    """A tally of mixed coin."""
    buy(kit, {"on": "2026-02-01", "kind-1": "us-90", "amount-1": "100 face", "price-1": "2000", "place": "A1"})
    return sorting.begin(kit, "L1")


def asked_nothing() -> Wanted:
    return Wanted(sizes=())


def test_reading_goes_on_its_own_thread_and_can_be_stopped(scan: bytes) -> None:
    """The page is free while a picture is read; a reading that is dropped ends at its next word."""
    began, free, ended = Event(), Event(), Event()

    def slow(data: bytes, name: str, asked: Wanted, tell: Tell | None) -> Laid:
        assert tell is not None
        began.set()
        free.wait(10)
        try:
            tell("measuring edges", 3, 9)
        finally:
            ended.set()
        return look(data, name, asked, tell)

    shelf = TrayShelf(read=slow)
    job = shelf.begin(scan, "scan.jpg", asked_nothing(), {})
    assert began.wait(10)
    assert shelf.job(job.token) is job
    assert not job.settled.is_set()
    shelf.drop(job.token)
    free.set()

    assert ended.wait(10)
    assert job.settled.wait(10)
    assert job.laid is None
    assert job.fault == "Its reading was stopped."
    assert shelf.job(job.token) is None


def test_only_the_last_trays_are_kept_and_faults_are_told() -> None:
    def refuse(data: bytes, *_: object) -> Laid:
        if data == b"odd":
            raise ZeroDivisionError
        raise NotFoundError("No piece is seen in this picture.")

    shelf = TrayShelf(read=refuse, most=2)
    jobs = [shelf.begin(data, "x.jpg", asked_nothing(), {}) for data in (b"first", b"second", b"odd")]

    assert all(job.settled.wait(10) for job in jobs)
    assert shelf.job(jobs[0].token) is None
    assert shelf.jobs() == [jobs[2], jobs[1]]
    assert jobs[1].fault == "No piece is seen in this picture."
    assert "ZeroDivisionError" in jobs[2].fault
