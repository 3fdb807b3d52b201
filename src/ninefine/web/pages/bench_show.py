"""What the bench's pages share: tests as ledgers and pictures, the fields by which a test is booked, ways between."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from starlette.routing import NoMatchFound

from ninefine.assay.evidence import Evidence, Outcome
from ninefine.assay.gravity import Gravity
from ninefine.assay.heap_weight import HeapWeight
from ninefine.assay.hidden import HiddenMix, mix_words
from ninefine.assay.looks import EDGE_WORDS, MAGNET_WORDS
from ninefine.assay.piece_weight import PieceWeight
from ninefine.assay.sizes import Size
from ninefine.assay.wear import Band
from ninefine.desk.bench_tries import PieceTests
from ninefine.desk.instruments import instruments
from ninefine.desk.records import Upload
from ninefine.measure.reading import Reading
from ninefine.papers.charts_bench import BARS, FOOT, HEAD, LINE, Chance, ReadAt, SpanAt, chances, reading_among
from ninefine.web.charts import Picture
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.visit import Visit

BANDS = [("", "Not said"), *((band.value, band.value[0].upper() + band.value[1:]) for band in Band if band.value)]
MAGNETS = [("", "Not tried"), *((str(one), words[0].upper() + words[1:]) for one, words in MAGNET_WORDS.items())]
EDGES = [("", "Not looked at"), *((str(one), words[0].upper() + words[1:]) for one, words in EDGE_WORDS.items())]
#: Kinds offered in lists; any other is typed.
KINDS = (
    *("us-dime-90", "us-quarter-90", "us-half-90", "us-dollar-morgan", "us-dollar-peace", "us-half-40"),
    *("us-five-cent-wartime", "xag-us-eagle-1oz", "xag-generic-round-1oz"),
)
#: Bars of a roll's answers that are drawn.
_MOST_BARS = 16
#: The pages of the bench, those of ear and picture among them, where they are there.
_WAYS = (
    ("bench_piece", "One piece", "Weight, sizes, magnet, edge: one form, and what they come to"),
    ("bench_water", "In water", "Density by weighing dry and in water"),
    ("bench_roll", "A roll or a heap", "Its ounces and wear by scale, and what may hide in it"),
    ("bench_ring", "By ear", "A struck piece, recorded and read"),
    ("bench_tray", "By picture", "Pieces laid apart, counted and measured"),
    ("bench_ware", "Household ware", "Marks, weighted and hollow ware"),
    ("bench_own", "Your instruments", "Scales, calipers, thermometer, and how they were checked"),
)


def ways(visit: Visit, here: str = "") -> list[tuple[str, str, str]]:
    """The bench's pages: address, name, a word on each; those that are not there are left out."""
    found = []
    for name, words, note in _WAYS:
        try:
            address = visit.path_to(name)
        except NoMatchFound:  # a page that has no file yet
            continue
        if name != here:
            found.append((address, words, note))
    return found


def scales(visit: Visit) -> list[tuple[str, str]]:
    """The person's scales, for a list to pick from."""
    return [("", "By the digits typed"), *((name, name) for name in instruments(visit.kit).scales)]


def kinds(visit: Visit) -> list[tuple[str, str]]:
    """Kinds most often tested, for a list to pick from; the one that was asked for among them."""
    listed = dict.fromkeys(KINDS)
    asked = visit.form.text("kind")
    if asked and visit.kit.kind_or_none(asked) is not None:
        listed[asked] = None
    known = [visit.kit.kind_or_none(slug) for slug in listed]
    return [("", "As its heap, or typed below"), *((one.slug, one.name) for one in known if one is not None)]


def typed_kind(visit: Visit) -> None:
    """Let a kind that was typed in the field beside stand before the one in the list."""
    other = visit.form.text("other")
    if other:
        visit.form.values["kind"] = [other]


def uploads(visit: Visit) -> list[Upload]:
    """The files handed in with a test."""
    return [Upload(name=name, data=data) for name, data in visit.form.files.values()]


def evidence_ledger(evidence: Sequence[Evidence], caption: str = "The tests") -> Ledger:
    """Each test, how it came out and what it says."""
    return Ledger(
        caption=caption,
        columns=(
            Column(key="test", head="Test"),
            Column(key="outcome", head="Came out"),
            Column(key="says", head="What was read"),
        ),
        rows=[
            Row(
                cells={
                    "test": one.test.replace("-", " ").capitalize(),
                    "outcome": one.outcome.value,
                    "says": one.says,
                },
                weight=Weight.LOOK if one.outcome is Outcome.FAILED else Weight.PLAIN,
                note=one.would_settle if one.outcome is not Outcome.PASSED else "",
            )
            for one in evidence
        ],
        empty="No test was made.",
    )


def cautions(evidence: Sequence[Evidence]) -> list[str]:
    """Every caution of some tests, once."""
    return list(dict.fromkeys(caution for one in evidence for caution in one.cautions))


def _at(reading: Reading, unit: str, *, look: bool, places: int = 2) -> ReadAt:
    low, high = reading.interval()
    return ReadAt(value=reading.value, low=low, high=high, words=f"{reading.value:.{places}f} {unit}", look=look)


def _picture(visit: Visit, spans: list[SpanAt], read: ReadAt, *, unit: str, what: str) -> Picture:
    told = "; ".join(f"{one.name}: {one.words}" for one in spans)
    return visit.picture(
        partial(reading_among, spans, read, unit=unit),
        alt=f"{what} {read.words}, among the spans that it is held against. {told}.",
        caption=f"{what} as read, with what the reading leaves open (19 times in 20) as a band, among what it is held "
        "against.",
        size=(720, HEAD + LINE * len(spans) + FOOT),
    )


def _span(name: str, ends: tuple[float, float], unit: str, places: int = 2) -> SpanAt:
    low, high = ends
    return SpanAt(name=name, low=low, high=high, words=f"{low:.{places}f} to {high:.{places}f} {unit}")


def weight_picture(visit: Visit, found: PieceWeight) -> Picture:
    """One piece's weight among what the law let a new piece weigh, what its sort weighs, and what else weighs so."""
    span = found.span
    spans = [
        _span("a new piece, by law" if span.lawful else "a new piece, as taken", span.new, "g"),
        _span("99 in 100 of its sort", span.usual, "g"),
        _span("worn flat to as new", (span.least, span.new[1]), "g"),
    ]
    look = found.evidence.outcome is Outcome.FAILED
    return _picture(visit, spans, _at(found.reading, "g", look=look), unit="grams", what="The weight")


def size_picture(visit: Visit, found: Size) -> Picture:
    """A size among what a sound or worn piece measures."""
    look = found.evidence.outcome is Outcome.FAILED
    spans = [_span("its kind, sound or worn", found.between, "mm")]
    return _picture(visit, spans, _at(found.reading, "mm", look=look), unit="millimetres", what=f"The {found.what}")


def heap_picture(visit: Visit, found: HeapWeight) -> Picture | None:
    """A heap's weight among what its sort weighs; none where its pieces were not counted."""
    if found.expected is None or found.unworn_g is None:
        return None
    spans = [_span("99 heaps in 100 of its sort", found.expected, "g", 1)]
    if found.trade_g is not None:
        spans.append(_span("the trade's count to as struck", (found.trade_g, found.unworn_g), "g", 1))
    look = found.evidence.outcome is Outcome.FAILED
    return _picture(visit, spans, _at(found.weight, "g", look=look), unit="grams", what="The heap's weight")


def density_picture(visit: Visit, found: Gravity) -> Picture:
    """A density among those of what it may be made of."""
    near = [*found.fits, *found.fits_not][:7]
    if found.claimed is not None and found.claimed.name not in {one.name for one in near}:
        near = [found.claimed, *near[:6]]
    spans = [
        _span(one.name, (one.density - one.within, one.density + one.within), "g/cm³")
        for one in sorted(near, key=lambda one: one.density)
    ]
    look = found.evidence.outcome is Outcome.FAILED
    return _picture(visit, spans, _at(found.reading, "g/cm³", look=look), unit="g/cm³", what="The density")


def density_ledger(found: Gravity) -> Ledger:
    """What a density fits and does not fit, nearest first."""
    return Ledger(
        caption="What it may be made of, by density alone, nearest first",
        columns=(
            Column(key="name", head="Made of"),
            Column(key="density", head="Density", of=Of.FIGURE, unit="g/cm³"),
            Column(key="within", head="Within", of=Of.FIGURE, unit="g/cm³"),
            Column(key="fits", head="This piece"),
        ),
        rows=[
            Row(
                cells={
                    "name": one.name,
                    "density": Decimal(repr(one.density)),
                    "within": Decimal(repr(one.within)),
                    "fits": "may be" if one in found.fits else "is not",
                },
                note=one.source,
                weight=Weight.PLAIN if one in found.fits else Weight.QUIET,
            )
            for one in (*found.fits, *found.fits_not[:10])
        ],
    )


def doubt_ledger(reading: Reading, what: str) -> Ledger:
    """What a reading's uncertainty is made of, largest share first."""
    return Ledger(
        caption=f"What the {what} leaves open, and where that comes from",
        columns=(Column(key="name", head="Input"), Column(key="share", head="Share", of=Of.PERCENT, places=1)),
        rows=[
            Row(cells={"name": name, "share": Decimal(repr(100 * share))})
            for name, share in reading.shares()
            if share >= 0.001
        ],
        empty="Nothing is left open.",
    )


def mix_picture(visit: Visit, mix: HiddenMix) -> Picture | None:
    """How likely each number of the only stranger is; none where two kinds may hide."""
    if len(mix.strangers) != 1:
        return None
    likely = sorted(mix.answers[:_MOST_BARS], key=lambda one: one.strangers)
    rows = [Chance(number=one.strangers[0], percent=100 * one.likelihood) for one in likely if one.likelihood >= 0.005]
    return visit.picture(
        partial(chances, rows, unit=f"of {mix.strangers[0].kind.name} in the roll"),
        alt="How likely each number is. " + "; ".join(f"{one.number}: {one.percent:.0f}%" for one in rows) + ".",
        caption="How likely each number of strangers is by the weight alone, every number being taken as equally "
        "likely before.",
        size=(440, BARS),
    )


def mix_ledger(mix: HiddenMix) -> Ledger:
    """The answers that together hold 95%, most likely first."""
    return Ledger(
        caption="What may hide, most likely first; together these hold 95 in 100",
        columns=(
            Column(key="mix", head="Hidden"),
            Column(key="likelihood", head="Likelihood", of=Of.PERCENT, places=1),
            Column(key="weight", head="Such a roll weighs", of=Of.FIGURE, places=2, unit="g"),
        ),
        rows=[
            Row(
                cells={
                    "mix": mix_words(one.strangers, mix.strangers),
                    "likelihood": Decimal(repr(100 * one.likelihood)),
                    "weight": Decimal(repr(one.weight_g)),
                }
            )
            for one in mix.held[:40]
        ],
    )


def piece_pictures(visit: Visit, tests: PieceTests) -> list[Picture]:
    """A picture of every reading of one piece."""
    pictures = [] if tests.weight is None else [weight_picture(visit, tests.weight)]
    pictures += [size_picture(visit, size) for size in tests.sizes]
    return pictures if tests.gravity is None else [*pictures, density_picture(visit, tests.gravity)]


def entry_cell(visit: Visit, serial: int) -> Cell:
    """An entry's number, leading to it."""
    return Cell(value=str(serial), href=visit.path_to("entry", serial=serial))
