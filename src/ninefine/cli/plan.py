"""The group of commands that plan. Each is imported only when it is called; none books anything unless it says so."""

import importlib

import click

#: Command -> the module that holds it (as `plan_<name>_command`) and its one line in the list.
PLANS: dict[str, tuple[str, str]] = {
    "buy": ("plan_buy", "The best basket over offers, for a budget or a weight."),
    "sell": ("plan_sell", "Which pieces to sell, by which ways out, for a sum or an amount."),
    "divide": ("plan_divide", "Share silver out fairly, with the least cash to balance."),
    "whatif": ("plan_whatif", "What the stack would bring as spot moves, on paths of your own or of the past."),
    "steady": ("plan_whatif", "What a steady sum each month would have bought, against a lump sum."),
    "swap": ("plan_swap", "What changing silver for gold or another form costs, and when it pays."),
}


class Plans(click.Group):
    """A group whose commands are imported only when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Every command, in the order of the table."""
        return list(PLANS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """Load a command's module and answer the command."""
        if cmd_name not in PLANS:
            return None
        module = importlib.import_module(f"ninefine.cli.{PLANS[cmd_name][0]}")
        command = getattr(module, f"plan_{cmd_name}_command")
        if not isinstance(command, click.Command):
            raise TypeError(f"plan_{cmd_name}_command is no command")
        if command.help is not None:
            command.help = command.help.replace("\\b\n", "\b\n")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in PLANS.items()])


@click.group("plan", cls=Plans, short_help="Plan a purchase, a sale, a sharing out; what if spot moves.")
def plan_command() -> None:
    r"""Plan before anything is booked: whole pieces, exact cents, proven best or said how far from it.

    \b
    Examples:
      ninefine plan sell 5000 --by friday
      ninefine plan sell --amount "400 face" --goal most-kept --short-rate 32 --long-rate 28
    """
