"""The template engine: escaping on, unknown names refused, the same filters everywhere."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from ninefine.web import assets
from ninefine.web import format as written
from ninefine.web import ledger as ledgers

_HERE = Path(__file__).parent / "templates"


@cache
def environment(also: Sequence[Path] = ()) -> Environment:
    """The environment over the packaged templates, and over further folders when given (as a tuple)."""
    made = Environment(
        loader=FileSystemLoader([_HERE, *also]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(
        figure=written.figure,
        thousands=written.thousands,
        money=written.money,
        percent=written.percent,
        ounces=written.ounces,
        unit=written.with_unit,
        day=written.day,
        short_day=written.short_day,
        plural=written.plural,
        dates_kept=written.dates_kept,
    )
    made.globals.update(static=assets.address, write_cell=ledgers.write)
    return made
