"""A change of form or metal, in words."""

from fractions import Fraction

from ninefine.desk.plan_say import goods_words
from ninefine.desk.plan_swapping import Swapping
from ninefine.measure.numbers import plain, to_places

#: Lots that are named; any more are counted.
_MOST_NAMED = 3


def swap_sentence(found: Swapping) -> str:
    """What a change comes to, and when it would have paid."""
    change, sale = found.change, found.sale
    lots = list(dict.fromkeys(row.lot for row in sale.rows))
    named = ", ".join(lots[:_MOST_NAMED]) + (f" and {len(lots) - _MOST_NAMED} more" if len(lots) > _MOST_NAMED else "")
    much = f"{goods_words(found.goods)} ({'lot' if len(lots) == 1 else 'lots'} {named})"
    taxed = f" and {change.tax:,.2f} in tax" if change.tax else ""
    ounces = f"{to_places(change.ozt, 4):,f} ozt of {found.metal}"
    first = (
        f"{much} become {change.units:,} of {found.taken.name}, {ounces}, with {change.cash:,.2f} left over. "
        f"It costs {_money(change.premium)} in premiums{taxed}"
    )
    share = change.premium / change.given_melt * 100
    return f"{first}: {plain(to_places(share, 2))}% of the melt that is given, before tax. {pays_words(found)}"


def pays_words(found: Swapping) -> str:
    """When it would have paid."""
    change = found.change
    bid = plain(to_places(change.bid_at, 2))
    if found.one_metal:
        return f"It has paid once the new form brings {bid}% of its melt: then going back buys all of it again."
    now = f"{found.metal.capitalize()} stands at {plain(to_places(change.ratio, 2))} times silver"
    if change.pays_at is None:
        return f"{now}; with that bid no ratio makes it pay."
    words = f"{now}; going back buys all of it again once it stands at {plain(to_places(change.pays_at, 2))} times"
    past = found.past
    if past is None:
        return f"{words}."
    return (
        f"{words}. By months' averages since {past.first.first:%Y} it stood there or above in {past.at_or_above:,} of "
        f"{past.months:,} months, between {past.least:f} and {past.most:f}; that is the past, not a forecast."
    )


def guess_words(found: Swapping) -> str:
    """Which quotes were not typed."""
    names = {"ask": "the ask", "bid": "the bid on going back", "again": "the ask on going back"}
    said = [names[name] for name in found.guessed]
    if not said:
        return ""
    return f"Not typed, and so taken at spot itself: {', '.join(said)}. Real ones cost more: type them."


def _money(amount: Fraction) -> str:
    return f"{to_places(amount, 2):,f}"
