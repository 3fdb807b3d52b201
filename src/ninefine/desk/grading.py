"""Whether having a piece graded by a third party pays: the person's chances, fees and prices, one piece at a time."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from ninefine.desk.collectors import collector_named, grader_named
from ninefine.desk.fields import Fields
from ninefine.desk.goods import Named, read_named
from ninefine.desk.kit import Kit
from ninefine.desk.paste import at_once
from ninefine.desk.pieces import laid_named
from ninefine.desk.triage import rules
from ninefine.errors import Fault, Faults, InputError, NotFoundError, UnreadableError
from ninefine.worth.band import read_band
from ninefine.worth.grader_fees import GraderFees
from ninefine.worth.graders import GradingAnswer, GradingCase, Outcome, grading_pays, outcomes_from
from ninefine.worth.piece import AsMetal, Piece, as_metal
from ninefine.worth.span import End

_OUTCOME = re.compile(r"(?P<band>[^:=]+?)\s*[:=]\s*(?P<chance>[^,;]+?)(?:\s*[,;]\s*(?:at\s+)?(?P<price>\S.*?))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """A piece that might be sent in, and whether that pays.

    Attributes:
        named: what it is.
        case: what was asked.
        fees: the table of fees.
        metal: what it is worth as metal.
        answer: whether it pays, on average, at `end` of the sheet's prices.
    """

    named: Named
    case: GradingCase
    fees: GraderFees
    metal: AsMetal
    answer: GradingAnswer
    end: End


def read_outcomes(text: str) -> tuple[Outcome, ...]:
    """Read what may come back, a line each: `MS61: 50%`, `MS62: 20%, 900`, `MS60 details: 30%`.

    Raises:
        UnreadableError: a line that is no outcome.
        Faults: a grade, chance or price that cannot be read, or chances that do not sum to 1.
    """
    rows = []
    for line in text.splitlines():
        if not line.strip():
            continue
        read = _OUTCOME.fullmatch(line.strip())
        if read is None:
            raise UnreadableError(
                f"{line.strip()[:40]!r} is not an outcome.",
                expected="Write a grade, a colon, its chance, and perhaps a price of your own.",
                instead=("MS61: 50%", "MS62: 20%, 900", "MS60 details: 30%"),
            )
        rows.append({name: said for name, said in read.groupdict().items() if said is not None})
    return outcomes_from({"outcomes": rows})


def grading(kit: Kit, form: Mapping[str, str]) -> Graded:
    """Work out whether grading a piece pays.

    Fields: `piece` (a label of one laid aside) or `what` (a kind with its date); `raw` (its grade as it would be sold
    ungraded; the piece's own where left out), `outcomes` (see `read_outcomes`), `declared`, `pieces` (that share the
    parcel), `fees`, `raw_exit`, `graded_exit` (names; the first that was set down where left out), `end` (low, mid or
    high prices of the sheet).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the grading")
    one = fields.read("piece", partial(laid_named, kit), None)
    named = None if one is None else Named(kind=one.kind, issue=one.issue)
    if one is None:
        named = fields.read("what", partial(read_named, kit.catalog()), None, needed=not fields.raw("piece"))
    raw = fields.read("raw", read_band, None if one is None else one.band)
    if raw is None and fields.sound:
        fields.fault("raw", "Say its grade as it would be sold ungraded.")
    outcomes = fields.read("outcomes", _outcomes, _NONE_YET, needed=True)
    declared = fields.money("declared", needed=True)
    pieces = fields.count("pieces", 1) or 1
    end = fields.read("end", _end, End.MID)
    raw_exit, graded_exit = (
        fields.read_value(name, fields.raw(name), partial(collector_named, kit)) for name in ("raw_exit", "graded_exit")
    )
    fees = fields.read_value("fees", fields.raw("fees"), partial(grader_named, kit))
    fields.done()
    if named is None or raw is None or fees is None or raw_exit is None or graded_exit is None:
        raise NotFoundError("No piece was named.")
    held_against = rules(kit)
    try:
        metal = as_metal(Piece(name="it", kind=named.kind, issue=named.issue, band=raw), (), held_against.spots)
        case = GradingCase(
            kind=named.kind.slug,
            issue=named.issue,
            raw=raw,
            outcomes=outcomes,
            declared=declared,
            pieces=pieces,
            raw_exit=raw_exit,
            graded_exit=graded_exit,
            metal=metal.melt,
            hourly=held_against.hourly,
            shares=held_against.shares,
        )
        answer = grading_pays(case, held_against.guide, fees, end)
    except Faults:
        raise
    except InputError as error:  # a price or a share that is missing, or fees that do not reach
        raise Faults([Fault(where="outcomes", wrong=str(error))], source="the grading") from error
    return Graded(named=named, case=case, fees=fees, metal=metal, answer=answer, end=end)


#: Before anything was read.
_NONE_YET: tuple[Outcome, ...] = ()


def _outcomes(text: str) -> tuple[Outcome, ...]:
    """The same for a form, whose field shows every fault on a line of its own."""
    try:
        return read_outcomes(text)
    except Faults as error:
        raise UnreadableError(at_once(error)) from error


def _end(text: str) -> End:
    if text not in set(End):
        raise UnreadableError(f"{text[:12]!r} is not an end of a price.", instead=tuple(End))
    return End(text)
