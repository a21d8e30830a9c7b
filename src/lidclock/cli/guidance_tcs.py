"""`guidance tcs`: does a food need time/temperature control, by pH and dryness?"""

from __future__ import annotations

import click

from lidclock.cli.options import echo_json, echo_lines, json_option


@click.command()
@click.option("--ph", type=click.FloatRange(0, 14), metavar="PH", help="pH, measured.")
@click.option(
    "--aw", type=click.FloatRange(0, 1), metavar="AW", help="Water activity, measured."
)
@click.option(
    "--heated-then-packed",
    is_flag=True,
    help="Heated to kill germs and then packed: Table A instead of Table B.",
)
@json_option
def tcs(
    ph: float | None, aw: float | None, heated_then_packed: bool, as_json: bool
) -> None:
    """Look a food up in the Food Code's two tables of pH and water activity.

    What was not measured is taken as the worst it can be.

    \b
    Example:
      lidclock guidance tcs --ph 4.1
    """
    from lidclock.app.tcs import judged, table_rows

    if ph is None and aw is None:
        raise click.UsageError("give --ph, --aw or both")
    cell = judged(ph, aw, heated_then_packed=heated_then_packed)
    if as_json:
        echo_json(cell)
        return
    echo_lines(
        [
            f"{cell['measured']}: {cell['words']}",
            *table_rows(cell),
            f"source: {cell['source']}",
            "This says nothing of spoilage, and a guessed pH is none: measure it "
            "with a calibrated meter, and ask your local authority.",
        ]
    )
