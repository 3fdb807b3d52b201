"""What if, and a steady sum, in words."""

from ninefine.desk.plan_whatif import Steady, WhatIf
from ninefine.desk.say import money_words
from ninefine.measure.numbers import plain, to_places
from ninefine.plan.paths import NOT_A_FORECAST
from ninefine.plan.whatif import Stretch

__all__ = ["NOT_A_FORECAST", "best_words", "cover_words", "steady_sentence", "whatif_sentence"]


def whatif_sentence(found: WhatIf) -> str:
    """Where spot might stand, and what the best way out of today would pay then."""
    fan, usual = found.fan, found.usual
    now = f"Spot is {found.spot:f}."
    if fan.paths == 1:
        end = fan.rows[-1][0]
        after = "" if fan.at_once else f" after {_after(fan.months)}"
        where = f"{now} With {fan.words} it is {end:f}{after}."
        if usual is None:
            return where
        return f"{where} {_begun(usual.name)} pays {usual.now:,.2f} today, and would pay {usual.ends[0]:,.2f}."
    low, high = fan.at(fan.months, 5), fan.at(fan.months, 95)
    where = f"{now} After {_after(fan.months)}, nine paths of ten end between {low:,.2f} and {high:,.2f}"
    if usual is None:
        return f"{where}."
    ends = f"{usual.ends[0]:,.2f} and {usual.ends[-1]:,.2f}"
    return f"{where}: {usual.name}, which pays {usual.now:,.2f} today, would pay between {ends}."


def _after(months: int) -> str:
    return f"{months} month{'s' if months != 1 else ''}"


def _begun(words: str) -> str:
    """Words as they begin a sentence."""
    return words[:1].upper() + words[1:]


def best_words(best: tuple[Stretch, ...]) -> str:
    """Where the best way out changes."""
    if not best:
        return "No way out buys any of it."
    if len(best) == 1:
        return f"{_begun(best[0].way)} pays the most from {best[0].first:f} up, for what it buys."
    said = [f"{_begun(best[0].way)} pays the most up to {best[1].first:f}"]
    said += [f"{one.way} from {one.first:f}" for one in best[1:]]
    return ", ".join(said) + ", each for what it buys."


def cover_words(found: WhatIf) -> str:
    """What insurances cover, and at which spot they no longer do."""
    cover = found.covered
    if cover is None:
        return "No insurance has been set down, so no gap is reckoned."
    again = f"To have it again would cost {cover.replacement:,.2f}; covers pay {cover.limit:,.2f}"
    if cover.gap > 0:
        words = f"{again}: {cover.gap:,.2f} is not covered."
    elif cover.opens_at is None:
        words = f"{again}, which covers it."
    else:
        words = f"{again}, which covers it up to a spot of {cover.opens_at:f}."
    if cover.unasked:
        words += f" Of {', '.join(cover.unasked[:3])} nobody's ask is set down: counted at melt."
    return words


def steady_sentence(found: Steady, currency: str = "USD") -> str:
    """What a steady sum bought, beside a lump sum."""
    one, lump = found.beside.steady, found.beside.lump
    first, last = found.window[0].first, found.window[-1].first
    monthly = money_words(found.habit.monthly, currency)
    if one.per_ozt is None:
        return f"{monthly} a month from {first:%B %Y} to {last:%B %Y} would never have bought one piece."
    bought = (
        f"{monthly} a month from {first:%B %Y} to {last:%B %Y} would have bought {to_places(one.ozt, 2):,f} ozt trade "
        f"at {to_places(one.per_ozt, 2):,f} an ounce, with {one.change:,.2f} left over"
    )
    if lump.per_ozt is None:
        return f"{bought}; all of it at once in the first month would have bought nothing."
    at_once = f"{to_places(lump.ozt, 2):,f} ozt at {to_places(lump.per_ozt, 2):,f}"
    windows = found.windows
    return (
        f"{bought}; all of it at once in the first month, {at_once}. Of all {windows.count:,} windows of "
        f"{len(found.window)} months since 1960 the steady sum bought more ounces in {windows.steady_ahead:,}, "
        f"and in the middle one {plain(windows.ahead[2])} for each ounce of the lump sum."
    )
