"""`temp draw`: a place over a week as a picture, or all places side by side."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import echo_lines
from lidclock.cli.temp_list import since_option


@click.command()
@click.argument("place", required=False)
@click.option("--all", "is_all", is_flag=True, help="Every place, side by side.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    metavar="FILE",
    help="FILE.png, FILE.svg or FILE.pdf.",
)
@since_option
@click.option("--until", metavar="TIME", help="Where the picture ends. [now]")
@click.option(
    "--containers", "with_containers", is_flag=True, help="How many stood there, too."
)
@pass_desk
def draw(desk: Desk, place: str | None, out: Path, **options: Any) -> None:
    """Draw how warm PLACE was, with its limit, excursions, spikes and gaps.

    Hatched is what went beyond the limit, grey when nobody measured. The broad line is
    food that lags behind the air: where it stays within the limit, an open door is
    called a spike. A figure shows what was measured and moves no limit.

    \b
    Example:
      lidclock temp draw "Fridge 2" --out fridge.png
      lidclock temp draw "Fridge 2" --out fridge.pdf --since 2d --until "Sun 12:00"
      lidclock temp draw --all --out week.svg
    """
    from lidclock.app import temp_figure
    from lidclock.cli.when import read_span

    if (place is None) != options["is_all"]:
        raise click.UsageError("name one place, or say --all for every place")
    within: timedelta = read_span(options["since"])
    with desk.session() as session:
        wanted: dict[str, Any] = {
            "within": within,
            "until": time_of(session, options["until"]),
            "with_containers": options["with_containers"],
        }
        if place is None:
            drawn = temp_figure.draw_fleet(session, out, **wanted)
        else:
            drawn = temp_figure.draw_place(session, place, out, **wanted)
    echo_lines([f"drawing: {out} ({drawn.name}, {drawn.span})", *drawn.remarks])
