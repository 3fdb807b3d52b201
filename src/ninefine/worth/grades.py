"""The grading scale: the points from 1 to 70 that the trade uses, their letters, and reading one of them.

Official ANA Grading Standards for United States Coins, which take up Sheldon's numbers of 1949: nineteen points below
60 and every whole number from 60 to 70 (the points read in several stored pages that agree; the book itself not
opened). Proofs bear the same numbers. `EF` is also written XF, `PF` also PR.
"""

import re
from dataclasses import dataclass

from ninefine.errors import RangeError, UnreadableError

#: Letters -> their numbers, from lowest to highest.
GROUPS: dict[str, tuple[int, ...]] = {
    "P": (1,),
    "FR": (2,),
    "AG": (3,),
    "G": (4, 6),
    "VG": (8, 10),
    "F": (12, 15),
    "VF": (20, 25, 30, 35),
    "EF": (40, 45),
    "AU": (50, 53, 55, 58),
    "MS": tuple(range(60, 71)),
}
#: Every number of the scale, from 1 to 70.
NUMBERS: tuple[int, ...] = tuple(number for numbers in GROUPS.values() for number in numbers)
LOWEST, HIGHEST = NUMBERS[0], NUMBERS[-1]
#: The letters of a coin struck as a proof, for whatever number.
PROOF = "PF"

_LETTERS = {number: letters for letters, numbers in GROUPS.items() for number in numbers}
_SAME = {"PO": "P", "XF": "EF", "PR": PROOF, "BU": "MS", "UNC": "MS"}
#: Words for letters. The longer stand first, so that `very fine` is not taken for `fine`.
_WORDS = {
    "almost uncirculated": "AU",
    "about uncirculated": "AU",
    "extremely fine": "EF",
    "uncirculated": "MS",
    "almost good": "AG",
    "about good": "AG",
    "mint state": "MS",
    "extra fine": "EF",
    "very good": "VG",
    "very fine": "VF",
    "proof": PROOF,
    "poor": "P",
    "fair": "FR",
    "good": "G",
    "fine": "F",
}
_WORD = re.compile(rf"(?<![a-z])({'|'.join(_WORDS)})(?![a-z])")
_POINT = re.compile(r"(?P<letters>[A-Z]{1,3})?\s*-?\s*(?P<number>\d{1,2})?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """One point of the scale.

    Raises:
        RangeError: the scale has no such number.
    """

    number: int
    proof: bool = False

    def __post_init__(self) -> None:
        if self.number not in _LETTERS:
            raise off_scale(self.number)

    @property
    def letters(self) -> str:
        """`VF`, `MS`; `PF` for every proof."""
        return PROOF if self.proof else _LETTERS[self.number]

    def __str__(self) -> str:
        return f"{self.letters}{self.number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """What was read of letters, of a number, or of both: the numbers meant. `proof` is none where no letters told."""

    numbers: tuple[int, ...]
    proof: bool | None


def read_grade(text: str) -> Grade:
    """Read one point: `VF20`, `XF-45`, `MS 65`, `PR66`, `20`. Letters of a single point may stand alone: `AG`.

    Raises:
        UnreadableError: not a grade, or letters of several points, such as `VF`.
        RangeError: a number that the scale does not have, or that those letters do not bear.
    """
    points = read_points(in_letters(text), text)
    if len(points.numbers) > 1:
        raise UnreadableError(
            f"{text.strip()[:20]!r} is {len(points.numbers)} points of the scale.",
            expected="One is needed here.",
            instead=[str(Grade(number=number, proof=bool(points.proof))) for number in points.numbers[:4]],
        )
    return Grade(number=points.numbers[0], proof=bool(points.proof))


def in_letters(text: str) -> str:
    """Grades said in words, in letters: `very fine` -> `VF`; one space between words, all else in capitals."""
    return _WORD.sub(lambda word: _WORDS[word[1]], " ".join(text.lower().split())).upper()


def read_points(said: str, text: str) -> Points:
    """Read letters, a number, or both, in capitals.

    Args:
        said: what to read, as `in_letters` answers it.
        text: what was typed, for the error.

    Raises:
        UnreadableError: neither letters of the scale nor a number.
        RangeError: a number that the scale does not have, or that those letters do not bear.
    """
    read = _POINT.fullmatch(said.strip())
    letters = _SAME.get(read["letters"], read["letters"]) if read and read["letters"] else ""
    if read is None or not (letters or read["number"]) or (letters and letters not in {PROOF, *GROUPS}):
        raise unreadable(text)
    number = int(read["number"]) if read["number"] else None
    if number is not None and number not in _LETTERS:
        raise off_scale(number)
    if letters in GROUPS and number is not None and number not in GROUPS[letters]:
        raise RangeError(
            f"{number} is no {letters}.",
            expected=f"{letters} is {_spoken(GROUPS[letters])}, and {number} is {_LETTERS[number]}.",
            instead=(f"{_LETTERS[number]}{number}",),
        )
    proof = letters == PROOF if letters else None
    if number is not None:
        return Points(numbers=(number,), proof=proof)
    return Points(numbers=GROUPS["MS" if proof else letters], proof=proof)


def unreadable(text: str) -> UnreadableError:
    """That a text is no grade, and what would be."""
    return UnreadableError(
        f"{text.strip()[:40]!r} is not a grade.",
        expected=f"A grade is letters ({', '.join(GROUPS)}, or {PROOF} for proofs), a number of the scale, or both.",
        instead=("VF20", "VF", "VF20-EF40", "MS63", "PF65", "AU50 cleaned"),
    )


def off_scale(number: int) -> RangeError:
    """That the scale has no such number, and which are nearest."""
    below = [point for point in NUMBERS if point < number][-1:]
    above = [point for point in NUMBERS if point > number][:1]
    return RangeError(
        f"{number} is not a point of the grading scale.",
        expected="It has nineteen points below 60, and every whole number from 60 to 70.",
        instead=[f"{_LETTERS[point]}{point}" for point in (*below, *above)],
    )


def _spoken(numbers: tuple[int, ...]) -> str:
    if len(numbers) > 4:
        return f"{numbers[0]} to {numbers[-1]}"
    return " or ".join(str(number) for number in numbers)
