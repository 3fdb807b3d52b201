"""The pages, one file for each stage. Each file holds `routes`; this one gathers them in order."""

from starlette.routing import BaseRoute

from ninefine.web.pages import (
    arrivals,
    book,
    charts,
    exit_edit,
    exits,
    first,
    grading,
    ground,
    holdings,
    judging,
    mix,
    offer_edit,
    offers,
    papers,
    papers_rest,
    piece,
    prices,
    purchase,
    quote,
    reference,
    sale,
    search,
    sets,
    sheets,
    sorting,
    sorting_board,
    sorting_paste,
    triage,
    weighing,
)

#: What every application serves, whichever pages it has.
always: list[BaseRoute] = [*ground.routes, *charts.routes]

#: The stages and what stands beside them.
routes: list[BaseRoute] = [
    *first.routes,
    *offers.routes,
    *offer_edit.routes,
    *quote.routes,
    *purchase.routes,
    *arrivals.routes,
    *weighing.routes,
    *sorting.routes,
    *sorting_board.routes,
    *sorting_paste.routes,
    *mix.routes,
    *search.routes,
    *sets.routes,
    *sheets.routes,
    *triage.routes,
    *piece.routes,
    *judging.routes,
    *grading.routes,
    *holdings.routes,
    *exits.routes,
    *exit_edit.routes,
    *sale.routes,
    *papers.routes,
    *papers_rest.routes,
    *prices.routes,
    *reference.routes,
    *book.routes,
]
