"""What several tests together say of one piece. It may be set aside; it is never called genuine.

The rule (common practice, no source): two failures that rest on different grounds, or one failure by weight that no
wear explains, set a piece aside. One failure alone leaves it unsettled.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from ninefine.assay.evidence import Evidence, Ground, Outcome, failed


class Finding(StrEnum):
    """What tests come to."""

    NOTHING_AGAINST = "nothing against"
    UNSETTLED = "unsettled"
    SET_ASIDE = "set aside"


#: The tests that a household can make, in the order in which they cost least: the test's name and its ground.
TESTS: tuple[tuple[str, Ground], ...] = (
    ("weight", Ground.WEIGHT),
    ("diameter", Ground.SIZE),
    ("thickness", Ground.SIZE),
    ("magnet", Ground.MAGNET),
    ("edge", Ground.LOOK),
    ("ring", Ground.SOUND),
    ("gravity", Ground.DENSITY),
)

#: The tests of a heap as a whole.
HEAP_TESTS: tuple[tuple[str, Ground], ...] = (
    ("heap-weight", Ground.WEIGHT),
    ("hidden-mix", Ground.WEIGHT),
    ("edges", Ground.LOOK),
    ("magnet", Ground.MAGNET),
    ("tray", Ground.SIZE),
)

#: The tests of household ware.
WARE_TESTS: tuple[tuple[str, Ground], ...] = (
    ("mark", Ground.LOOK),
    ("magnet", Ground.MAGNET),
    ("ware-weight", Ground.WEIGHT),
)
#: Passes on so many grounds need no reminding of what each of them alone would let through.
_MANY = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the tests of one piece come to.

    Attributes:
        finding: nothing against it, unsettled, or set aside.
        evidence: the tests that count: of a test made several times, the last.
        not_done: tests that could still be made.
        says: the verdict in one or two sentences.
        would_settle: what would settle what is open, cheapest first.
    """

    finding: Finding
    evidence: tuple[Evidence, ...]
    not_done: tuple[str, ...]
    says: str
    would_settle: tuple[str, ...]

    def of(self, outcome: Outcome) -> tuple[Evidence, ...]:
        """The tests that came out so."""
        return tuple(one for one in self.evidence if one.outcome is outcome)


def verdict(evidence: Iterable[Evidence], *, tests: Sequence[tuple[str, Ground]] = TESTS) -> Verdict:
    """Join tests of one piece, in the order in which they were made.

    Args:
        evidence: what the tests said; of one test made several times, the last counts.
        tests: the tests that can be made of such a piece.
    """
    last: dict[str, Evidence] = {}
    for one in evidence:
        last.pop(one.test, None)
        last[one.test] = one
    counted = tuple(last.values())
    made = {one.test for one in counted if one.outcome is not Outcome.NOT_DONE}
    not_done = tuple(name for name, _ in tests if name not in made)
    finding = _finding(counted)
    return Verdict(
        finding=finding,
        evidence=counted,
        not_done=not_done,
        says=_says(finding, counted, not_done),
        would_settle=_would_settle(finding, counted, not_done, tests),
    )


def _finding(evidence: Sequence[Evidence]) -> Finding:
    failures = failed(evidence)
    if any(one.beyond_wear for one in failures) or len({one.ground for one in failures}) > 1:
        return Finding.SET_ASIDE
    if failures or not any(one.outcome is Outcome.PASSED for one in evidence):
        return Finding.UNSETTLED
    return Finding.NOTHING_AGAINST


def _says(finding: Finding, evidence: Sequence[Evidence], not_done: Sequence[str]) -> str:
    passed = _names(one.test for one in evidence if one.outcome is Outcome.PASSED)
    failures = failed(evidence)
    wrong = _names(one.test for one in failures)
    unsure = _names(one.test for one in evidence if one.outcome is Outcome.UNSURE)
    if finding is Finding.SET_ASIDE:
        alone = any(one.beyond_wear for one in failures)
        why = "its weight is off by more than wear explains" if alone else "they rest on different grounds"
        first = f"Set aside. Failed: {wrong}; {why}."
    elif wrong:
        first = f"Not settled. Failed: {wrong}; one failure alone does not set a piece aside."
    elif passed:
        first = "Nothing speaks against it so far."
    else:
        first = "Not settled: no test has passed or failed."
    parts = [first]
    parts += [f"Passed: {passed}."] if passed else []
    parts += [f"Could not tell: {unsure}."] if unsure else []
    parts += [f"Not done: {_names(not_done)}."] if not_done else []
    return " ".join(parts)


def _would_settle(
    finding: Finding, evidence: Sequence[Evidence], not_done: Sequence[str], tests: Sequence[tuple[str, Ground]]
) -> tuple[str, ...]:
    told = [one.would_settle for one in evidence if one.would_settle and one.outcome is not Outcome.PASSED]
    if finding is Finding.UNSETTLED:
        against = {one.ground for one in failed(evidence)}
        other = [name for name, ground in tests if name in not_done and ground not in against]
        if other:
            told.append(f"Make a test that rests on something else: {_names(other, last='or')}.")
    elif finding is Finding.NOTHING_AGAINST:
        passes = [one for one in evidence if one.outcome is Outcome.PASSED]
        few = len({one.ground for one in passes}) < _MANY
        told += [one.would_settle for one in passes if one.would_settle and (few or one.ground is Ground.DENSITY)]
    elif finding is Finding.SET_ASIDE:
        told.append("Keep it apart, say when it came and from whom, and let somebody who sees many of its kind look.")
    return tuple(dict.fromkeys(told))


def _names(tests: Iterable[str], *, last: str = "and") -> str:
    names = [test.replace("-", " ") for test in tests]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}" if names else ""
