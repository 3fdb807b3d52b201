"""`ninefine quote`, `look` and `offers FILE`: figures, JSON keys, refusals."""

from decimal import Decimal
from pathlib import Path

import pytest

from cli.conftest import Ninefine

ELM_HOLLOW = str(Path(__file__).resolve().parents[2] / "examples" / "elm_hollow.toml")


def test_the_readme_quote(ninefine: Ninefine) -> None:
    """49/(0.715 x 66) - 1 = 3.84% (0.715: common practice, no source)."""
    said = ninefine("quote", "49x", "--spot", "66")

    assert said.code == 0
    assert "68.53 a trade ounce, 3.84% over spot 66.00" in said.out


def test_the_json_carries_units_and_bases_in_its_keys(ninefine: Ninefine) -> None:
    record = ninefine("quote", "49x", "--spot", "66", "--json").json

    for key in (
        "times_face",
        "usd_per_face_dollar",
        "usd_per_ozt_trade",
        "usd_per_ozt_unworn",
        "premium_usd_per_ozt_trade",
        "premium_pct_trade",
        "premium_pct_unworn",
    ):
        assert isinstance(record[key], str)
        Decimal(record[key])
    assert round(Decimal(record["usd_per_ozt_trade"]), 2) == Decimal("68.53")
    assert round(Decimal(record["premium_pct_trade"]), 2) == Decimal("3.84")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("quote", "bananas"), "Try: 23.4x"),
        (("quote", "spot+1.20"), "no spot"),
        (("quote", "49x", "--spot", "-3"), "more than zero"),
        (("quote", "49x", "--spot", "abc"), "is not a"),
        (("quote", "49x", "--face-kind", "pennies"), "not a way that coin is quoted"),
        (("quote", "49x", "--weight", "12 g"), "how much face"),
        (("look", "half", "1955", "d"), "No Denver half dollar was struck in 1955"),
        (("look", "zzzzqqq"), "Nothing here answers"),
        (("offers", "nowhere.toml"), "cannot be read"),
        (("holdings",), "There is no book"),
        (("check",), "ninefine new"),
    ],
)
def test_what_cannot_be_used_is_one_plain_answer_without_a_traceback(
    ninefine: Ninefine, arguments: tuple[str, ...], words: str
) -> None:
    said = ninefine(*arguments)

    assert said.code == 2
    assert words in said.err
    assert "Traceback" not in said.err + said.out
    assert not said.out


def test_looking_up_says_the_evidence(ninefine: Ninefine) -> None:
    said = ninefine("look", "merc", "dime", "1921-D")
    record = ninefine("look", "1943", "S", "war", "nickel", "--json").json

    assert "us-dime-mercury" in said.out
    assert "Figures from memory; the series adds up to a published total" in said.out
    assert record["hits"][0]["issue"]["key"] == "1943-S"
    assert record["hits"][0]["cautions"]


def test_elm_hollow_ranks_its_offers(ninefine: Ninefine) -> None:
    """PRACTICE.md scenario 1 (invented household): C, B, D, A by check, A by card."""
    said = ninefine("offers", ELM_HOLLOW, "--spot", "32")
    record = ninefine("offers", ELM_HOLLOW, "--json").json

    assert [row["offer"][0] for row in record["offers"]] == ["C", "B", "D", "A", "A"]
    assert [row["landed_usd"] for row in record["offers"]] == ["1362.6", "2390", "3083", "2469.95", "2568.35"]
    assert "32.232" in said.out
    assert said.code == 0
