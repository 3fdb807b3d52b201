"""First page: what is held in a sentence, what is waiting, and the way of the silver for a newcomer."""

from collections import Counter
from typing import NamedTuple

from starlette.responses import Response

from ninefine.desk.holdings import summary
from ninefine.desk.waiting import Item, Stage, waiting
from ninefine.web.format import thousands
from ninefine.web.pages.booked import said
from ninefine.web.visit import Visit, shown

#: Things of one stage that are told one by one; any more are told by their number.
MOST_TOLD = 4

_DO = {
    Stage.OFFERS: "Look at it",
    Stage.ARRIVALS: "Count it in",
    Stage.SORTING: "Sort",
    Stage.HOLDINGS: "See the lot",
    Stage.EXITS: "Look at it",
    Stage.PRICES: "Set a price down",
    Stage.BOOK: "Look at it",
}
_MORE = {
    Stage.OFFERS: "more offers under what their way out would pay",
    Stage.ARRIVALS: "more parcels and claims",
    Stage.SORTING: "more heaps and tallies",
    Stage.HOLDINGS: "more lots about to be held over a year",
    Stage.PRICES: "more prices",
}


#: What each stage is for, by its words in the frame.
STAGES = {
    "Offers": "What each offer costs for a fine ounce once everything is added, and what a way out would pay back.",
    "Arrivals": "Count a parcel against what was ordered, weigh it, claim what is short.",
    "Sorting": "Tell a bag apart by denomination, year and mint, coin by coin. Every mark is kept at once.",
    "Holdings": "How much you hold and what it cost, on this day or any earlier one.",
    "Exits": "What each way out would pay after everything that it takes off; and selling.",
    "Papers": "The pages that an insurer, an executor or a preparer asks for.",
    "Plans": "What to buy or sell, how to share it out, and what if; proven where it says so.",
    "Bench": "Weigh, measure and listen: is a piece what it says it is?",
    "Prices": "What you read, where and when; and monthly averages to hold it against.",
    "Reference": "What a piece holds, what it should weigh, and who says so.",
    "Book": "Every entry, and what corrected it.",
}


class Line(NamedTuple):
    """One line of what is waiting, in the order in which the page's part takes it."""

    coin: str
    words: str
    note: str
    href: str
    todo: str


def page(visit: Visit) -> Response:
    """The first page."""
    items = waiting(visit.kit)
    now = summary(visit.kit)
    return visit.page(
        "first.html",
        stage="first",
        now=now,
        items=len(items),
        urgent=sum(1 for item in items if item.urgent),
        lines=_lines(visit, items),
        stamp=now.stamps.get("XAG"),
        stages=STAGES,
        begun=bool(visit.kit.journal.records()),
        said=said(visit),
    )


def _lines(visit: Visit, items: tuple[Item, ...]) -> list[Line]:
    lines: list[Line] = []
    told: Counter[Stage] = Counter()
    for item in items:
        told[item.stage] += 1
        if told[item.stage] <= MOST_TOLD:
            note = "look at this first" if item.urgent else ""
            todo = "Book the credit" if item.stage is Stage.ARRIVALS and not item.about.isdigit() else _DO[item.stage]
            lines.append(Line("", item.words, note, _href(visit, item), todo))
        elif told[item.stage] == MOST_TOLD + 1:
            more = sum(1 for one in items if one.stage is item.stage) - MOST_TOLD
            lines.append(
                Line(thousands(more), _MORE.get(item.stage, "more"), "", visit.path_to(item.stage), "See them all")
            )
    return lines


def _href(visit: Visit, item: Item) -> str:
    numbered = item.about.isdigit()
    match item.stage:
        case Stage.HOLDINGS:
            return visit.path_to("lot", lot=item.about)
        case Stage.SORTING if numbered:
            return visit.path_to("tally", number=item.about)
        case Stage.ARRIVALS if numbered:
            return visit.path_to("count", asking={"parcel": item.about})
    route, name = _ASKED.get(item.stage, (item.stage.value, ""))
    return visit.path_to(route, asking={name: item.about} if name else None)


#: Where a thing of a stage is done, by a page and what its address is asked with.
_ASKED = {
    Stage.OFFERS: ("offer", "name"),
    Stage.ARRIVALS: ("credit", "lot"),
    Stage.SORTING: ("heap", "heap"),
    Stage.PRICES: ("prices", "metal"),
}


routes = [shown("/", page, name="first")]
