"""The tray: a picture of pieces read on its own thread, what it shows, and its strip laid beside a tally."""

from collections.abc import Mapping
from decimal import Decimal

from starlette.responses import Response

from ninefine.assay.tray import COVER, Flag, Piece, Tray
from ninefine.desk import tray as desk
from ninefine.desk.papers import sheet_for
from ninefine.desk.tray_seen import book_seen
from ninefine.errors import NotFoundError, UnreadableError
from ninefine.measure.numbers import read_reference
from ninefine.papers.as_pdf import Sheet, read_sheet
from ninefine.papers.tray_sheet import tray_sheet
from ninefine.web.forms import Form
from ninefine.web.jobs import asks_again
from ninefine.web.ledger import Column, Ledger, Of, Row, Weight
from ninefine.web.trays import TrayJob
from ninefine.web.visit import Visit, done, shown

STAGE = "bench"
#: What is typed with a picture.
TYPED = ("expect", "dpi", "ruler", "known")
_FILE = "picture"


def page(visit: Visit, status: int = 200) -> Response:
    """How to lay a tray, the sheet, and the form for a picture."""
    return visit.page(
        "bench_tray.html",
        stage=STAGE,
        status=status if visit.form.ok else 400,
        jobs=[(job, _state(job)) for job in visit.house.trays.jobs()],
        sheets=[(size, words) for size, words in (("letter", "Letter"), ("a4", "A4"))],
        usual="a4" if sheet_for(visit.kit) is Sheet.A4 else "letter",
        said=visit.asked("said"),
        cannot=desk.CANNOT,
    )


def _state(job: TrayJob) -> str:
    if job.laid is not None:
        return desk.tray_sentence(job.laid.tray)
    return job.fault or f"Being read: {job.stage}."


def read(visit: Visit) -> Response:
    """Begin to read a picture that was sent."""
    form = visit.form
    name, data = form.files.get(_FILE, ("", b""))
    if not data:
        form.values.setdefault(_FILE, [])
        form.blame(UnreadableError("Choose a picture.", instead=("a JPEG", "a PNG", "a TIFF")), field=_FILE)
    asked = form.attempt(desk.wanted, visit.kit.catalog(), form.fields)
    if asked is None or not form.ok:
        return page(visit, 400)
    job = visit.house.trays.begin(data, name, asked, {key: form.text(key) for key in TYPED})
    return visit.goto("bench_tray.one", token=job.token)


def _job(visit: Visit) -> TrayJob:
    """The tray that the address names.

    Raises:
        NotFoundError: it is no longer kept.
    """
    job = visit.house.trays.job(visit.part("token"))
    if job is None:
        raise NotFoundError(
            "This tray is no longer kept: its picture was dropped, or ninefine was started anew.",
            expected="Read the picture again.",
        )
    return job


def one(visit: Visit) -> Response:
    """A tray: how far its reading is, or what it shows."""
    return _one(visit, _job(visit))


def _one(visit: Visit, job: TrayJob, status: int = 200) -> Response:
    if not job.settled.is_set():
        return asks_again(visit.page("bench_tray_wait.html", stage=STAGE, job=job))
    if job.laid is None:
        visit.form = Form(starting=job.typed)
        return visit.page("bench_tray_fault.html", stage=STAGE, status=400, job=job)
    tray = job.laid.tray
    if not visit.form.values:
        visit.form = Form(starting=job.typed)
    return visit.page(
        "bench_tray_one.html",
        stage=STAGE,
        status=status,
        job=job,
        tray=tray,
        sentence=desk.tray_sentence(tray),
        look=desk.look_again(tray),
        pieces=_pieces(tray),
        odd=[(piece.number, words) for piece in tray.pieces for words in piece.words],
        strip=strip_of(visit, job),
        tallies=[(str(one.number), f"Tally {one.number}: {one.title}") for one in visit.kit.tallies.open_tallies()],
        cannot=desk.CANNOT,
        said=visit.asked("said"),
    )


def _pieces(tray: Tray) -> Ledger:
    return Ledger(
        caption="Pieces, numbered in rows from the top",
        columns=(
            Column(key="number", head="Piece"),
            Column(key="size", head="Size"),
            Column(key="wide", head="Diameter", of=Of.FIGURE, unit="mm"),
            Column(key="within", head="95% within", of=Of.FIGURE, unit="mm"),
            Column(key="look", head="To look at"),
        ),
        rows=[
            Row(
                cells={
                    "number": str(piece.number),
                    "size": piece.size or None,
                    "wide": _mm(piece.diameter),
                    "within": _mm(None if piece.uncertainty is None else COVER * piece.uncertainty),
                    **({"look": ", ".join(sorted(piece.flags))} if piece.flags else {}),
                },
                weight=Weight.LOOK if piece.flags else Weight.PLAIN,
            )
            for piece in tray.pieces
        ],
        empty="No piece was found.",
    )


def _mm(value: float | None) -> Decimal | None:
    return None if value is None else Decimal(f"{value:.2f}")


def strip_of(visit: Visit, job: TrayJob) -> list[Mapping[str, object]]:
    """The strip as a template draws it: each piece's number, picture, size, and whether to look."""
    if job.laid is None:
        return []
    return [
        {
            "number": piece.number,
            "src": visit.path_to("bench_tray.piece", token=job.token, number=piece.number),
            "words": _caption(piece),
            "odd": bool(piece.flags),
        }
        for piece in job.laid.tray.pieces
    ]


def _caption(piece: Piece) -> str:
    if Flag.UNSURE in piece.flags:
        return "unsure"
    odd = ", ".join(sorted(piece.flags))
    return " ".join(part for part in (piece.size, f"({odd})" if odd else "") if part)


def picture(visit: Visit) -> Response:
    """The tray with its circles, or all its pieces on one sheet."""
    job = _job(visit)
    if job.laid is None:
        raise NotFoundError("This tray is not read.")
    return _jpeg(job.laid.marked if visit.part("what") == "marked" else job.laid.sheet)


def piece(visit: Visit) -> Response:
    """One piece by itself."""
    job, number = _job(visit), read_reference(visit.part("number")) or 0
    if job.laid is None or not 1 <= number <= len(job.laid.strip):
        raise NotFoundError(f"This tray has no piece {visit.part('number')[:10]}.")
    return _jpeg(job.laid.strip[number - 1])


def _jpeg(data: bytes) -> Response:
    # an address is never used for another picture, so a browser may keep it while ninefine runs
    return Response(data, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=3600"})


def sheet(visit: Visit) -> Response:
    """The tray sheet as PDF."""
    size = visit.part("size")
    made = tray_sheet(read_sheet(size), black=visit.asked("ground") == "black")
    heads = {"Content-Disposition": f'attachment; filename="tray-sheet-{read_sheet(size)}.pdf"'}
    return Response(made, media_type="application/pdf", headers=heads)


def again(visit: Visit) -> Response:
    """Read the same picture with other words about it."""
    job = _job(visit)
    asked = visit.form.attempt(desk.wanted, visit.kit.catalog(), visit.form.fields)
    if asked is None:
        return _one(visit, job, 400)
    new = visit.house.trays.begin(job.data, job.name, asked, {key: visit.form.text(key) for key in TYPED})
    return visit.goto("bench_tray.one", token=new.token)


def keep(visit: Visit) -> Response:
    """Keep a tray's pictures in the book."""
    job, form = _job(visit), visit.form
    if job.laid is None:
        raise NotFoundError("This tray is not read.")
    original = job.data if form.ticked("original") else None
    stored = form.attempt(desk.keep_tray, visit.kit, job.laid, form.fields, original)
    if stored is None:
        return _one(visit, job, 400)
    words = f"Entry {stored.serial}: the tray's pictures are kept."
    return visit.goto("bench_tray.one", token=job.token, asking={"said": words})


def test(visit: Visit) -> Response:
    """Book a piece's size as a test, with its picture."""
    job, form = _job(visit), visit.form
    if job.laid is None:
        raise NotFoundError("This tray is not read.")
    stored = form.attempt(book_seen, visit.kit, job.laid, form.fields)
    if stored is None:
        return _one(visit, job, 400)
    words = f"Entry {stored.serial}: piece {form.text('number')} is booked as tested."
    return visit.goto("bench_tray.one", token=job.token, asking={"said": words})


def beside(visit: Visit) -> Response:
    """Lay a tray's strip beside a tally, and lead there."""
    job = _job(visit)
    number = visit.form.text("tally")
    tallies = {str(one.number): one for one in visit.kit.tallies.open_tallies()}
    if number not in tallies:
        visit.form.blame(NotFoundError("Choose an open tally.", instead=list(tallies)[:6]), field="tally")
        return _one(visit, job, 400)
    visit.house.trays.lay_beside(int(number), job.token)
    return visit.goto("tally", number=int(number))


def drop(visit: Visit) -> Response:
    """Forget a tray and its picture."""
    visit.house.trays.drop(_job(visit).token)
    return visit.goto("bench_tray", asking={"said": "The picture was dropped. Nothing of it is kept."})


routes = [
    shown("/bench/tray", page, name="bench_tray"),
    done("/bench/tray/read", read, name="bench_tray.read"),
    shown("/bench/tray/sheet/{size}", sheet, name="bench_tray.sheet", at_once=True),
    shown("/bench/tray/{token}", one, name="bench_tray.one"),
    shown("/bench/tray/{token}/picture/{what}", picture, name="bench_tray.picture", at_once=True),
    shown("/bench/tray/{token}/piece/{number}", piece, name="bench_tray.piece", at_once=True),
    done("/bench/tray/{token}/again", again, name="bench_tray.again"),
    done("/bench/tray/{token}/keep", keep, name="bench_tray.keep"),
    done("/bench/tray/{token}/test", test, name="bench_tray.test"),
    done("/bench/tray/{token}/beside", beside, name="bench_tray.beside"),
    done("/bench/tray/{token}/drop", drop, name="bench_tray.drop"),
]
