"""What several tests together say: the rule of two independent failures, and what would settle the rest."""

from itertools import product

import pytest

from ninefine.assay.evidence import Evidence, Outcome
from ninefine.assay.verdict import TESTS, Finding, Verdict, verdict

GROUND = dict(TESTS)


def said(test: str, outcome: Outcome, *, beyond_wear: bool = False, would_settle: str = "") -> Evidence:
    return Evidence(
        test=test,
        ground=GROUND[test],
        outcome=outcome,
        says=f"{test} {outcome}",
        beyond_wear=beyond_wear,
        would_settle=would_settle,
    )


PASSED, FAILED, UNSURE, NOT_DONE = Outcome.PASSED, Outcome.FAILED, Outcome.UNSURE, Outcome.NOT_DONE


def of(**outcomes: Outcome) -> Verdict:
    return verdict(said(test, outcome) for test, outcome in outcomes.items())


@pytest.mark.parametrize(
    ("outcomes", "finding"),
    [
        ({}, Finding.UNSETTLED),
        ({"weight": PASSED}, Finding.NOTHING_AGAINST),
        ({"weight": UNSURE}, Finding.UNSETTLED),
        ({"weight": NOT_DONE, "magnet": NOT_DONE}, Finding.UNSETTLED),
        ({"weight": PASSED, "magnet": UNSURE}, Finding.NOTHING_AGAINST),
        ({"weight": PASSED, "magnet": FAILED}, Finding.UNSETTLED),
        ({"weight": FAILED, "magnet": FAILED}, Finding.SET_ASIDE),
        ({"diameter": FAILED, "thickness": FAILED}, Finding.UNSETTLED),
        ({"diameter": FAILED, "ring": FAILED, "weight": PASSED}, Finding.SET_ASIDE),
    ],
)
def test_two_failures_on_different_grounds_set_a_piece_aside(outcomes: dict[str, Outcome], finding: Finding) -> None:
    """Common practice, no source: any two independent failures. Both sizes by one caliper are not independent."""
    assert of(**outcomes).finding is finding


def test_one_failure_by_weight_that_no_wear_explains_is_enough() -> None:
    """Common practice, no source."""
    found = verdict([said("weight", FAILED, beyond_wear=True), said("magnet", PASSED)])

    assert found.finding is Finding.SET_ASIDE
    assert found.says.startswith("Set aside. Failed: weight; its weight is off by more than wear explains.")


def test_the_order_of_tests_makes_no_difference_to_the_finding() -> None:
    for outcomes in product(Outcome, repeat=3):
        one = dict(zip(("weight", "magnet", "ring"), outcomes, strict=True))
        other = dict(reversed(one.items()))
        assert of(**one).finding is of(**other).finding


def test_of_a_test_made_twice_the_last_counts() -> None:
    again = verdict([said("weight", FAILED), said("magnet", FAILED), said("weight", PASSED)])

    assert [one.test for one in again.evidence] == ["magnet", "weight"]
    assert again.finding is Finding.UNSETTLED


def test_no_verdict_ever_says_genuine_and_all_say_what_was_not_done() -> None:
    for outcomes in product(Outcome, repeat=len(TESTS[:4])):
        found = of(**dict(zip([name for name, _ in TESTS[:4]], outcomes, strict=True)))
        words = " ".join([found.says, *found.would_settle]).lower()
        assert "genuine" not in words
        assert "authentic" not in words
        assert "ring" in words.partition("not done:")[2]


def test_what_would_settle_a_single_failure_rests_on_something_else() -> None:
    found = of(diameter=FAILED, weight=PASSED)

    assert found.would_settle == ("Make a test that rests on something else: magnet, edge, ring or gravity.",)


def test_what_a_test_says_would_settle_it_is_passed_on_once() -> None:
    hint = "Use a scale that reads 0.001 g."
    found = verdict([said("gravity", UNSURE, would_settle=hint), said("weight", UNSURE, would_settle=hint)])

    assert found.would_settle.count(hint) == 1
    assert found.of(UNSURE) == found.evidence
