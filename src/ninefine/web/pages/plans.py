"""Plans: the questions that can be asked before anything is booked, each with its own page."""

from starlette.responses import Response
from starlette.routing import NoMatchFound

from ninefine.desk.exits import exit_names
from ninefine.desk.tables import offers
from ninefine.web.format import plural
from ninefine.web.visit import Visit, shown

#: The plans: route, name, what it answers.
PLANS = (
    ("plan_buy", "Buy", "Which of the offers on the table, how much of each and paid how, for a budget or a weight."),
    (
        "plan_sell",
        "Sell",
        "Which pieces by which ways out, for a sum, an amount, or the most after your own tax rates.",
    ),
    ("plan_whatif", "What if", "What moves in spot would do to your silver; steady buying against all at once."),
    ("plan_divide", "Share out", "Silver among several people: fair shares, their wishes, the least cash to balance."),
    ("plan_swap", "Swap", "What exchanging one form, or one metal, for another would cost, and when it would pay."),
)


def page(visit: Visit) -> Response:
    """What can be planned, and what there is to plan with."""
    kit = visit.kit
    found = []
    for route, name, words in PLANS:
        try:
            found.append((name, words, visit.path_to(route)))
        except NoMatchFound:  # a plan without a page yet is not offered
            continue
    on_table, ways = len(offers(kit)), len(exit_names(kit))
    return visit.page(
        "plans.html",
        stage="plans",
        plans=found,
        offers=plural(on_table, "offer"),
        ways=plural(ways, "way") + " out",
        empty=not on_table and not ways,
    )


routes = [shown("/plans", page, name="plans")]
