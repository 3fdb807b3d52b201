"""One request, as a page function sees it, and the two kinds of route that call page functions.

A page function is plain synchronous code: it takes a `Visit`, asks the desk through `visit.kit`, and returns an answer.
`shown` makes a route that shows something; `done` makes one that takes a form and leads on.
"""

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from functools import cached_property
from threading import RLock
from typing import Any
from urllib.parse import quote, urlencode

from jinja2 import Environment
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import NoMatchFound, Route

from ninefine.desk.kit import Kit
from ninefine.errors import NinefineError
from ninefine.papers.charts import Palette
from ninefine.web import frame
from ninefine.web.charts import ChartShelf, Picture, Spec
from ninefine.web.forms import FORM_KEY, Form, read_form
from ninefine.web.keys import Keys
from ninefine.web.rings import RingShelf
from ninefine.web.trays import TrayShelf

#: Makes the desk's kit for one request.
KitSource = Callable[[], Kit]


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """What all visits share; made once by `make_app` and kept on the application."""

    kit_source: KitSource
    frame_source: frame.FrameSource
    keys: Keys
    environment: Environment
    charts: ChartShelf
    trays: TrayShelf = field(default_factory=TrayShelf)
    rings: RingShelf = field(default_factory=RingShelf)
    turn: AbstractContextManager[object] = field(default_factory=RLock)


class Visit:
    """One request: what was asked, what was sent, and the ways to answer.

    Attributes:
        request: the request underneath.
        form: what was posted; an empty form on a plain visit.
    """

    def __init__(self, request: Request, form: Form | None = None) -> None:
        self.request = request
        self.form = form if form is not None else Form()
        self.house: House = request.app.state.house

    @cached_property
    def kit(self) -> Kit:
        """The desk's kit, made when first asked for."""
        return self.house.kit_source()

    @property
    def partial(self) -> bool:
        """Whether htmx asks for a part of a page only."""
        return self.request.headers.get("hx-request") == "true"

    def asked(self, name: str) -> str:
        """A value of the address, without the blanks around it; empty when it is not there."""
        return self.request.query_params.get(name, "").strip()

    def part(self, name: str) -> str:
        """A part of the path, as the route names it."""
        return str(self.request.path_params[name])

    def path_to(self, name: str, /, *, asking: Mapping[str, str] | None = None, **parts: str | int) -> str:
        """The address of a route by its name, on this host."""
        quoted = {key: quote(part, safe="") if isinstance(part, str) else part for key, part in parts.items()}
        path = str(self.request.app.url_path_for(name, **quoted))
        return f"{path}?{urlencode(asking)}" if asking else path

    def page(self, template: str, *, stage: str = "", status: int = 200, **context: Any) -> Response:
        """A whole page, in its frame. `stage` is the route name of the stage that it belongs to."""
        return self._render(
            template, status, {"frame": self._frame(stage, self.house.frame_source(self.kit)), **context}
        )

    def refusal(self, status: int, *, head: str, words: str, lines: Sequence[str] = ()) -> Response:
        """A page that says why not; it stands even where the book itself cannot be read."""
        try:
            with self.house.turn:  # reached from outside a page function too
                facts = self.house.frame_source(self.kit)
        except NinefineError:  # the very thing that is being told
            facts = frame.FrameFacts()
        context = {"head": head, "words": words, "lines": lines}
        return self._render("refusal.html", status, {"frame": self._frame("", facts), **context})

    def piece(self, template: str, *, status: int = 200, **context: Any) -> Response:
        """A part of a page, without the frame: what htmx puts in place."""
        return self._render(template, status, context)

    def goto(self, name: str, /, *, asking: Mapping[str, str] | None = None, **parts: str | int) -> Response:
        """Lead on after something was done, so that reloading the page does not do it again."""
        return RedirectResponse(self.path_to(name, asking=asking, **parts), 303)

    def picture(
        self, draw: Callable[[Palette, int], Spec], *, alt: str, caption: str, size: tuple[int, int]
    ) -> Picture:
        """Put a chart on the shelf in every dress it may be asked for in (see `charts.ChartShelf.hang`)."""
        return self.house.charts.hang(draw, alt=alt, caption=caption, size=size)

    def _render(self, template: str, status: int, context: Mapping[str, Any]) -> Response:
        shared = {"visit": self, "form": self.form, "form_key_name": FORM_KEY, "form_key": self.house.keys.form_key}
        text = self.house.environment.get_template(template).render({**shared, "url": self.path_to, **context})
        return HTMLResponse(text, status)

    def _frame(self, stage: str, facts: frame.FrameFacts) -> Mapping[str, Any]:
        hrefs: dict[str, str] = {}
        for name, _ in (*frame.STAGES, *frame.BESIDE):
            try:
                hrefs[name] = self.path_to(name)
            except NoMatchFound:  # a stage without a page yet is not drawn
                continue
        return {
            "facts": facts,
            "ground": frame.ground_of(self.request),
            "way": frame.stops(frame.STAGES, hrefs=hrefs, here=stage, waiting=facts.waiting),
            "beside": frame.stops(frame.BESIDE, hrefs=hrefs, here=stage, waiting=facts.waiting),
            "back": self.request.url.path + (f"?{self.request.url.query}" if self.request.url.query else ""),
        }


Page = Callable[[Visit], Response]


def shown(path: str, page: Page, *, name: str, at_once: bool = False) -> Route:
    """A route that shows something and changes nothing.

    Pages take turns, for the book is one file and the kit one object; a page that asks neither may go `at_once`.
    """

    async def endpoint(request: Request) -> Response:
        visit = Visit(request)
        return await run_in_threadpool(page if at_once else _in_turn(page), visit)

    return Route(path, endpoint, methods=["GET"], name=name)


def done(path: str, page: Page, *, name: str) -> Route:
    """A route that takes a form: its form key is checked before the page function sees it."""

    async def endpoint(request: Request) -> Response:
        form = await read_form(request, request.app.state.house.keys)
        return await run_in_threadpool(_in_turn(page), Visit(request, form))

    return Route(path, endpoint, methods=["POST"], name=name)


def _in_turn(page: Page) -> Page:
    def turned(visit: Visit) -> Response:
        with visit.house.turn:
            return page(visit)

    return turned
