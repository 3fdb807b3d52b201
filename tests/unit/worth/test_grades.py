"""The grading scale and bands of it: the points of the standard, read as people write them, or refused."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import InputError, RangeError, UnreadableError
from ninefine.worth.band import FLAWS, Band, band_at, read_band
from ninefine.worth.grades import GROUPS, NUMBERS, Grade, read_grade

# Official ANA Grading Standards for United States Coins (Sheldon's scale of 1949), as several stored pages print it.
STANDARD = [
    *("P1", "FR2", "AG3", "G4", "G6", "VG8", "VG10", "F12", "F15", "VF20", "VF25", "VF30", "VF35", "EF40", "EF45"),
    *("AU50", "AU53", "AU55", "AU58", "MS60", "MS61", "MS62", "MS63", "MS64", "MS65", "MS66", "MS67", "MS68", "MS69"),
    "MS70",
]


def test_the_points_are_those_of_the_standard() -> None:
    """Nineteen points below 60, eleven from 60 to 70, strictly rising, and no 59 (ANA grading standards)."""
    assert [str(Grade(number=number)) for number in NUMBERS] == STANDARD
    assert len([number for number in NUMBERS if number < 60]) == 19
    assert len([number for number in NUMBERS if number >= 60]) == 11
    assert all(lower < higher for lower, higher in pairwise(NUMBERS))
    assert 59 not in NUMBERS


@pytest.mark.parametrize("name", STANDARD)
def test_each_point_reads_as_it_is_written(name: str) -> None:
    letters, number = name.rstrip("0123456789"), name.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")

    for text in (name, name.lower(), f"{letters}-{number}", f" {letters} {number} ", number):
        assert str(read_grade(text)) == name


@pytest.mark.parametrize(
    ("text", "grade"),
    [("XF45", "EF45"), ("PR66", "PF66"), ("PF 50", "PF50"), ("BU 63", "MS63"), ("AG", "AG3"), ("about good", "AG3")],
)
def test_other_letters_of_the_trade_read_as_the_same_points(text: str, grade: str) -> None:
    """EF is also written XF, and PF also PR (CHECKS, the grading scale)."""
    assert str(read_grade(text)) == grade


@pytest.mark.parametrize(
    ("text", "error", "instead"),
    [
        ("VF22", RangeError, ("VF20", "VF25")),
        ("59", RangeError, ("AU58", "MS60")),
        ("71", RangeError, ("MS70",)),
        ("VF40", RangeError, ("EF40",)),
        ("MS58", RangeError, ("AU58",)),
        ("VF", UnreadableError, ("VF20", "VF25", "VF30", "VF35")),
        ("mint", UnreadableError, ()),
        ("", UnreadableError, ()),
        ("VF-", UnreadableError, ()),
    ],
)
def test_what_is_no_point_is_refused_with_its_neighbours(
    text: str, error: type[InputError], instead: tuple[str, ...]
) -> None:
    with pytest.raises(error) as caught:
        read_grade(text)

    assert type(caught.value) is error
    assert caught.value.instead[: len(instead)] == instead


@pytest.mark.parametrize(
    ("text", "low", "high", "details"),
    [
        ("VF20-EF40", 20, 40, ""),
        ("VF", 20, 35, ""),
        ("AU", 50, 58, ""),
        ("G-F", 4, 15, ""),
        ("G/VG", 4, 10, ""),
        ("very fine to EF", 20, 45, ""),
        ("VF-20", 20, 20, ""),
        ("VF20-30", 20, 30, ""),
        ("20\N{EN DASH}30", 20, 30, ""),
        ("au58-ms62", 58, 62, ""),
        ("uncirculated", 60, 70, ""),
        ("AU50 cleaned", 50, 50, "cleaned"),
        ("cleaned AU50", 50, 50, "cleaned"),
        ("VF details (scratched)", 20, 35, "details, scratched"),
        ("F12, rim damage", 12, 12, "damaged"),
        ("ex-jewelry VF", 20, 35, "mounted"),
        # worn to P, FR or AG unless said otherwise: common practice, no source
        ("cull", 1, 3, "cull"),
        ("G4 cull", 4, 4, "cull"),
        ("holed cull", 1, 3, "holed, cull"),
        ("cleaned", 1, 70, "cleaned"),
    ],
)
def test_bands_read_as_they_are_written(text: str, low: int, high: int, details: str) -> None:
    assert read_band(text) == Band(low=low, high=high, details=details)


@pytest.mark.parametrize(
    ("text", "low", "high"), [("PF63-65", 63, 65), ("63-PR65", 63, 65), ("proof", 60, 70), ("PF50", 50, 50)]
)
def test_a_proof_is_told_by_its_letters_at_either_end(text: str, low: int, high: int) -> None:
    assert read_band(text) == Band(low=low, high=high, proof=True)


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ("F-G", ("G4-F15",)),
        ("EF40-VF20", ("VF20-EF40",)),
        ("AU-PF", ("AU58-MS62", "PF58-PF62")),
        ("VF20 shiny", ("VF20",)),
        ("G4-F12-VF20", ("VF20",)),
    ],
)
def test_bands_that_cannot_be_are_refused(text: str, instead: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        read_band(text)

    assert caught.value.instead[: len(instead)] == instead


def test_a_flaw_alone_says_nothing_of_wear() -> None:
    """`cleaned` by itself spans the whole scale, and says that no grade was told."""
    assert not read_band("cleaned").told
    assert read_band("VF cleaned").told
    assert read_band("VF cleaned").sound == read_band("VF")


def test_a_band_refuses_numbers_off_the_scale_and_unknown_flaws() -> None:
    with pytest.raises(RangeError, match="not a point"):
        Band(low=20, high=41)
    with pytest.raises(RangeError, match="backwards"):
        Band(low=40, high=20)
    with pytest.raises(UnreadableError, match="shiny"):
        Band(low=20, high=20, details="shiny")


bands = st.builds(
    lambda ends, proof, flaws: Band(
        low=min(ends), high=max(ends), proof=proof, details=", ".join(flaw for flaw in FLAWS if flaw in flaws)
    ),
    st.tuples(st.sampled_from(NUMBERS), st.sampled_from(NUMBERS)),
    st.booleans(),
    st.sets(st.sampled_from(sorted(FLAWS)), max_size=3),
)


@given(bands)
def test_a_band_reads_back_from_its_words(band: Band) -> None:
    assert read_band(str(band)) == band
    assert band.grades[0].number == band.low
    assert band.grades[-1].number == band.high


@given(st.sampled_from(sorted(GROUPS)))
def test_letters_alone_are_all_their_points(letters: str) -> None:
    band = read_band(letters)

    assert tuple(grade.number for grade in band.grades) == GROUPS[letters]
    assert band_at(band.grades[0]).grades == band.grades[:1]


@given(st.text(alphabet="GVFEAUMSPRX0123456789 -/to,cleaned", max_size=24))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    """Nothing but the program's own refusals comes out of the reader."""
    try:
        band = read_band(text)
    except InputError as error:
        assert str(error)
    else:
        assert read_band(str(band)) == band
