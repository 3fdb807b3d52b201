"""Choosing the ground: paper, slate, or whatever the system has; kept in a cookie of its own."""

from starlette.responses import RedirectResponse, Response

from ninefine.errors import NotFoundError
from ninefine.web.frame import GROUND_COOKIE, Ground
from ninefine.web.visit import Visit, done

_A_YEAR = 31_536_000


def choose(visit: Visit) -> Response:
    """Keep the choice and lead back to the page that it was made on."""
    chosen = visit.form.text("ground")
    if chosen not in set(Ground):
        raise NotFoundError(f"{chosen[:20]!r} is not a ground to write on.", instead=tuple(Ground))
    back = visit.form.text("back")
    # only a path of this host: two slashes or a backslash would name another
    local = back.startswith("/") and not back.startswith(("//", "/\\"))
    answer = RedirectResponse(back if local else "/", 303)
    answer.set_cookie(GROUND_COOKIE, chosen, max_age=_A_YEAR, httponly=True, samesite="strict", path="/")
    return answer


routes = [done("/ground", choose, name="ground")]
