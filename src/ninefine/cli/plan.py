"""The group of commands that plan. Each is imported only when it is called; none books anything unless it says so."""

import click

from ninefine.cli.group import TableGroup

#: Command -> the module that holds it (as `plan_<name>_command`) and its one line in the list.
PLANS: dict[str, tuple[str, str]] = {
    "buy": ("plan_buy", "The best basket over offers, for a budget or a weight."),
    "sell": ("plan_sell", "Which pieces to sell, by which ways out, for a sum or an amount."),
    "divide": ("plan_divide", "Share silver out fairly, with the least cash to balance."),
    "whatif": ("plan_whatif", "What the stack would bring as spot moves, on paths of your own or of the past."),
    "steady": ("plan_whatif", "What a steady sum each month would have bought, against a lump sum."),
    "swap": ("plan_swap", "What changing silver for gold or another form costs, and when it pays."),
}


@click.group(
    "plan",
    cls=TableGroup,
    table=PLANS,
    held_as="plan_{}_command",
    short_help="Plan a purchase, a sale, a sharing out; what if spot moves.",
)
def plan_command() -> None:
    r"""Plan before anything is booked: whole pieces, exact cents, proven best or said how far from it.

    \b
    Examples:
      ninefine plan sell 5000 --by friday
      ninefine plan sell --amount "400 face" --goal most-kept --short-rate 32 --long-rate 28
    """
