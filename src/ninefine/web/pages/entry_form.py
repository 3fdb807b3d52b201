"""Entries by form, the same for each: asked for, shown as they would be booked, changed or booked.

A form says how the desk reads it and what its page shows; the way from the form to the book is here, once.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from ninefine.book.entries import Fact
from ninefine.book.gains import GainRow
from ninefine.book.holdings import Heap
from ninefine.book.share import ZERO
from ninefine.desk.amounts import say_amount
from ninefine.desk.heaps import heap_name, say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.lots import since
from ninefine.desk.sellable import Sellable, named_heaps, sellable
from ninefine.desk.trial import LotChange, Trial, book, try_out
from ninefine.errors import BookError
from ninefine.web.format import money
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Value, Weight
from ninefine.web.pages.asked import first_of, turned
from ninefine.web.pages.booked import BOOKED, lead_on
from ninefine.web.pages.rows import asks_for_more, lift, row_numbers, rows_shown
from ninefine.web.visit import Visit, done, shown

#: Heaps to choose from on one page.
A_PAGE = 20
#: Lots that a preview shows one by one; any more are counted.
MOST_SHOWN = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryForm:
    """A form for one kind of entry.

    Attributes:
        name: its route; its path is `/entries/` with the same.
        title: its heading.
        words: what it is for, in one sentence.
        read: reads it at the desk, without booking.
        stems: the fields of its rows of goods; empty where it has none.
        heaps: the fields of its rows of heaps held, without `heap` and `take`; empty where it has none.
        coming: whether what is on its way may be chosen too.
        more: what else the form's page is given.
        beside: ledgers that a preview shows beside the lots.
    """

    name: str
    title: str
    words: str
    read: Callable[[Kit, Mapping[str, str]], Fact]
    stems: tuple[str, ...] = ()
    heaps: tuple[str, ...] = ()
    coming: bool = False
    more: Callable[[Visit], Mapping[str, Any]] = field(default=lambda _: {})
    beside: Callable[[Visit, Mapping[str, str]], Sequence[Ledger]] = field(default=lambda _visit, _asked: ())


def routes_of(form: EntryForm) -> list[Route]:
    """The form's two routes: to ask for it, and to show, change or book what it says."""

    def page(visit: Visit) -> Response:
        """The form, with a lot's or a heap's name where one comes from its page."""
        starting = {"on": visit.kit.today().isoformat()}
        starting |= {name: visit.asked(name) for name in ("lot", "kind", "lots", "heap", "of") if visit.asked(name)}
        visit.form = Form(starting=starting)
        first = first_of(visit)
        heaps = visit.form.attempt(_heaps_of, visit, form, first) if form.heaps else None
        return _sheet(visit, form, heaps or (), first=first)

    def take(visit: Visit) -> Response:
        """Show what would be booked, go back to the form, or book it."""
        return _taken(visit, form)

    path = f"/entries/{form.name}"
    return [shown(path, page, name=f"entry.{form.name}"), done(path, take, name=f"entry.{form.name}.book")]


def _heaps_of(visit: Visit, form: EntryForm, first: int) -> tuple[Sellable, ...]:
    lot, kind = visit.asked("lot"), visit.asked("kind")
    return sellable(visit.kit, lot=lot, kind=kind, first=first, most=A_PAGE + 1, coming=form.coming)


def _taken(visit: Visit, form: EntryForm) -> Response:
    sent, do = visit.form, visit.form.text("do")
    heaps = _heaps_sent(visit, form)
    if do == "change" or asks_for_more(sent):
        return _sheet(visit, form, heaps)
    asked = fields_of(sent, form)
    entry = sent.attempt(form.read, visit.kit, asked)
    trial = None if entry is None else sent.attempt(try_out, visit.kit, entry)
    if trial is None:
        lift(sent, "heap")
        return _sheet(visit, form, heaps, status=400)
    if do != "book":
        return _preview(visit, form, trial, asked)
    return _booked(visit, form, trial, asked)


def _booked(visit: Visit, form: EntryForm, trial: Trial, asked: Mapping[str, str]) -> Response:
    """Book it, if the book is still the one that was shown; lead on to a lot that it touches."""
    sent = visit.form
    if sent.text("serial") != str(trial.serial):
        sent.blame(BookError("The book has changed since this was worked out. Look at it again, then book it."))
    stored = sent.attempt(book, visit.kit, trial) if sent.ok else None
    if stored is None:
        return _preview(visit, form, trial, asked, status=409)
    if not trial.lots:
        return lead_on(visit, stored, "entries")
    return visit.goto("lot", lot=_leading(trial.lots), asking={BOOKED: str(stored.serial)})


def _leading(lots: Sequence[LotChange]) -> str:
    """The lot whose page is shown when all is done: the first that is new, else the first that changed."""
    return next((one.name for one in lots if one.before is None), lots[0].name)


def fields_of(sent: Form, form: EntryForm) -> dict[str, str]:
    """The desk's form: of the heaps shown, only those that were ticked or of which something is said."""
    fields = sent.trimmed
    if not form.heaps:
        return fields
    numbers = [name.removeprefix("heap-") for name in fields if name.startswith("heap-")]
    said = [
        number
        for number in numbers
        if sent.ticked(f"take-{number}") or any(sent.text(f"{stem}-{number}") for stem in form.heaps)
    ]
    left_out = {f"{stem}-{number}" for number in numbers if number not in said for stem in ("heap", *form.heaps)}
    return {name: text for name, text in fields.items() if name not in left_out}


def _heaps_sent(visit: Visit, form: EntryForm) -> tuple[Sellable, ...]:
    names = [text for name, text in visit.form.fields.items() if name.startswith("heap-")]
    return named_heaps(visit.kit, tuple(names), coming=form.coming) if form.heaps else ()


def _sheet(visit: Visit, form: EntryForm, heaps: Sequence[Sellable], *, first: int = 0, status: int = 200) -> Response:
    kept = {name: visit.form.text(name) for name in ("lot", "kind") if visit.form.text(name)}
    more, here = len(heaps) > A_PAGE, heaps[:A_PAGE]
    numbers = row_numbers(visit.form, "heap", [one.name for one in here])
    context = {
        "entry": form,
        "action": visit.path_to(f"entry.{form.name}.book"),
        "goods": rows_shown(visit.form, "goods", *form.stems) if form.stems else [],
        "heaps": [(number, one.name, *_about(visit, one)) for number, one in zip(numbers, here, strict=True)],
        "newer": turned(visit, f"entry.{form.name}", first - A_PAGE, **kept) if first else "",
        "older": turned(visit, f"entry.{form.name}", first + A_PAGE, **kept) if more else "",
    }
    return visit.page(
        f"entry_{form.name}.html",
        stage="holdings",
        status=status if visit.form.ok else max(status, 400),
        **{**context, **form.more(visit)},
    )


def _about(visit: Visit, one: Sellable) -> tuple[str, str]:
    """A heap in words, and what is known of its lot."""
    lot = visit.kit.holdings().lots[one.heap.lot]
    cost = f"cost {money(one.heap.basis)}" if one.heap.cost_known else "nobody knows what it cost"
    place = f" at {one.heap.place}" if one.heap.place else ""
    goods = say_goods(one.heap.kind, one.heap.issue, visit.kit.catalog())
    words = f"Lot {lot.name}: {say_amount(one.heap.amount)} of {goods}{place}"
    return words, f"{since(lot.origin)}; {cost}" + ("; on its way" if lot.awaited else "")


def _preview(visit: Visit, form: EntryForm, trial: Trial, asked: Mapping[str, str], status: int = 200) -> Response:
    return visit.page(
        "entry_preview.html",
        stage="holdings",
        status=status,
        entry=form,
        action=visit.path_to(f"entry.{form.name}.book"),
        trial=trial,
        lots=lots_ledger(visit, trial),
        left=left_ledger(visit, trial.left),
        sent=[(name, text) for name, text in visit.form.fields.items() if name not in {"do", "serial"}],
        beside=form.beside(visit, asked),
    )


def lots_ledger(visit: Visit, trial: Trial) -> Ledger:
    """Each lot that would change, as it stands and as it would stand."""
    unit = visit.kit.journal.currency
    rows = [_lot_row(visit, one) for one in trial.lots[:MOST_SHOWN]]
    if len(trial.lots) > MOST_SHOWN:
        rows.append(Row(cells={"lot": f"and {len(trial.lots) - MOST_SHOWN} lots more"}, weight=Weight.QUIET))
    columns = [
        Column(key="lot", head="Lot"),
        Column(key="before", head="Held now"),
        Column(key="after", head="Held then"),
        Column(key="cost", head="Cost of that", of=Of.MONEY, unit=unit),
    ]
    if any(one.after.loss_basis is not None for one in trial.lots):
        columns.append(Column(key="loss", head="Basis for a loss", of=Of.MONEY, unit=unit))
    return Ledger(caption="Lots as they would stand", columns=columns, rows=rows, empty="No lot changes.")


def _lot_row(visit: Visit, one: LotChange) -> Row:
    before, after = one.before, one.after
    cells: dict[str, Value] = {
        "lot": one.name if before is None else Cell(value=one.name, href=visit.path_to("lot", lot=one.name)),
        "before": "nothing: it is new" if before is None else _held(visit, before.heaps),
        "after": _held(visit, after.heaps),
        "cost": sum((heap.basis for heap in after.heaps), ZERO) if after.cost_known else None,
    }
    if after.loss_basis is not None:
        cells["loss"] = after.loss_basis
    return Row(cells=cells, note=since(after.origin) + (", for the household's own use" if after.own_use else ""))


def _held(visit: Visit, heaps: Sequence[Heap]) -> str:
    if not heaps:
        return "nothing more"
    catalog = visit.kit.catalog()
    words = [f"{say_amount(heap.amount)} of {say_goods(heap.kind, heap.issue, catalog)}" for heap in heaps[:4]]
    return "; ".join(words) + (f"; and {len(heaps) - 4} more heaps" if len(heaps) > 4 else "")


def left_ledger(visit: Visit, rows: Sequence[GainRow]) -> Ledger | None:
    """What would leave, with basis, gain and term by the lots' own cost; none where nothing would."""
    if not rows:
        return None
    unit = visit.kit.journal.currency
    return Ledger(
        caption="What would leave the book",
        columns=(
            Column(key="what", head="What"),
            Column(key="net", head="Counts for, less fees", of=Of.MONEY, unit=unit),
            Column(key="basis", head="Basis", of=Of.MONEY, unit=unit),
            Column(key="gain", head="Gain", of=Of.MONEY, unit=unit, signed=True),
            Column(key="term", head="Term"),
        ),
        rows=[_left_row(visit, row) for row in rows],
    )


def _left_row(visit: Visit, row: GainRow) -> Row:
    gone = row.disposal
    goods = say_goods(gone.kind, gone.issue, visit.kit.catalog())
    paid = gone.left.for_money
    note = "" if paid else f"{gone.left.value}: it stands apart, and is in no total of gains"
    return Row(
        cells={
            "what": f"{say_amount(gone.amount)} of {goods}, lot {gone.lot}",
            "net": row.net,
            "basis": row.basis,
            "gain": row.gain if paid else None,
            "term": row.term.value,
        },
        note="; ".join(part for part in (note, row.note) if part),
    )


def heap_choices(visit: Visit, lot: str) -> list[tuple[str, str]]:
    """A lot's heaps as a list to pick from: whole names and words; empty where there is no such lot."""
    found = visit.kit.holdings().lots.get(lot)
    catalog = visit.kit.catalog()
    if found is None:
        return []
    return [
        (
            heap_name(heap),
            f"{say_amount(heap.amount)} of {say_goods(heap.kind, heap.issue, catalog)}"
            + (f" at {heap.place}" if heap.place else ""),
        )
        for heap in found.heaps
    ]
