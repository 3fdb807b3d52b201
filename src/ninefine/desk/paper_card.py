"""The pocket card's goods and bidders: what the person usually holds, and who bids on it."""

from ninefine.desk.goods import SHORT_NAMES, read_named
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.tables import exits, rows_said_by
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.content import Content, content, content_names, content_of
from ninefine.papers.pocket_card import MOST_GOODS, Bidder

#: On the card of an empty book.
USUAL = ("90", "ozt")
#: Told apart on a card only where they are asked for: the trade prices them as one.
_ONE = {"dimes": "90", "quarters": "90", "halves": "90"}


def bidders(kit: Kit) -> tuple[Bidder, ...]:
    """The ways out with the day on which each was last set down, the usual one first."""
    serials = rows_said_by(kit, "exit")
    records = kit.journal.records()
    return tuple(
        Bidder(exit=way, on=records[serials[way.name] - 1].entry.on if way.name in serials else None)
        for way in exits(kit)
    )


def goods_for_card(kit: Kit, said: str) -> tuple[Content, ...]:
    """The goods that were named, parted by commas, or as the trade quotes what is held most.

    Raises:
        NotFoundError: goods of no known name.
        RangeError: more than a card holds, or goods without metal.
    """
    names = [name.strip() for name in said.split(",") if name.strip()]
    if len(names) > MOST_GOODS:
        raise RangeError(f"{len(names)} kinds of goods are too many.", expected=f"A card holds {MOST_GOODS}.")
    if names:
        return tuple(_named(kit, name) for name in names)
    held: dict[str, None] = {}
    for kind in summary(kit).here.kinds():
        if kind.kind.metal == "XAG" and kind.kind.fineness:
            words = [name for name in content_of(kind.kind).names if name in content_names()]
            if words:
                held[_ONE.get(words[0], words[0])] = None
    return tuple(content(name) for name in [*held][:MOST_GOODS] or USUAL)


def _named(kit: Kit, name: str) -> Content:
    try:
        return content(name)
    except NotFoundError:
        return content_of(read_named(kit.catalog(), SHORT_NAMES.get(name, name)).kind)
