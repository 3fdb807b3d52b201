"""`ninefine bench scale`, `calipers` and `thermometer`: the person's own instruments."""

from typing import Any

import click

from ninefine.cli.common import booked, form_of, json_option, kit_of
from ninefine.desk import instruments


@click.command("scale", short_help="Set down a scale of yours, and how it was checked.")
@click.argument("name")
@click.option("--step", metavar="WEIGHT", help="Its smallest step: `0.01 g`.")
@click.option("--spread", metavar="WEIGHT", help="Standard deviation of repeated readings; half a step if left out.")
@click.option("--linear", metavar="WEIGHT", help="How far it may be off at any weight; one step if left out.")
@click.option("--drift", metavar="WEIGHT", help="How far its zero wanders while you weigh; nothing if left out.")
@click.option("--check", metavar="WEIGHT", help="A weight of known mass that you put on it.")
@click.option("--within", metavar="WEIGHT", help="How far that weight may be off.")
@click.option("--shown", metavar="WEIGHT", help="What the scale showed for it.")
@json_option
@click.pass_context
def scale_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Set the scale NAME down. A scale that was never checked is taken to be right within 1 in 500.

    \b
    Example:
      ninefine bench scale pocket --step "0.01 g" --check "100 g" --within "0.01 g" --shown "99.98 g"
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    booked(kit, instruments.put_scale(kit, form_of(options)), as_json=as_json)


@click.command("calipers", short_help="Set down your calipers.")
@click.option("--step", metavar="LENGTH", help="Their smallest step: `0.01 mm`.")
@click.option("--error", metavar="LENGTH", help="How far they may be off; 0.03 mm if left out.")
@click.option("--spread", metavar="LENGTH", help="The scatter of placing them; one step if left out.")
@json_option
@click.pass_context
def calipers_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Set your calipers down.

    \b
    Example:
      ninefine bench calipers --step "0.01 mm" --error "0.02 mm"
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    booked(kit, instruments.put_calipers(kit, form_of(options)), as_json=as_json)


@click.command("thermometer", short_help="Set down your thermometer.")
@click.option("--step", metavar="NUMBER", help="Its smallest step, in degrees Celsius.")
@click.option("--error", metavar="NUMBER", help="How far it may be off; one degree if left out.")
@json_option
@click.pass_context
def thermometer_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Set your thermometer down.

    \b
    Example:
      ninefine bench thermometer --step 0.1 --error 0.5
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    booked(kit, instruments.put_thermometer(kit, form_of(options)), as_json=as_json)
