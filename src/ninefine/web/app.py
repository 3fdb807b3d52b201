"""The web application: guards outside, pages inside, one kit for each request."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.routing import BaseRoute

from ninefine.errors import NinefineError
from ninefine.web import assets, pages
from ninefine.web.charts import ChartShelf
from ninefine.web.frame import FrameSource, facts_of
from ninefine.web.guard import AnswerHeaders, BodyLimit, HostList, SameOrigin, StartKey
from ninefine.web.keys import Keys
from ninefine.web.refusals import Calm, Report, on_http, on_known, to_stderr
from ninefine.web.render import environment
from ninefine.web.visit import House, KitSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Pages to serve in the frame: their routes, and folders of templates looked in after the packaged one."""

    routes: Sequence[BaseRoute]
    templates: tuple[Path, ...] = ()


def make_app(
    kit_source: KitSource,
    keys: Keys,
    *,
    authority: str,
    frame_source: FrameSource = facts_of,
    content: Content | None = None,
    report: Report = to_stderr,
) -> Starlette:
    """Make the application.

    Args:
        kit_source: makes the desk's kit for one request.
        keys: the keys of this run.
        authority: the address that it is served at, `127.0.0.1:PORT`.
        frame_source: tells what stands around every page.
        content: the pages; ninefine's own when not given.
        report: takes one line about an unexpected error.
    """
    content = content or Content(routes=pages.routes)
    app = Starlette(
        routes=[*assets.routes, *pages.always, *content.routes],
        middleware=[
            Middleware(AnswerHeaders),
            Middleware(Calm, report=report),
            Middleware(HostList, authority=authority),
            Middleware(StartKey, keys=keys, authority=authority),
            Middleware(SameOrigin),
            Middleware(BodyLimit),
        ],
        exception_handlers={NinefineError: on_known, HTTPException: on_http},
    )
    app.router.redirect_slashes = False  # one address for each page
    app.state.house = House(
        kit_source=kit_source,
        frame_source=frame_source,
        keys=keys,
        environment=environment(content.templates),
        charts=ChartShelf(),
    )
    return app
