"""The pages, one file for each stage. Each file holds `routes`; this one gathers them in order."""

from starlette.routing import BaseRoute

from ninefine.web.pages import book, charts, ground, holdings, reference

#: What every application serves, whichever pages it has.
always: list[BaseRoute] = [*ground.routes, *charts.routes]

#: The stages and what stands beside them.
routes: list[BaseRoute] = [*holdings.routes, *reference.routes, *book.routes]
