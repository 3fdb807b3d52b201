"""The mints of the United States by the letters that the tables use."""

#: Letter -> name. `P` stands for Philadelphia whether or not the coin bears a letter.
MINTS: dict[str, str] = {
    "P": "Philadelphia",
    "D": "Denver",
    "S": "San Francisco",
    "O": "New Orleans",
    "CC": "Carson City",
    "W": "West Point",
}


def mint_name(letter: str) -> str:
    """The mint's name; the letter itself where it is not a mint of the United States."""
    return MINTS.get(letter, letter)


def and_list(parts: list[str]) -> str:
    """Join words as a sentence does: `a`, `a and b`, `a, b and c`."""
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + " and " + parts[-1]
