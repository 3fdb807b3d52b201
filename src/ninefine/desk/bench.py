"""The bench as a person uses it: tests are booked with what they read and said, and joined piece by piece."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial

from ninefine.assay.evidence import Evidence, Figure, Ground, Outcome
from ninefine.assay.verdict import HEAP_TESTS, TESTS, WARE_TESTS, Verdict, verdict
from ninefine.book.chain import Stored
from ninefine.book.entries import Attachment, Tested, TestedFigure, TestedLine
from ninefine.book.holdings import Heap
from ninefine.book.said import HeapRef
from ninefine.book.standing import standing
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import read_heap, say_heap
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload, media_of
from ninefine.errors import NotFoundError


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What is tested: a heap, pieces of it, or a piece that is not in the book.

    Attributes:
        heap: the heap; none for a piece that is not in the book.
        piece: the person's own words for one piece; empty for the heap as a whole.
        count: how many pieces were tested; none where not said.
        kind: the slug of what it is taken for; empty where nothing is.
    """

    heap: Heap | None = None
    piece: str = ""
    count: int | None = None
    kind: str = ""


def read_subject(kit: Kit, fields: Fields) -> Subject:
    """What a form says is tested. Fields: `heap`, `piece`, `count`, `kind` (a slug; the heap's own if left out)."""
    heap = fields.read("heap", partial(read_heap, kit.holdings()), None)
    piece, kind = fields.raw("piece"), fields.raw("kind") or ("" if heap is None else heap.kind)
    if not piece and not fields.raw("heap"):
        fields.fault("piece", "Say which piece, in your own words, or name a heap of the book.")
    if len(piece) > 200:
        fields.fault("piece", "At most 200 characters are kept; put the rest in the note.")
    if kind and (heap is None or kind != heap.kind):
        kind = fields.read("kind", lambda text: read_named(kit.catalog(), text).kind.slug, "")
    count = fields.count("count")
    if heap is not None and count is not None and heap.count is not None and count > heap.count:
        fields.fault("count", f"The heap holds {heap.count} pieces.")
    return Subject(heap=heap, piece=piece, count=count, kind=kind)


def book_test(
    kit: Kit, form: Mapping[str, str], evidence: Sequence[Evidence], uploads: Sequence[Upload] = ()
) -> Stored:
    """Book tests of one piece or heap, with the verdict of these tests and files that belong to them.

    Fields: `on`, `heap`, `piece`, `count`, `kind`, `note`; a heap or a piece must be named.

    Raises:
        Faults: every fault of the form and of each file.
        BookError: the heap holds less than was tested.
    """
    fields = Fields(form, source="the test")
    on = fields.past_day("on", kit.today())
    subject = read_subject(kit, fields)
    files = [upload for upload in uploads if upload.name]
    media = [fields.read_value("files", upload, media_of) for upload in files]
    if not evidence:
        fields.fault("", "No test was made, so there is nothing to book.")
    fields.done()
    kept = tuple(
        kit.journal.attach(upload.name, kind or "", upload.data) for upload, kind in zip(files, media, strict=True)
    )
    return kit.journal.append(
        Tested(
            on=on,
            heap=None if subject.heap is None else subject.heap.ref,
            piece=subject.piece,
            count=subject.count,
            kind=subject.kind,
            lines=tuple(_line(one) for one in evidence),
            verdict=verdict(evidence).finding.value,
            attachments=kept,
            note=fields.raw("note"),
        )
    )


def _line(one: Evidence) -> TestedLine:
    return TestedLine(
        test=one.test,
        ground=one.ground.value,
        outcome=one.outcome.value,
        against=one.against,
        says=one.says,
        figures=tuple(
            TestedFigure(
                name=read.name, value=read.value, uncertainty=read.uncertainty, unit=read.unit, typed=read.typed
            )
            for read in one.figures
        ),
        would_settle=one.would_settle,
        beyond_wear=one.beyond_wear,
    )


def evidence_of(line: TestedLine) -> Evidence:
    """A kept line as evidence again, in the words that were said then."""
    return Evidence(
        test=line.test,
        ground=Ground(line.ground),
        outcome=Outcome(line.outcome),
        against=line.against,
        says=line.says,
        figures=tuple(
            Figure(name=read.name, value=read.value, uncertainty=read.uncertainty, unit=read.unit, typed=read.typed)
            for read in line.figures
        ),
        would_settle=line.would_settle,
        beyond_wear=line.beyond_wear,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """One piece or heap with every test that was booked of it, joined.

    Attributes:
        name: what it goes by in an address: the first entry that tested it.
        words: it in words.
        heap: the heap as it was named; none for a piece that is not in the book.
        piece: the person's words for it.
        kind: what it was last taken for.
        serials: the entries, first to last.
        last: the day of the last test.
        verdict: what the tests come to.
        attachments: files kept with them.
        grams: its last weight, where one was read.
    """

    name: int
    words: str
    heap: HeapRef | None
    piece: str
    kind: str
    serials: tuple[int, ...]
    last: date
    verdict: Verdict
    attachments: tuple[Attachment, ...]
    grams: Decimal | None


def benches(kit: Kit, *, first: int = 0, most: int = 50) -> tuple[Bench, ...]:
    """Every piece and heap that was tested, the last tested first; `most` of them from the `first`."""
    return all_benches(kit)[first : first + most]


def all_benches(kit: Kit) -> tuple[Bench, ...]:
    """Every piece and heap that was tested, the last tested first."""
    return kit.keep("benches", lambda: _benches(kit))


def bench(kit: Kit, name: int) -> Bench:
    """One of them, by any of its entries.

    Raises:
        NotFoundError: no such entry of tests, or it was withdrawn.
    """
    for one in all_benches(kit):
        if name in one.serials:
            return one
    last = [str(one.serials[-1]) for one in all_benches(kit)[:4]]
    raise NotFoundError(f"Entry {name} is not one of tests that stand.", instead=last)


def _benches(kit: Kit) -> tuple[Bench, ...]:
    groups: dict[tuple[HeapRef | None, tuple[str, ...], str], list[tuple[int, Tested]]] = {}
    for _, serial, fact in standing(kit.journal.records()):
        if isinstance(fact, Tested):
            key = (fact.heap, fact.lots, " ".join(fact.piece.lower().split()))
            groups.setdefault(key, []).append((serial, fact))
    found = [_bench(kit, entries) for entries in groups.values()]
    return tuple(sorted(found, key=lambda one: (one.last, one.serials[-1]), reverse=True))


def _bench(kit: Kit, entries: Sequence[tuple[int, Tested]]) -> Bench:
    _, latest = entries[-1]
    lines = [line for _, fact in entries for line in fact.lines]
    weights = [read.value for line in lines for read in line.figures if line.test == "weight" and read.name == "weight"]
    words = latest.piece
    if latest.heap is not None:
        words = f"{words}, of {say_heap(latest.heap, kit.catalog())}" if words else say_heap(latest.heap, kit.catalog())
    elif latest.lots:
        words = f"{words}, lot {', '.join(latest.lots)}".removeprefix(", ")
    return Bench(
        name=entries[0][0],
        words=words,
        heap=latest.heap,
        piece=latest.piece,
        kind=next((fact.kind for _, fact in reversed(entries) if fact.kind), ""),
        serials=tuple(serial for serial, _ in entries),
        last=latest.on,
        verdict=verdict((evidence_of(line) for line in lines), tests=_tests_of(latest, lines)),
        attachments=tuple(file for _, fact in entries for file in fact.attachments),
        grams=weights[-1] if weights else None,
    )


def _tests_of(latest: Tested, lines: Sequence[TestedLine]) -> Sequence[tuple[str, Ground]]:
    """Which tests can be made of what was tested."""
    made = {line.test for line in lines}
    if made & {"mark", "ware-weight"}:
        return WARE_TESTS
    whole = not latest.piece and latest.count != 1
    return HEAP_TESTS if whole or made & {"heap-weight", "hidden-mix"} else TESTS
