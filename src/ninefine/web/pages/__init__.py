"""The pages, one file for each stage. Each file holds `routes`; this one gathers them in order."""

from starlette.routing import BaseRoute

from ninefine.web.pages import (
    arrivals,
    book,
    charts,
    exit_edit,
    exits,
    first,
    ground,
    holdings,
    offer_edit,
    offers,
    papers,
    papers_rest,
    prices,
    purchase,
    quote,
    reference,
    sale,
    sorting,
    sorting_board,
    sorting_paste,
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
