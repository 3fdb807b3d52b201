"""What if spot moves, and what a steady sum would have bought: read from a form, worked out on what lies here."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.kinds import Kind
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.paper_tables import asks, covers
from ninefine.desk.tables import exits
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.market.content import content_of
from ninefine.market.read_quote import read_quote
from ninefine.market.series import Point, monthly
from ninefine.measure.money import cents_down
from ninefine.measure.numbers import read_count, read_decimal, read_reference
from ninefine.plan import paths, steady
from ninefine.plan.paths import Drawing, Fan
from ninefine.plan.whatif import Covered, Route, Stretch, best_ways, covered, routes
from ninefine.worth.evens import ExitGain, exit_gains
from ninefine.worth.ways_out import goods_of

ZERO = Decimal(0)
SILVER = "XAG"


@dataclass(frozen=True, slots=True, kw_only=True)
class WayRow:
    """A way out as spot moves: what it would pay now and at the end at each cut of the fan, and its break-even."""

    name: str
    now: Decimal
    ends: tuple[Decimal, ...]
    even: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """The stack as spot moves.

    Attributes:
        spot: today's. fan: where it might stand, month by month.
        rows: each way out, the best today first. best: which pays the most at which spots.
        covered: what insurances cover of having it again; none where no cover was set down.
    """

    spot: Decimal
    fan: Fan
    rows: tuple[WayRow, ...]
    best: tuple[Stretch, ...]
    covered: Covered | None

    @property
    def usual(self) -> WayRow | None:
        """The way out that pays the most today."""
        return self.rows[0] if self.rows else None


def plan_whatif(kit: Kit, form: Mapping[str, str]) -> WhatIf:
    """What each way out would pay as spot moves.

    Fields: `path` (a spot for each month from now on: `66, 60, 55`), or `shock` (per cent at once: `-20`), or else
    paths drawn from the past: `months`, `paths`, `block`, `seed`, `first_year`, `last_year`; `spot`.

    Raises:
        Faults: every fault, each at its field.
        NotFoundError: no price of silver, or nothing lies here.
    """
    fields = Fields(form, source="what if")
    spot = fields.positive("spot") or kit.spot_or_none()
    own = fields.read("path", paths.read_path, None)
    move = fields.read("shock", lambda text: read_decimal(text.strip().removesuffix("%"), what="per cent"), None)
    drawing = _drawing(fields)
    if own is not None and move is not None:
        fields.fault("shock", "Say a path or a move, not both.")
    fields.done()
    if spot is None:
        raise NotFoundError("No price of silver is known for today.", instead=("give spot", "set down a price"))
    fan = _fan(fields, spot, own, move, drawing)
    fields.done()
    start = spot if own is None else own[0]
    return kit.keep(("what if", start, fan), lambda: _worked(kit, start, fan))


def _fan(fields: Fields, spot: Decimal, own: tuple[Decimal, ...] | None, move: Decimal | None, drawing: Drawing) -> Fan:
    if own is not None:
        return paths.own_path(own)
    if move is not None:
        return fields.read_value("shock", move, lambda per_cent: paths.shock(spot, per_cent)) or paths.own_path([spot])
    months = fields.read_value("first_year", drawing, lambda asked: paths.history(monthly(SILVER), asked))
    if months is None:
        return paths.own_path([spot])
    return fields.read_value("months", drawing, lambda asked: paths.drawn(months, spot, asked)) or paths.own_path(
        [spot]
    )


def _drawing(fields: Fields) -> Drawing:
    year = lambda text: read_count(text, what="year")  # noqa: E731 - one reader for two fields
    return Drawing(
        months=fields.count("months", paths.MONTHS) or paths.MONTHS,
        paths=fields.count("paths", paths.PATHS) or paths.PATHS,
        block=fields.count("block", paths.BLOCK) or paths.BLOCK,
        seed=fields.count("seed", paths.SEED) or paths.SEED,
        first_year=fields.read("first_year", year, None),
        last_year=fields.read("last_year", year, None),
    )


def _worked(kit: Kit, spot: Decimal, fan: Fan) -> WhatIf:
    now = summary(kit, spot=spot)
    lines = [line for line in now.here.lines if line.pile.kind.metal == SILVER and line.pile.kind.fineness]
    if not lines:
        raise NotFoundError("No silver lies here yet.", expected="Book a purchase first, or open the demo book.")
    goods = [goods_of(line.pile.kind, line.pile) for line in lines]
    found = routes(exits(kit), goods, spot)
    gains = {gain.exit.name: gain for gain in exit_gains(now.here, exits(kit), {SILVER: spot})}
    rows = [_row(route, spot, fan, gains) for route in found]
    limit = sum((cover.limit for cover in covers(kit)), ZERO)
    return WhatIf(
        spot=spot,
        fan=fan,
        rows=tuple(sorted(rows, key=lambda row: -row.now)),
        best=best_ways(found, spot),
        covered=covered(asks(kit), goods, limit, spot) if covers(kit) else None,
    )


def _row(route: Route, spot: Decimal, fan: Fan, gains: Mapping[str, ExitGain]) -> WayRow:
    gain = gains.get(route.way.name)
    return WayRow(
        name=route.way.name,
        now=route.net(spot),
        ends=tuple(route.net(end) for end in fan.rows[-1]),
        even=None if gain is None else gain.even,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """A steady sum over a window of the past.

    Attributes:
        kind: what was bought. habit: at what ask, for what sum.
        window: the months. beside: what it came to, beside a lump sum.
        windows: the same over every window as long.
    """

    kind: Kind
    habit: steady.Habit
    window: tuple[Point, ...]
    beside: steady.Beside
    windows: steady.Windows


def plan_steady(kit: Kit, form: Mapping[str, str]) -> Steady:
    """What a steady sum each month would have bought.

    Fields: `monthly` (money), `kind` (one-ounce rounds if empty), `ask` (what is asked over spot: `spot+3`, `4% over`),
    `since` and `until` (months: `2011-04`; the last ten years if empty).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the steady sum")
    monthly_sum = cents_down(fields.positive("monthly", needed=True) or ZERO)
    named = fields.read("kind", lambda text: read_named(kit.catalog(), text), None)
    kind = named.kind if named is not None else kit.catalog().kind("xag-generic-round-1oz")
    ask = fields.read("ask", read_quote, read_quote("spot"))
    points = monthly(SILVER).points
    if kit.journal.currency != "USD":
        raise RangeError("The packaged prices are in U.S. dollars, and this book is not.")
    since = fields.read("since", _month, points[-120].first.isoformat()[:7])
    until = fields.read("until", _month, points[-1].first.isoformat()[:7])
    window = tuple(point for point in points if since <= point.first.isoformat()[:7] <= until)
    if fields.sound and not window:
        first, last = points[0].first.isoformat()[:7], points[-1].first.isoformat()[:7]
        fields.fault("since", f"No month of the table lies there: it reaches from {first} to {last}.")
    fields.done()
    habit = steady.Habit(content=content_of(kind), ask=ask, monthly=monthly_sum)
    found = fields.read_value("monthly", habit, lambda one: steady.over(one, window))
    windows = fields.read_value("monthly", habit, lambda one: steady.all_windows(one, points, len(window)))
    fields.done()
    assert found is not None
    assert windows is not None
    return Steady(kind=kind, habit=habit, window=window, beside=found, windows=windows)


def _month(text: str) -> str:
    """Read a month, `2011-04`; a year alone is its January."""
    year, _, month = text.strip().partition("-")
    number = read_reference(month) if month else 1
    if len(year) != 4 or not read_reference(year) or number is None or not 1 <= number <= 12:
        raise UnreadableError(f"{text.strip()[:10]!r} is not a month.", instead=("2011-04",))
    return f"{year}-{number:02}"
