"""Reference: a kind by plain words, all that is known of it with its source, and what was struck when and where."""

from starlette.responses import Response

from ninefine.catalog.kinds import Basis, Evidence, Issue
from ninefine.catalog.lookup import Hit
from ninefine.desk import reference, tables
from ninefine.desk.amounts import say_amount
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.pages.mintage import mintage_part
from ninefine.web.visit import Visit, done, shown

#: Evidence that is weaker than a reading; its figures say so on the page.
WEAK = frozenset({Evidence.MEMORY, Evidence.PART})
EXAMPLES = (
    "merc dime 1921-D",
    "1943 S war nickel",
    "canada 50c 1967",
    "10 oz bar",
    "sterling",
    "junk silver",
    "EPNS",
)


def page(visit: Visit) -> Response:
    """Look a piece up, or set down a kind of one's own."""
    asked = visit.asked("words")
    found = reference.search(visit.kit, asked) if asked else None
    if not visit.form.values:
        visit.form = Form(starting={"words": asked})
    return visit.page(
        "reference.html",
        stage="reference",
        status=200 if visit.form.ok else 400,
        asked=asked,
        found=found,
        hits=_hits(visit, found.hits) if found is not None else None,
        cautions=_cautions(found.hits[0]) if found is not None and found.hits else (),
        examples=EXAMPLES,
        own=_own(visit),
        said=visit.asked("said"),
    )


def _hits(visit: Visit, hits: tuple[Hit, ...]) -> Ledger:
    return Ledger(
        caption="What fits, best first",
        columns=(
            Column(key="kind", head="Kind"),
            Column(key="issue", head="Issue"),
            Column(key="mintage", head="Struck", of=Of.COUNT),
            Column(key="gross", head="Weight", of=Of.FIGURE, places=3, unit="g"),
            Column(key="fine", head="Fine", of=Of.OUNCE, basis=Basis.UNWORN),
        ),
        rows=[
            Row(
                cells={
                    "kind": Cell(value=hit.kind.name, href=_href(visit, hit)),
                    "issue": None if hit.issue is None else hit.issue.key,
                    "mintage": None if hit.issue is None else hit.issue.mintage,
                    "gross": hit.kind.gross_g,
                    "fine": hit.kind.fine_ozt,
                },
                note=hit.kind.evidence.sentence,
            )
            for hit in hits
        ],
        empty="Nothing here answers to that.",
    )


def _href(visit: Visit, hit: Hit) -> str:
    path = visit.path_to("kind", slug=hit.kind.slug)
    return f"{path}#y{hit.issue.year}" if hit.issue is not None else path


def _cautions(hit: Hit) -> tuple[str, ...]:
    issue = hit.issue
    if issue is None or not issue.rank:
        return hit.cautions
    return (f"{issue.key} is a {issue.rank}: {issue.look_for}.", *hit.cautions)


def _own(visit: Visit) -> list[tuple[str, str]]:
    rows = visit.kit.holdings().tables.get("kind", {})
    return [(str(row.get("name", key)), key) for key, row in rows.items()]


def add_kind(visit: Visit) -> Response:
    """Set down a kind of one's own."""
    fields = visit.form.fields
    row = {name: text for name, text in fields.items() if name != "name" and text.strip()}
    stored = visit.form.attempt(tables.set_kind, visit.kit, fields.get("name", "").strip(), row)
    if stored is None:
        return page(visit)
    return visit.goto("reference", asking={"said": f"Entry {stored.serial}: set down {fields['name'].strip()}."})


def kind(visit: Visit) -> Response:
    """All that is known of one kind."""
    found = reference.kind_page(visit.kit, visit.part("slug"))
    unchecked = sum(issue.evidence in WEAK for issue in found.issues)
    return visit.page(
        "kind.html",
        stage="reference",
        found=found,
        kind=found.kind,
        facts=found.facts,
        fine=_fine(visit, found),
        packs=_packs(found),
        issues=_issues(found.issues),
        unchecked=unchecked,
        held=_held(visit, found),
        constructions=_constructions(found),
        plate=_plate(found),
        mintage=mintage_part(visit, found.kind.slug),
    )


def _fine(visit: Visit, found: reference.KindPage) -> Ledger:
    del visit
    return Ledger(
        caption="Fine weight",
        columns=(
            Column(key="basis", head="Counted"),
            Column(key="each", head="One piece", of=Of.OUNCE),
            Column(key="face", head="A unit of face", of=Of.OUNCE),
        ),
        rows=[
            Row(
                cells={
                    "basis": "unworn" if one.basis is Basis.UNWORN else "by trade",
                    "each": Cell(value=one.each_ozt, basis=one.basis),
                    "face": Cell(value=one.per_face_ozt, basis=one.basis),
                },
                note=one.note,
            )
            for one in found.facts.fine
        ],
        empty="Held by gross weight: its fine weight is known once it is weighed.",
    )


def _packs(found: reference.KindPage) -> Ledger:
    return Ledger(
        caption="Roll and bag, as struck",
        columns=(
            Column(key="name", head="Pack"),
            Column(key="pieces", head="Pieces", of=Of.COUNT),
            Column(key="face", head="Face", of=Of.FIGURE),
            Column(key="gross", head="Gross", of=Of.FIGURE, unit="g"),
            Column(key="unworn", head="Fine, unworn", of=Of.OUNCE, basis=Basis.UNWORN),
            Column(key="trade", head="Fine, by trade", of=Of.OUNCE, basis=Basis.TRADE),
        ),
        rows=[
            Row(
                cells={
                    "name": pack.name,
                    "pieces": pack.count,
                    "face": pack.face,
                    "gross": pack.gross_g,
                    "unworn": pack.unworn_ozt,
                    "trade": pack.trade_ozt,
                }
            )
            for pack in found.facts.packs
        ],
    )


def _issues(issues: tuple[Issue, ...]) -> Ledger:
    return Ledger(
        caption="What was struck, by year and mint",
        wide=True,
        columns=(
            Column(key="issue", head="Issue"),
            Column(key="struck", head="For use", of=Of.COUNT),
            Column(key="proofs", head="Proofs", of=Of.COUNT),
            Column(key="rank", head="Sought"),
            Column(key="evidence", head="Figures"),
        ),
        rows=[
            Row(
                cells={
                    "issue": issue.key,
                    "struck": issue.mintage,
                    "proofs": issue.proofs,
                    "rank": issue.rank or None,
                    "evidence": issue.evidence.sentence,
                },
                note=". ".join(words for words in (issue.look_for, issue.note) if words),
                weight=Weight.LOOK if issue.rank == "key" else Weight.PLAIN,
            )
            for issue in issues
        ],
    )


def _held(visit: Visit, found: reference.KindPage) -> Ledger:
    return Ledger(
        caption="What you hold of it",
        columns=(
            Column(key="lot", head="Lot"),
            Column(key="issue", head="Issue"),
            Column(key="much", head="How much"),
            Column(key="trade", head="Fine", of=Of.OUNCE, basis=Basis.TRADE),
            Column(key="cost", head="Cost", of=Of.MONEY),
        ),
        rows=[
            Row(
                cells={
                    "lot": Cell(value=line.heap.lot, href=visit.path_to("lot", lot=line.heap.lot)),
                    "issue": line.heap.issue or None,
                    "much": say_amount(line.heap.amount),
                    "trade": None if line.ounces is None else line.ounces.trade,
                    "cost": line.heap.basis if line.heap.cost_known else None,
                },
                note=f"at {line.heap.place}" if line.heap.place else "",
            )
            for line in found.held[:100]
        ],
    )


def _constructions(found: reference.KindPage) -> Ledger:
    household = found.facts.household
    return Ledger(
        caption="How much of an article is silver",
        columns=(
            Column(key="what", head="Article"),
            Column(key="low", head="At least", of=Of.PERCENT, places=0),
            Column(key="high", head="At most", of=Of.PERCENT, places=0),
            Column(key="evidence", head="Rests on"),
        ),
        rows=[
            Row(
                cells={
                    "what": one.key.replace("-", " "),
                    "low": one.share_low * 100,
                    "high": one.share_high * 100,
                    "evidence": one.evidence.sentence,
                },
                note=one.note,
            )
            for one in (household.constructions if household is not None else ())
        ],
    )


def _plate(found: reference.KindPage) -> Ledger:
    household = found.facts.household
    return Ledger(
        caption="Marks that mean plate or filling",
        columns=(
            Column(key="mark", head="Mark"),
            Column(key="meaning", head="Meaning"),
            Column(key="evidence", head="Rests on"),
        ),
        rows=[
            Row(cells={"mark": one.mark, "meaning": one.meaning, "evidence": one.evidence.sentence}, note=one.note)
            for one in (household.plate if household is not None else ())
        ],
    )


routes = [
    shown("/reference", page, name="reference"),
    done("/reference/kinds", add_kind, name="reference.add"),
    shown("/reference/kinds/{slug}", kind, name="kind"),
]
