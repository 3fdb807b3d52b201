"""Results of sorting in a sentence or two: what opens their pages, and what the command line says first."""

from decimal import Decimal

from ninefine.desk.grading import Graded
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import Where
from ninefine.desk.say import money_words
from ninefine.desk.searched import After
from ninefine.desk.searching import Before
from ninefine.desk.sets import SetView
from ninefine.desk.triage import answers, total
from ninefine.measure.numbers import to_places
from ninefine.worth.graders import BreakEven
from ninefine.worth.verdict import Verdict


def before_sentence(found: Before, currency: str = "USD") -> str:
    """What searching a bag may pay."""
    seen = found.prospect
    hours = f"{to_places(seen.hours, 2)} hours"
    if seen.worth:
        first = (
            f"Searching {found.size} would bring {money_words(seen.worth, currency)} over melt on average, give or "
            f"take {money_words(seen.spread, currency)}, in {hours}: {money_words(seen.per_hour, currency)} an hour"
        )
        if found.sitter.hour_worth:
            pays = "it pays" if seen.pays else "it does not pay"
            first += f", where an hour is worth {money_words(found.sitter.hour_worth, currency)} to you: {pays}"
    else:
        first = f"Searching {found.size} would take {hours}; what its finds are worth nobody has said yet"
    left = "if nobody searched it"
    if found.left < 1:
        left = f"if {to_places(found.left * 100, 0)}% of them are still there"
    return f"{first}. Of the dates sought it holds {to_places(seen.finds, 2):,f} on average, {left}."


def after_sentence(found: After, currency: str = "USD") -> str:
    """What a search did pay."""
    worth = money_words(found.worth, currency)
    if found.paid is None or found.hours is None:
        return f"The finds of lot {found.lot} brought {worth} over melt. How long the search took has not been said."
    said = f"The search of lot {found.lot} brought {worth} over melt in {to_places(found.hours, 2)} hours: "
    said += f"{money_words(found.paid.per_hour, currency)} an hour."
    if found.hour_worth:
        paid = "paid" if found.paid.paid else "did not pay"
        said += f" At {money_words(found.hour_worth, currency)} an hour it {paid}."
    return said


def set_sentence(seen: SetView, currency: str = "USD") -> str:
    """What a set lacks, and what the gaps would cost."""
    state = seen.state
    said = (
        f"Of {_many(len(seen.wants), 'place')}, {seen.words}, {len(state.kept):,} are filled and "
        f"{len(state.lacks):,} lacking"
    )
    priced = len(state.lacks) - state.unpriced
    if priced:
        said += (
            f"; {_many(priced, 'gap')} with a price would cost {money_words(state.cost, currency)} by your sheets at "
            f"{seen.asked.grade}"
        )
    if state.unpriced:
        said += f"{', and' if priced else ';'} {_many(state.unpriced, 'gap')} {_has(state.unpriced)} no price"
    back = sum(piece.count for piece in state.back)
    return f"{said}." + (f" {_many(back, 'duplicate')} may go back to the heap." if back else "")


def triage_sentence(kit: Kit, spot: Decimal | None = None) -> str:
    """What lies on the table, and what was pulled."""
    every, currency = answers(kit, spot), kit.journal.currency
    if not every:
        return "No piece is laid aside."
    on_table = sum(one.laid.count for one in every if one.laid.where is Where.TABLE)
    pulled = sum(one.laid.count for one in every) - on_table
    now, apart = total(kit, spot=spot), total(kit, Where.PULLED, spot)
    said = "Nothing lies on the table."
    if on_table:
        said = f"{_many(on_table, 'piece lies', 'pieces lie')} on the table: {now.pieces[Verdict.PULL]:,} to pull"
        if now.pieces[Verdict.PULL]:
            net = now.net
            said += (
                f", for {money_words(net.mid, currency)} net from collectors ({money_words(net.low, currency)} to "
                f"{money_words(net.high, currency)}) where the heap would bring {money_words(now.in_heap, currency)}"
            )
        said += f"; {now.pieces[Verdict.KEEP]:,} to keep, {now.pieces[Verdict.HEAP]:,} back to the heap."
    if pulled:
        said += f" {_many(pulled, 'piece is', 'pieces are')} pulled and not sold"
        said += f", worth {money_words(apart.net.mid, currency)} net from collectors." if apart.net.mid else "."
    return said


def grading_sentence(kit: Kit, found: Graded) -> str:
    """Whether grading a piece pays."""
    answer, currency = found.answer, kit.journal.currency
    goods = say_goods(found.named.kind.slug, found.named.issue.replace(":", ", "), kit.catalog())
    return (
        f"Having the {goods} graded {'gains' if answer.pays else 'loses'} {money_words(abs(answer.gain), currency)} on "
        f"average: it would net {money_words(answer.expected, currency)} in its holder, costs "
        f"{money_words(answer.cost, currency)} to send, and nets {money_words(answer.raw, currency)} as it is."
    )


def details_sentence(found: Graded) -> str:
    """What the chance of details does to it."""
    answer = found.answer
    if not answer.details:
        return "No outcome says details. Details are the usual loser: think whether none can come back so."
    said = f"The chance of details is {to_places(answer.details * 100, 1)}%."
    even = answer.details_break_even
    if even is None:
        return f"{said} No chance of details makes grading break even."
    return f"{said} Grading pays while that chance is {even_words(even)}."


def even_words(even: BreakEven | None) -> str:
    """A break-even chance: `below 24.7%`."""
    if even is None:
        return "at no chance"
    return f"{'above' if even.above else 'below'} {to_places(even.chance * 100, 1)}%"


def _many(count: int, one: str, many: str = "") -> str:
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def _has(count: int) -> str:
    return "has" if count == 1 else "have"
