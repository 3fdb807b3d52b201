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


#: Where the mint mark sits, by the head of a kind's slug; no head begins another.
_PLACES: dict[str, str] = {
    "us-half-dime-seated": "reverse, within or below the wreath",
    "us-three-cent-1851": "reverse, right of the C (New Orleans only)",
    "us-five-cent-wartime": "reverse, large, above the dome; P as well as D and S",
    "us-five-cent-copper-nickel": "reverse, right of the building, small, to 1964; obverse by the date later",
    "us-dime-seated": "reverse, within or below the wreath",
    "us-dime-barber": "reverse, below the wreath",
    "us-dime-mercury": "reverse, left of the foot of the fasces",
    "us-dime-roosevelt": "reverse, left of the foot of the torch",
    "us-dime-clad": "obverse, above the date, from 1968",
    "us-twenty-cent": "reverse, below the eagle",
    "us-quarter-seated": "reverse, below the eagle",
    "us-quarter-barber": "reverse, below the eagle's tail",
    "us-quarter-standing-liberty": "obverse, left of the date, by the lowest star",
    "us-quarter-washington-silver": "reverse, below the wreath",
    "us-quarter-washington-40": "obverse, right of the ribbon",
    "us-quarter-clad": "obverse, right of the ribbon, from 1968",
    "us-half-seated": "reverse, below the eagle",
    "us-half-barber": "reverse, below the eagle's tail",
    "us-half-walking": "obverse below the motto in 1916 and part of 1917; then reverse, lower left",
    "us-half-franklin": "reverse, above the beam of the bell",
    "us-half-kennedy-90": "reverse, left, below the claw with the branch",
    "us-half-kennedy-40": "obverse, above the date, from 1968; none in 1965 to 1967",
    "us-half-clad": "obverse, above the date",
    "us-dollar-seated": "reverse, below the eagle",
    "us-dollar-trade": "reverse, below the eagle, above the D of DOLLAR",
    "us-dollar-morgan": "reverse, below the wreath's bow",
    "us-dollar-peace": "reverse, by the tip of the wing",
    "us-dollar-eisenhower": "obverse, above the date",
}


def mint_mark_place(slug: str) -> str:
    """Where the mint mark sits on a kind (common practice, partly from memory); empty where it is not held."""
    return next((place for head, place in _PLACES.items() if slug.startswith(head)), "")
