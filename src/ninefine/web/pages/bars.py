"""Bars below one another, as pages show them: sums of money side by side, each with its words."""

from collections.abc import Sequence
from decimal import Decimal

from ninefine.papers.charts import Bar, exit_bars
from ninefine.web.charts import Picture
from ninefine.web.visit import Visit


def bars_shown(
    visit: Visit,
    bars: Sequence[Bar],
    *,
    caption: str,
    alt: str = "",
    line: tuple[Decimal, str] | None = None,
    width: int = 640,
) -> Picture:
    """A picture of bars, as high as there are bars, in the book's currency.

    Args:
        visit: the visit.
        bars: in the order drawn.
        caption: what to read off them.
        alt: what they show; each bar's name and words where nothing is said.
        line: a line across all bars, and its name.
        width: pixels.
    """
    at, words = line or (None, "")
    return visit.picture(
        lambda palette, wide: exit_bars(
            bars, palette, wide, unit=visit.kit.journal.currency, line=at, line_words=words
        ),
        alt=alt or "; ".join(f"{bar.name}: {bar.words}" for bar in bars) + ".",
        caption=caption,
        size=(width, 48 + 44 * len(bars)),
    )
