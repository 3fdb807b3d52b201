"""The shares of the stack as a drawing for paper: black on white, with the figures beside each name."""

import json
from collections.abc import Sequence

from ninefine.measure.numbers import to_places
from ninefine.papers.charts import WHITE, share_bar
from ninefine.papers.charts import Share as Slice
from ninefine.papers.document import Picture
from ninefine.papers.drawing import plain_svg
from ninefine.papers.written import figure
from ninefine.worth.stack import Share

_WIDTH = 640
FORM_WORDS = {
    "constitutional": "constitutional coin",
    "other-coin": "other silver coin",
    "bullion": "bullion",
    "household": "household silver",
    "no-silver": "no silver",
}


def share_picture(shares: Sequence[Share]) -> Picture:
    """Shares of fine weight by form, as reeds of a coin's edge."""
    slices = [
        Slice(
            name=FORM_WORDS.get(share.name, share.name),
            percent=share.part * 100,
            words=f"{figure(to_places(share.part * 100, 1), 1)}%, {figure(share.ozt, 2)} ozt trade",
        )
        for share in shares
    ]
    told = "; ".join(f"{one.name} {one.words}" for one in slices)
    return Picture(
        svg=plain_svg(json.dumps(share_bar(slices, WHITE, _WIDTH))),
        alt=f"Shares of the fine silver by form: {told}.",
        caption="A hundred reeds, one for each per cent of the fine silver.",
    )
