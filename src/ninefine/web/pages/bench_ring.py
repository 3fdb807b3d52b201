"""By ear: a struck piece recorded or handed in, listened to on its own thread, held against known rings, booked."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ninefine.assay.ring_heard import CAUTIONS, HIGHEST_HZ, Heard, Partial
from ninefine.catalog.kinds import Kind
from ninefine.desk import ring as desk
from ninefine.desk.heaps import say_goods
from ninefine.desk.records import Upload
from ninefine.desk.ring_bank import KnownRing, bank, forget_ring, keep_ring
from ninefine.errors import NotFoundError, UnreadableError
from ninefine.papers.charts_ring import HEIGHT, Awaited, Sounding, ring_lines
from ninefine.web.charts import Picture
from ninefine.web.forms import Form, read_form
from ninefine.web.guard import HEADERS
from ninefine.web.jobs import asks_again
from ninefine.web.ledger import Column, Ledger, Row, Weight
from ninefine.web.pages.bench_show import kinds, typed_kind, ways
from ninefine.web.pages.booked import BOOKED, lead_on, said
from ninefine.web.rings import SOON, RingJob
from ninefine.web.visit import Visit, done, shown

if TYPE_CHECKING:
    from ninefine.assay.ring_verdict import Comparison

STAGE = "bench"
#: The form for a recording may ask for the microphone; no other page may.
MICROPHONE = HEADERS["Permissions-Policy"].replace("microphone=()", "microphone=(self)")
_FILE = "recording"
_TEST = ("piece", "heap", "count", "on", "note")
_KNOWN = ("label", "is", "made_of", "known_by", "anew")


def page(visit: Visit, status: int = 200) -> Response:
    """How to strike a piece, the form for a recording, and the known rings."""
    if not visit.form.values:
        visit.form = Form(starting={"kind": visit.asked("kind")})
    answer = visit.page(
        "bench_ring.html",
        stage=STAGE,
        status=status if visit.form.ok else 400,
        said=said(visit),
        words=visit.asked("said"),
        cannot=desk.CANNOT,
        cautions=CAUTIONS,
        kinds=_kinds(visit),
        jobs=[(job, _state(job)) for job in visit.house.rings.jobs()],
        table=_bank(visit, bank(visit.kit)),
        labels=[one.label for one in bank(visit.kit)],
        ways=ways(visit, "bench_ring"),
    )
    answer.headers["Permissions-Policy"] = MICROPHONE
    return answer


def _kinds(visit: Visit) -> list[tuple[str, str]]:
    return [("", "Not said, or typed beside"), *kinds(visit)[1:]]


def _state(job: RingJob) -> str:
    if job.heard is not None:
        return desk.ring_sentence(job.heard)
    return job.fault or f"Being listened to: strike {job.done} of {job.of}."


def _bank(visit: Visit, known: tuple[KnownRing, ...]) -> Ledger:
    catalog = visit.kit.catalog()
    return Ledger(
        caption="Your known rings",
        columns=(
            Column(key="label", head="Piece"),
            Column(key="kind", head="Kind"),
            Column(key="is", head="It is"),
            Column(key="known_by", head="Known by"),
            Column(key="partials", head="Partials, Hz"),
        ),
        rows=[
            Row(
                cells={
                    "label": one.label,
                    "kind": say_goods(one.kind, "", catalog),
                    "is": "sound" if one.sound else one.made_of,
                    "known_by": one.known_by or None,
                    "partials": ", ".join(f"{partial.hz:,.0f}" for partial in one.partials[:6]),
                },
                weight=Weight.PLAIN if one.sound else Weight.QUIET,
                note="" if one.on is None else f"recorded {one.on.isoformat()}",
            )
            for one in known
        ],
        empty="No ring is known yet.",
    )


def _read(visit: Visit) -> tuple[Response, RingJob | None]:
    """Begin to listen to a recording that was sent."""
    form = visit.form
    typed_kind(visit)
    name, data = form.files.get(_FILE, ("", b""))
    if not data:
        form.values.setdefault(_FILE, [])
        form.blame(UnreadableError("Choose a recording, or record one here.", instead=("a WAV", "a FLAC")), field=_FILE)
    kind = _kind(visit)
    if not form.ok:
        return page(visit, 400), None
    job = visit.house.rings.begin(data, name, "" if kind is None else kind.slug)
    return visit.goto("bench_ring.one", token=job.token), job


def read(visit: Visit) -> Response:
    """Begin to listen, and wait a moment outside the turn of the pages: most recordings are done by then."""
    with visit.house.turn:
        answer, job = _read(visit)
    if job is not None:
        job.settled.wait(SOON)
    return answer


async def sent(request: Request) -> Response:
    """The route of `read`: its form key is checked as everywhere; only the turn is taken otherwise."""
    form = await read_form(request, request.app.state.house.keys)
    return await run_in_threadpool(read, Visit(request, form))


def _kind(visit: Visit) -> Kind | None:
    """What the piece is taken for; a fault is put under the field in which it was typed."""
    form, text = visit.form, visit.form.text("kind")
    if not text:
        return None
    try:
        return desk.read_kind(visit.kit, text)
    except NotFoundError as error:
        form.blame(error, field="other" if form.text("other") else "kind")
        return None


def _job(visit: Visit) -> RingJob:
    """The recording that the address names.

    Raises:
        NotFoundError: it is no longer kept.
    """
    job = visit.house.rings.job(visit.part("token"))
    if job is None:
        raise NotFoundError(
            "This recording is no longer kept: it was dropped, or ninefine was started anew.",
            expected="Record the piece again.",
        )
    return job


def one(visit: Visit) -> Response:
    """A recording: how far listening is, or what was heard."""
    return _one(visit, _job(visit))


def _one(visit: Visit, job: RingJob, status: int = 200, *, of: str = "") -> Response:
    """Its page; `of` names the form that was sent and refused."""
    if not job.settled.is_set():
        return asks_again(visit.page("bench_ring_wait.html", stage=STAGE, job=job))
    if job.heard is None:
        return visit.page("bench_ring_fault.html", stage=STAGE, status=400, job=job)
    heard, kit = job.heard, visit.kit
    kind = kit.kind_or_none(job.kind) if job.kind else None
    found = None if kind is None else desk.hold(kit, heard, kind)
    if not visit.form.values:
        visit.form = Form(
            starting={"on": kit.today().isoformat(), "kind": job.kind, "is": "sound", "label": visit.asked("label")}
        )
    return visit.page(
        "bench_ring_one.html",
        stage=STAGE,
        status=status,
        job=job,
        heard=heard,
        sentence=desk.ring_sentence(heard),
        kind=kind,
        kind_words="" if kind is None else say_goods(kind.slug, "", kit.catalog()),
        found=found,
        partials=_partials(heard),
        picture=_picture(visit, heard, found) if heard.partials else None,
        held=None if found is None or found.own is None or not heard.clear else _held(found),
        cannot=desk.CANNOT,
        kinds=_kinds(visit),
        said=said(visit),
        may_attach=job.name.lower().endswith((".wav", ".flac")),
        ways=ways(visit),
        of=of,
    )


def _partials(heard: Heard) -> Ledger:
    return Ledger(
        caption=f"Partials, averaged over {len(heard.strikes)} strike{'' if len(heard.strikes) == 1 else 's'}",
        columns=(
            Column(key="hz", head="Lies at"),
            Column(key="decay", head="Dies to a third in"),
            Column(key="level", head="Under the strongest"),
            Column(key="strikes", head="In strikes"),
        ),
        rows=[
            Row(
                cells={
                    "hz": desk.hz_words(partial),
                    "decay": desk.decay_words(partial),
                    "level": f"{abs(partial.level):.0f} dB",
                    "strikes": f"{partial.strikes} of {len(heard.strikes)}",
                }
            )
            for partial in heard.partials
        ],
        empty="No partial stands clear.",
    )


def _held(found: "Comparison") -> Ledger:
    return Ledger(
        caption="What it was held against, the best first",
        columns=(
            Column(key="name", head="Rings as"),
            Column(key="rests", head="Rests on"),
            Column(key="lowest", head="Expected from"),
            Column(key="likely", head="As likely as some other ring"),
        ),
        rows=[
            Row(
                cells={
                    "name": one.family.name,
                    "rests": _rests(found, one.family.pieces),
                    "lowest": f"{one.family.hertz[0]:,.0f} Hz, give or take {100 * one.family.apart:.0f}%",
                    "likely": desk.likely_words(one),
                },
                weight=Weight.PLAIN if one.family.sound else Weight.QUIET,
            )
            for one in found.held
            if one.family.places
        ],
    )


def _rests(found: "Comparison", pieces: int) -> str:
    if pieces:
        return f"{pieces} known piece{'' if pieces == 1 else 's'}"
    return "a flat disc" if found.decided_by is None else "your known pieces, in that metal"


def _picture(visit: Visit, heard: Heard, found: "Comparison | None") -> Picture:
    lines = [_sounding(partial) for partial in heard.partials]
    bands = [] if found is None else _bands(found)
    told = "; ".join(f"{desk.hz_words(partial)}, {desk.decay_words(partial)}" for partial in heard.partials)
    behind = {True: " Bands: where your known pieces' partials lie.", False: ""}[bool(bands)]
    if bands and found is not None and found.decided_by is None:
        behind = " The band: where a flat disc of this size would ring lowest."
    return visit.picture(
        partial(ring_lines, lines, bands),
        alt=f"Partials and how each dies away. {told}.",
        caption=f"Each line is a partial, drawn as long as it is heard and paler as it dies.{behind}",
        size=(720, HEIGHT),
    )


def _sounding(one: Partial) -> Sounding:
    return Sounding(hz=one.hz, decay_ms=1000.0 * one.decay, level=min(0.0, one.level), words=f"{one.hz:,.0f}")


def _bands(found: "Comparison") -> list[Awaited]:
    """The known pieces' partials, two standard deviations to each side; of a flat disc the lowest alone."""
    if found.own is None:
        return []
    family = found.own.family
    wide = 2.0 * (family.apart**2 + family.each**2) ** 0.5
    places = family.hertz if found.decided_by is not None else family.hertz[:1]
    words = f"{found.name}, as known" if found.decided_by is not None else f"{family.name}, as a flat disc"
    return [
        Awaited(
            low=hz * (1.0 - wide),
            high=min(hz * (1.0 + wide), HIGHEST_HZ),
            words=words if place == len(places) - 1 else "",
        )
        for place, hz in enumerate(places)
    ]


def again(visit: Visit) -> Response:
    """Hold the same recording against another kind."""
    job = _job(visit)
    typed_kind(visit)
    kind = _kind(visit)
    if not visit.form.ok:
        return _one(visit, job, 400, of="again")
    job.kind = "" if kind is None else kind.slug
    return visit.goto("bench_ring.one", token=job.token)


def book(visit: Visit) -> Response:
    """Book what was heard as a test of a piece."""
    job = _job(visit)
    heard, kind = _settled(visit, job)
    form = visit.form
    files = [Upload(name=job.name, data=job.data)] if form.ticked("attach") else []
    typed = {name: form.text(name) for name in _TEST}
    stored = form.attempt(desk.book_ring, visit.kit, heard, kind, typed, files)
    if stored is None:
        return _one(visit, job, 400, of="book")
    return visit.goto("bench_tested", asking={BOOKED: str(stored.serial)}, entry=stored.serial)


def keep(visit: Visit) -> Response:
    """Keep what was heard among the known rings."""
    job = _job(visit)
    heard, kind = _settled(visit, job)
    typed: Mapping[str, str] = {name: visit.form.text(name) for name in _KNOWN}
    stored = visit.form.attempt(keep_ring, visit.kit, heard, {**typed, "kind": kind.slug})
    if stored is None:
        return _one(visit, job, 400, of="keep")
    return lead_on(visit, stored, "bench_ring", kind=kind.slug)


def _settled(visit: Visit, job: RingJob) -> tuple[Heard, Kind]:
    """What was heard, and what it is taken for.

    Raises:
        NotFoundError: one of them is not there.
    """
    if job.heard is None:
        raise NotFoundError("This recording was not listened to.", expected="Record the piece again.")
    if not job.kind:
        raise NotFoundError("Nothing was said of what the piece is taken for.", expected="Say its kind first.")
    return job.heard, visit.kit.catalog().kind(job.kind)


def drop(visit: Visit) -> Response:
    """Forget a recording."""
    visit.house.rings.drop(_job(visit).token)
    return visit.goto("bench_ring", asking={"said": "The recording was dropped. Nothing of it is kept."})


def forget(visit: Visit) -> Response:
    """Strike a known ring off; the journal keeps it."""
    return lead_on(visit, forget_ring(visit.kit, visit.form.text("label")), "bench_ring")


routes = [
    shown("/bench/ring", page, name="bench_ring"),
    Route("/bench/ring/read", sent, methods=["POST"], name="bench_ring.read"),
    done("/bench/ring/forget", forget, name="bench_ring.forget"),
    shown("/bench/ring/{token}", one, name="bench_ring.one"),
    done("/bench/ring/{token}/again", again, name="bench_ring.again"),
    done("/bench/ring/{token}/book", book, name="bench_ring.book"),
    done("/bench/ring/{token}/keep", keep, name="bench_ring.keep"),
    done("/bench/ring/{token}/drop", drop, name="bench_ring.drop"),
]
