"""Results in one sentence: what opens a page, and what the command line says first."""

from collections.abc import Sequence
from decimal import Decimal

from ninefine.desk.exits import LotWay, Worth
from ninefine.desk.holdings import LotLine, Summary
from ninefine.desk.records import metal_name
from ninefine.measure.numbers import as_price, plain, to_places


def money_words(value: Decimal, currency: str = "USD") -> str:
    """An amount as it stands in a sentence: `15,691.00`, with the code where it is not dollars."""
    text = f"{to_places(value, 2):,f}"
    return text if currency == "USD" else f"{text} {currency}"


def holdings_sentence(now: Summary, currency: str = "USD") -> str:
    """What is held, in words."""
    held = f"On {now.on.isoformat()} you held" if now.on else "You hold"
    metals = now.here.metals
    if not metals:
        return (
            f"{held} no metal yet." if not now.awaited.metals else f"{held} nothing here yet; goods are on their way."
        )
    silver = now.here.ozt("XAG")
    first = f"{held} {to_places(silver, 2):,f} ozt of fine silver by {_basis_words(now)}"
    share = now.here.constitutional_share()
    if share is not None:
        first += f", {_share_words(share)} of it constitutional"
    for metal in metals:
        if metal != "XAG":
            first += f", and {to_places(now.here.ozt(metal), 4):,f} ozt of {metal_name(metal)}"
    parts = [first + "."]
    parts.append(_cost_words(now, currency))
    melt = now.here.melt()
    stamp = now.stamps.get("XAG")
    if melt is not None and stamp is not None:
        parts.append(f"Melt is {money_words(melt, currency)} at {as_price(stamp.per_ozt)} ({stamp.note}).")
    if now.awaited.metals:
        parts.append(f"Another {to_places(now.awaited.ozt('XAG'), 2):,f} ozt is on its way.")
    return " ".join(parts)


def _share_words(share: Decimal) -> str:
    """A share in whole per cent; finer where rounding would make all of it, or none, of what is not."""
    rounded = to_places(share * 100, 0)
    if (rounded == 100 and share < 1) or (not rounded and share):
        rounded = to_places(share * 100, 2)
    return "all" if share == 1 else f"{plain(rounded)}%"


def _cost_words(now: Summary, currency: str) -> str:
    """What the stack cost, and of how much of it nobody knows."""
    if now.here.cost_known:
        return f"It cost {money_words(now.here.cost, currency)}" + _per_face(now) + "."
    unknown = to_places(now.here.uncosted_ozt(), 2)
    if not now.here.cost:
        return "Nobody knows what it cost."
    cost = money_words(now.here.cost, currency)
    return f"As far as that is known it cost {cost}{_per_face(now)}; of {unknown:,f} ozt nobody knows the cost."


def _per_face(now: Summary) -> str:
    if now.cost_per_face_90 is None:
        return ""
    return f", the constitutional coin {to_places(now.cost_per_face_90, 2)} a face dollar"


def _basis_words(now: Summary) -> str:
    return {"trade": "trade count", "unworn": "unworn specification", "scale": "scale"}[now.basis.value]


def worth_sentence(worth: Worth, currency: str = "USD") -> str:
    """What the stack would bring, in words."""
    if worth.melt_trade is None:
        return "There is nothing to value, or no price to value it by."
    parts = [f"Melt is {money_words(worth.melt_trade, currency)} by trade count"]
    if worth.melt_scale is not None and worth.melt_scale != worth.melt_trade:
        parts.append(f", {money_words(worth.melt_scale, currency)} where the scale has spoken")
    words = "".join(parts)
    if not worth.ways:
        return words + "; no way out has been set down yet."
    best = worth.ways[0]
    words += f"; {best.exit.name} would pay the most, {money_words(best.net, currency)}"
    if best.of_melt is not None:
        words += f", {to_places(best.of_melt * 100, 2)}% of the melt of what it buys"
    return words + "."


def lot_sentence(line: LotLine, ways: Sequence[LotWay], currency: str = "USD") -> str:
    """What is left of a lot cost, and what the best way out would pay for it, in words."""
    name = line.lot.name
    if not line.lot.heaps:
        return f"Nothing is left of lot {name}."
    words = f"What is left of lot {name} cost {money_words(line.basis, currency)}"
    if not line.lot.cost_known:
        words = f"Nobody knows what lot {name} cost"
    best = next((one for one in ways if one.way.paid), None)
    if best is None:
        return words + "; no way out has a bid for it."
    side = "more" if best.gain is not None and best.gain >= 0 else "less"
    words += f"; {best.way.exit.name} would pay the most, {money_words(best.way.net, currency)}"
    if best.way.unsold:
        return words + ", and not for all of it."
    if best.gain is None:
        return words + "."
    return words + f", {money_words(abs(best.gain), currency)} {side} than it cost."
