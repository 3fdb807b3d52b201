"""What searching pays: before a bag is opened, by its size and one's own speed; afterwards, what it did pay."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.catalog.denominations import DENOMINATIONS
from ninefine.desk.assumptions import SURVIVAL_FIELDS, kept_survival, survival_fields
from ninefine.desk.judging import judging
from ninefine.desk.say_sorting import after_sentence, before_sentence
from ninefine.desk.searched import After, FindSold, after, keep_search, lots_searched
from ninefine.desk.searching import USUAL_SIZE, USUAL_SIZES, USUAL_SPEED, Before, Hope, before
from ninefine.measure.numbers import plain
from ninefine.papers.charts_finds import FOOT, HEAD, LINE, Reach, reach_lines
from ninefine.sorting.chances import say_chance
from ninefine.web.charts import Picture
from ninefine.web.format import figure, money, ounces, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown

ASKED = ("what", "size", "sizes", "first", "last", *SURVIVAL_FIELDS, "left", "speed", "hour", "grade", "worth")
AFTER = ("lot", "hours", "hour", "finds")
#: Dates drawn in the picture: the scarcest; the ledger holds all.
MOST_DRAWN = 12
#: Lots offered by name.
MOST_OFFERED = 60
WHAT = tuple((coin.key, coin.plural) for coin in DENOMINATIONS if coin.key in {"dime", "quarter", "half", "dollar"})


def page(visit: Visit) -> Response:
    """What searching a bag may pay."""
    kit, kept = visit.kit, judging(visit.kit)
    usual = {
        "what": "dime",
        "size": USUAL_SIZE,
        "sizes": USUAL_SIZES,
        "left": "100",
        "speed": plain(kept.pieces_per_hour or USUAL_SPEED),
        "hour": plain(kept.hour_worth),
    }
    given = {name: visit.asked(name) or usual.get(name, "") for name in ASKED}
    if not any(visit.asked(name) for name in SURVIVAL_FIELDS):
        given |= survival_fields(kept_survival(kit))
    visit.form = Form(starting=given)
    found = visit.form.attempt(before, kit, visit.form.fields)
    if found is not None:
        visit.form.values |= {
            "first": [str(found.expected.first_year)],
            "last": [str(found.expected.last_year)],
        }
    return visit.page(
        "search.html",
        stage="sorting",
        ways=sorting_links(visit, "search"),
        found=found,
        sentence="" if found is None else before_sentence(found, kit.journal.currency),
        flat=found is not None and found.expected.survival.flat,
        what=WHAT,
        picture=_picture(visit, found) if found is not None and found.hopes else None,
        hopes=_hopes(found) if found is not None else None,
        sizes=_sizes(visit, found) if found is not None else None,
        lots=lots_searched(kit)[:MOST_OFFERED],
    )


def _picture(visit: Visit, found: Before) -> Picture:
    drawn = [hope for hope in found.hopes if hope.likely.for_half][:MOST_DRAWN]
    rows = [
        Reach(
            name=f"{hope.struck.key}, {hope.likely.for_half:,} to {hope.likely.for_nearly:,}",
            half=hope.likely.for_half or 1,
            nearly=hope.likely.for_nearly or 1,
            look=hope.struck.rank == "key",
        )
        for hope in drawn
    ]
    bag = f"this bag, {plural(found.pieces, 'piece')}"
    return visit.picture(
        partial(reach_lines, rows, found.pieces, at_words=bag, unit="pieces, on a logarithmic scale"),
        alt="Pieces until one is found with an even chance, and with 95 in 100. "
        + "; ".join(f"{row.name} pieces" for row in rows)
        + ".",
        caption="Each line runs from the pieces of an even chance (full) to those of 95 in 100 (ring). "
        "The dashed line is this bag: what lies left of it is likely in it, if nobody searched.",
        size=(720, HEAD + LINE * len(rows) + FOOT),
    )


def _hopes(found: Before) -> Ledger:
    worth = (
        Column(key="over", head="Over melt, one", of=Of.MONEY),
        Column(key="worth", head="On average", of=Of.MONEY),
    )
    return Ledger(
        caption="The dates sought, the scarcest first",
        columns=(
            Column(key="issue", head="Date"),
            Column(key="one", head="One in", of=Of.COUNT),
            Column(key="expected", head="In this bag", of=Of.FIGURE),
            Column(key="chance", head="One or more"),
            Column(key="half", head="Coins for 50%", of=Of.COUNT),
            Column(key="nearly", head="Coins for 95%", of=Of.COUNT),
            *(worth if _priced(found) else ()),
        ),
        rows=[_hope(hope) for hope in found.hopes],
        empty="Sorters look for no date of these, and you gave none a worth.",
    )


def _priced(found: Before) -> bool:
    """Whether any date has a worth."""
    return found.unpriced < len(found.hopes)


def _hope(hope: Hope) -> Row:
    share = hope.likely.sought.share
    unchecked = "mintage unchecked" if hope.struck.unchecked else ""
    parts = (hope.struck.rank, hope.struck.look_for, hope.whence, unchecked)
    return Row(
        cells={
            "issue": hope.struck.key,
            "one": 1 / share if share else None,
            "expected": hope.likely.expected,
            "chance": say_chance(hope.likely.chance),
            "half": hope.likely.for_half,
            "nearly": hope.likely.for_nearly,
            "over": hope.over_melt,
            "worth": None if hope.over_melt is None else hope.likely.worth,
        },
        note="; ".join(part for part in parts if part),
        weight=Weight.LOOK if hope.struck.rank == "key" else Weight.PLAIN,
    )


def _sizes(visit: Visit, found: Before) -> Ledger:
    unit = visit.kit.journal.currency
    worth = (
        Column(key="worth", head="On average", of=Of.MONEY, unit=unit),
        Column(key="spread", head="Give or take", of=Of.MONEY, unit=unit),
        Column(key="per", head="An hour", of=Of.MONEY, unit=unit),
    )
    return Ledger(
        caption="The same by the size of the bag",
        columns=(
            Column(key="size", head="Bag"),
            Column(key="hours", head="Hours", of=Of.FIGURE),
            Column(key="finds", head="Finds", of=Of.FIGURE),
            Column(key="chance", head="Any find"),
            *(worth if _priced(found) else ()),
        ),
        rows=[
            Row(
                cells={
                    "size": words,
                    "hours": seen.hours,
                    "finds": seen.finds,
                    "chance": say_chance(seen.chance),
                    "worth": seen.worth,
                    "spread": seen.spread,
                    "per": seen.per_hour,
                }
            )
            for words, seen in found.sizes
        ],
    )


def paid(visit: Visit) -> Response:
    """What the search of a lot did pay."""
    usual = {"hour": plain(judging(visit.kit).hour_worth)}
    visit.form = Form(starting={name: visit.asked(name) or usual.get(name, "") for name in AFTER})
    return _paid(visit)


def _paid(visit: Visit, status: int = 200) -> Response:
    form, kit = visit.form, visit.kit
    lots = lots_searched(kit)
    if not form.text("lot") and lots:
        form.values["lot"] = [lots[0]]
    found = form.attempt(after, kit, form.fields) if form.text("lot") and status == 200 else None
    if found is not None:
        if not form.text("hours") and found.hours is not None:
            form.values["hours"] = [plain(found.hours)]
        if not form.text("finds"):
            form.values["finds"] = [found.said_finds]
    return visit.page(
        "searched.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "search"),
        said=said(visit),
        lots=[(lot, f"Lot {lot}") for lot in lots[:MOST_OFFERED]],
        found=found,
        sentence="" if found is None else after_sentence(found, kit.journal.currency),
        minutes=int(found.timed.total_seconds() // 60) if found is not None else 0,
        finds=_finds(visit, found) if found is not None else None,
        unsold=_unsold(visit, found) if found is not None else None,
    )


def _finds(visit: Visit, found: After) -> Ledger:
    rows = [_sold(visit, one) for one in found.sold]
    rows += [
        Row(cells={"what": f"{plural(one.pieces, 'piece')}: {one.what}", "over": one.worth}, note="set down by hand")
        for one in found.typed
    ]
    if found.finds:
        rows.append(Row(cells={"what": "All finds", "over": found.worth}, weight=Weight.TOTAL))
    return Ledger(
        caption="Finds that were sold, each over its own metal: the metal was there before the search",
        columns=(
            Column(key="what", head="Find"),
            Column(key="on", head="Sold", of=Of.DATE),
            Column(key="net", head="Net of fees", of=Of.MONEY),
            Column(key="melt", head="Melt that day", of=Of.MONEY),
            Column(key="over", head="Over melt", of=Of.MONEY),
            Column(key="entry", head="Booked by"),
        ),
        rows=rows,
        empty="No find of this lot has been sold yet.",
    )


def _sold(visit: Visit, one: FindSold) -> Row:
    return Row(
        cells={
            "what": f"{one.pieces} of {one.what}" if one.pieces > 1 else one.what,
            "on": one.on,
            "net": one.net,
            "melt": one.melt,
            "over": one.find.worth,
            "entry": Cell(value=f"entry {one.serial}", href=visit.path_to("entry", serial=one.serial)),
        },
        note=f"to {one.buyer}" if one.buyer else "",
        worked=Worked(
            steps=(
                Step(
                    what="its own metal",
                    result=ounces(one.fine.ozt, one.fine.basis),
                    how=plural(one.pieces, "piece"),
                ),
                Step(
                    what="melt that day",
                    result=money(one.melt),
                    how=f"{figure(one.fine.ozt, 4)} ozt by {one.fine.basis.value} x {plain(one.stamp.per_ozt)}",
                    whence=f"{one.stamp.whose}: {one.stamp.note}",
                ),
                Step(
                    what="over melt",
                    result=money(one.find.worth),
                    how=f"{money(one.net)} less {money(one.melt)}",
                    whence=f"entry {one.serial} of the book",
                ),
            )
        ),
    )


def _unsold(visit: Visit, found: After) -> Ledger:
    return Ledger(
        caption="Pulled and not sold: they have paid nothing yet",
        columns=(
            Column(key="label", head="Piece"),
            Column(key="extra", head="Would net over its heap", of=Of.MONEY),
        ),
        rows=[
            Row(
                cells={
                    "label": Cell(value=one.laid.label, href=visit.path_to("piece", asking={"label": one.laid.label})),
                    "extra": _extra(found, one.laid.label),
                }
            )
            for one in found.unsold
        ],
    )


def _extra(found: After, label: str) -> Decimal | None:
    extras: Sequence[Decimal] = [
        one.found.extra.mid
        for one in found.unsold
        if one.laid.label == label and one.found is not None and one.found.extra is not None
    ]
    return extras[0] if extras else None


def keep(visit: Visit) -> Response:
    """Set down how long the search of a lot took."""
    stored = visit.form.attempt(keep_search, visit.kit, visit.form.fields)
    if stored is None:
        return _paid(visit, status=400)
    return lead_on(visit, stored, "searched", lot=visit.form.text("lot"))


routes = [
    shown("/sorting/search", page, name="search"),
    shown("/sorting/search/paid", paid, name="searched"),
    done("/sorting/search/paid", keep, name="searched.keep"),
]
