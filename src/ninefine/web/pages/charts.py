"""Charts, by the digest of what they show: drawn when a browser asks, kept while the program runs."""

from starlette.exceptions import HTTPException
from starlette.responses import Response

from ninefine.web.assets import FOREVER
from ninefine.web.visit import Visit, shown

#: A drawing holds its own fonts and one style rule for them, and may do nothing else.
DRAWING_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; frame-ancestors 'none'"
)


def draw(visit: Visit) -> Response:
    """One chart as SVG."""
    drawn = visit.house.charts.drawn(visit.part("digest"))
    if drawn is None:
        raise HTTPException(404, "This picture is no longer kept. Open its page again to have it drawn.")
    return Response(
        drawn,
        headers={"Content-Type": "image/svg+xml", "Cache-Control": FOREVER, "Content-Security-Policy": DRAWING_POLICY},
    )


routes = [shown("/chart/{digest}.svg", draw, name="chart", at_once=True)]
