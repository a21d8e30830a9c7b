"""`ready`: when a container is cooled, frozen through, thawed or tempered."""

from __future__ import annotations

import json
from typing import Any

import click

from lidclock.cli.growth import read_text
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns

_MOST_BYTES = 1024 * 1024


@click.command()
@click.argument("file", default="-", metavar="[FILE|-]")
@click.option("--indent", is_flag=True, help="Spread the answer over lines.")
@click.option("--list", "is_list", is_flag=True, help="Show the foods by name.")
@json_option
def ready(file: str, indent: bool, is_list: bool, as_json: bool) -> None:
    """Predict when food passes a temperature, from one JSON document.

    Cooled, frozen through, thawed, tempered: a food, a shape, its sizes, where it comes
    from and goes to. Hours come as low, mid and high; without "h_w_m2k" the band is
    that of still air. It moves no date: measure the middle.

    \b
    Example:
      echo '{"food": "chili-beans", "shape": "brick", "size_mm": [50, 140, 140],
             "start_c": 5, "medium_c": -18, "h_w_m2k": null,
             "until": {"where": "centre", "temp_c": -15}}' |
        lidclock ready - --indent
    """
    if is_list:
        _show_list(as_json)
        return
    from lidclock.app.ready import ready as foretell

    text = read_text(file, _MOST_BYTES, "one question is some lines long")
    answer = foretell(text)
    click.echo(json.dumps(answer, indent=2 if indent else None, ensure_ascii=False))


def _show_list(as_json: bool) -> None:
    from lidclock.app.ready import foods

    found = foods()
    if as_json:
        echo_json(found)
        return
    head = ("ID", "WATER", "FREEZES", "NAME")
    echo_lines(columns([head, *(_row(one) for one in found)]))


def _row(one: dict[str, Any]) -> tuple[str, ...]:
    water, freezing = f"{one['water']:.0%}", f"{one['freezing_c']:g} °C"
    return one["id"], water, freezing, f"{one['name']} ({one['freezing']})"
