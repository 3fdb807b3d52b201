"""The board's keys: one list, from which the page, its legend and its script all read.

A coin begins with a digit and its mint letter follows two, so that letters are free in between; those that are mint
letters (p, d, s, o, w, c) are not used for anything else, lest a double stroke change the denomination unseen.
"""

from dataclasses import dataclass

#: Denomination -> the key that changes to it, between coins.
KEYS = {"five-cent": "f", "dime": "t", "quarter": "q", "half": "h", "dollar": "b"}
#: Short words for the denominations, in the plural.
LABELS = {"five-cent": "five cents", "half": "halves"}
#: What the keys stand for in people's mouths, for the legend.
KEY_WORDS = {"five-cent": "five", "dime": "ten", "quarter": "quarter", "half": "half", "dollar": "buck"}
#: The mints in the order of the grid: so the letters s and d of the middle row are the mints S and D.
TRAY_MINTS = ("P", "S", "D", "O", "CC")
_ROWS = {"quarter": "qwert", "dime": "asdfg", "half": "zxcvb", "dollar": "yuiop", "five-cent": "hjk"}


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayCell:
    """One key of the grid: after two digits it says denomination and mint at once. `code` is its place on the board."""

    mint: str
    key: str

    @property
    def code(self) -> str:
        """The key's place, as browsers name it, whatever letter is printed there."""
        return f"Key{self.key.upper()}"


#: Denomination -> its keys, in the order of the rows of the keyboard.
TRAY = {
    word: tuple(TrayCell(mint=mint, key=key) for mint, key in zip(TRAY_MINTS, keys, strict=False))
    for word, keys in _ROWS.items()
}
