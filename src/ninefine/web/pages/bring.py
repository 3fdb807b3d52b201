"""Book: a person's own list of purchases, holdings or sales, looked at as it would be booked, and brought in."""

import base64
import binascii
import zlib

from starlette.responses import Response

from ninefine.book.entries import Listed
from ninefine.desk.bring import Look, bring, look_at
from ninefine.desk.sale import RULE_WORDS, RULES
from ninefine.errors import InputError, RangeError
from ninefine.intake.book_columns import COLUMNS, Purpose
from ninefine.intake.columns import LEFT_OUT
from ninefine.intake.day_order import DayOrder
from ninefine.intake.heads import words_of
from ninefine.intake.number_marks import DecimalMark
from ninefine.intake.spreadsheet import LARGEST
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Row, Weight
from ninefine.web.visit import Visit, done, shown

#: Lines and faults of a list that are shown before it is booked.
SHOWN = 50
#: What is sent along until it is booked, packed; a larger list is brought in from the command line.
MOST_PACKED = 1_500_000
_PURPOSES = {
    Purpose.PURCHASES: "purchases",
    Purpose.HOLDINGS: "what was held before the book",
    Purpose.SALES: "sales",
    Purpose.DEALINGS: "purchases and sales mixed",
}


def page(visit: Visit) -> Response:
    """An empty form."""
    visit.form = Form(starting={"as": Purpose.PURCHASES.value})
    return _page(visit, None)


def put(visit: Visit) -> Response:
    """Look at a list as it would be booked, or book it."""
    form = visit.form
    try:
        name, data = _handed_in(form)
    except InputError as error:
        form.values.setdefault("file", [""])
        form.blame(error, field="file")
        return _page(visit, None, status=400)
    seen = form.attempt(look_at, visit.kit, form.fields, name, data)
    if seen is None:
        return _page(visit, None, status=400)
    if form.text("do") != "put" or "file" in form.files or seen.faults:
        return _page(visit, seen, status=400 if seen.faults else 200)
    stored = form.attempt(bring, visit.kit, form.fields, name, data)
    if stored is None:
        return _page(visit, seen, status=400)
    facts = [one.serial for one in stored if not isinstance(one.entry, Listed)]
    which = f"Entry {facts[0]} was" if len(facts) == 1 else f"Entries {facts[0]} to {facts[-1]} were"
    return visit.goto("book", asking={"said": f"{which} booked from {name[:60]}."})


def _handed_in(form: Form) -> tuple[str, bytes]:
    """The list: a file, else what was looked at before, else what was pasted.

    Raises:
        InputError: there is none, or it is too large to be sent along.
    """
    if "file" in form.files:
        name, data = form.files["file"]
    elif form.text("table"):
        name, data = "the pasted list", form.text("table").encode()
    elif form.text("held"):
        return form.text("name") or "the list", _unpacked(form.text("held"))
    else:
        raise RangeError("There is no list yet.", expected="Hand a file in, or paste one.")
    packed = base64.b64encode(zlib.compress(data)).decode("ascii")
    if len(data) > LARGEST or len(packed) > MOST_PACKED:
        raise RangeError("The list is too large for a page.", expected="The command line takes it: `ninefine bring`.")
    form.values |= {"held": [packed], "name": [name], "table": [""]}
    return name, data


def _unpacked(text: str) -> bytes:
    try:
        unpacker = zlib.decompressobj()
        data = unpacker.decompress(base64.b64decode(text, validate=True), LARGEST)
    except (binascii.Error, zlib.error, ValueError) as error:
        raise RangeError("The list was not sent whole.", expected="Hand it in once more.") from error
    if not unpacker.eof:
        raise RangeError("The list was not sent whole, or is too large.", expected="Hand it in once more.")
    return data


def _page(visit: Visit, seen: Look | None, *, status: int = 200) -> Response:
    form = visit.form
    if seen is not None:
        for number, heading in enumerate(seen.headings, 1):
            form.values[f"col-{number}"] = [heading.name if heading.name in {*COLUMNS, LEFT_OUT} else ""]
        for name, said in (("days", seen.said.get("days")), ("decimals", seen.said.get("decimals"))):
            form.values[name] = [str(said or "")]
    return visit.page(
        "bring.html",
        stage="book",
        status=status,
        seen=seen,
        what=_PURPOSES[seen.purpose] if seen else "",
        purposes=[(each.value, words) for each, words in _PURPOSES.items()],
        columns=_columns(seen),
        words=_words(form, seen),
        rules=[("", "as the book has it"), *((name, RULE_WORDS[name]) for name in RULES)],
        days=[("", "as the list tells"), *((each.value, each.value) for each in DayOrder)],
        decimals=[("", "as the list tells"), *((each.value, f"after a {each.value}") for each in DecimalMark)],
        sheets=[(each, each) for each in seen.table.sheets] if seen and len(seen.table.sheets) > 1 else [],
        lines=_lines(seen) if seen else None,
        passed=_passed(seen) if seen and seen.passed_over else None,
        faults=_faults(seen) if seen and seen.faults else None,
        more=max(0, len(seen.lines) - SHOWN) if seen else 0,
        before=visit.path_to("entry", serial=seen.before) if seen and seen.before else "",
        kinds=list(COLUMNS.items()),
    )


def _columns(seen: Look | None) -> list[tuple[int, str, list[tuple[str, str]]]]:
    """Every column with what it may be."""
    if seen is None:
        return []
    found = []
    for number, heading in enumerate(seen.headings, 1):
        open_ = seen.meant(heading) if heading.name not in {*COLUMNS, LEFT_OUT} else "not known"
        options = [("", open_), (LEFT_OUT, "left out"), *((name, name) for name in COLUMNS)]
        found.append((number, words_of(heading), options))
    return found


def _words(form: Form, seen: Look | None) -> list[tuple[int, str]]:
    """Words that mean no kind, and those that the person has said the meaning of."""
    said = [form.text(name) for name in form.values if name.startswith("word-")]
    meant = [form.text(name.replace("word-", "means-")) for name in form.values if name.startswith("word-")]
    known = dict(zip(said, meant, strict=True))
    for word in seen.unknown if seen else ():
        known.setdefault(word, "")
    found = list(enumerate(known.items(), 1))
    for number, (_, means) in found:
        form.values[f"means-{number}"] = [means]
    return [(number, word) for number, (word, _) in found]


def _lines(seen: Look) -> Ledger:
    return Ledger(
        caption="Each line as it would be booked",
        columns=(Column(key="line", head="Line"), Column(key="words", head="What")),
        rows=[Row(cells={"line": _line(each.line), "words": each.sentence}) for each in seen.lines[:SHOWN]],
        empty="No line can be booked as the list is read now.",
    )


def _passed(seen: Look) -> Ledger:
    return Ledger(
        caption="Lines that are passed over",
        columns=(Column(key="line", head="Line"), Column(key="why", head="Why")),
        rows=[
            Row(cells={"line": _line(each.line), "why": each.why}, weight=Weight.QUIET)
            for each in seen.passed_over[:SHOWN]
        ],
    )


def _faults(seen: Look) -> Ledger:
    return Ledger(
        caption="What is at fault",
        columns=(Column(key="where", head="Where"), Column(key="wrong", head="What is wrong, and what to do")),
        rows=[
            Row(
                cells={
                    "where": each.where.replace("line ", "line\N{NO-BREAK SPACE}", 1) or "the list",
                    "wrong": each.wrong,
                },
                weight=Weight.LOOK,
            )
            for each in seen.faults[:SHOWN]
        ],
    )


def _line(number: int) -> str:
    return f"line\N{NO-BREAK SPACE}{number}"


routes = [
    shown("/book/bring", page, name="bring"),
    done("/book/bring", put, name="bring.put"),
]
