"""`ready`: when a container is cooled, frozen through, thawed or tempered."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import click

from lidclock.cli.cool_words import Degrees, Depth, read_degrees
from lidclock.cli.growth import read_text
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns
from lidclock.domain.masses import read_mass
from lidclock.errors import InputError

_MOST_BYTES = 1024 * 1024


_OF_CONTAINERS = ("start", "medium", "thick", "mass", "until_c")


@click.command()
@click.argument("file", default="-", metavar="[FILE|-|FOOD]")
@click.option("--from", "start", metavar="PLACE|TEMP", help="Where it was, or 60C.")
@click.option("--to", "medium", metavar="PLACE|TEMP", help="Where it goes, or 2C.")
@click.option("--thick", type=Depth(), metavar="DEPTH", help="Its shortest side.")
@click.option("--mass", metavar="MASS", help="What is in it, e.g. 800g.")
@click.option(
    "--shape",
    type=click.Choice(["tub", "bag", "tray", "ball"]),
    default="tub",
    show_default=True,
    help="A bag or a tray counts as flat.",
)
@click.option(
    "--until", "until_c", type=Degrees(), metavar="TEMP", help="In the middle."
)
@click.option(
    "--read",
    "readings",
    multiple=True,
    metavar="SPAN=TEMP",
    help="A probe in the middle, e.g. 2h=12C after 2 h; may be repeated.",
)
@click.option("--indent", is_flag=True, help="Spread the answer over lines.")
@click.option("--list", "is_list", is_flag=True, help="Show the foods by name.")
@json_option
def ready(file: str, indent: bool, is_list: bool, as_json: bool, **words: Any) -> None:
    """Predict when food passes a temperature: cooled, frozen through, thawed, tempered.

    With --from and --to: a FOOD of the list, in a container. Without them: one JSON
    document in, JSON out. Hours come as low, mid and high; where the film of air is not
    known the band is that of still air. One or two readings of the middle narrow it, or
    tell that it does not fit. It moves no date: measure the middle.

    \b
    Example:
      lidclock ready chili-beans --from freezer --to fridge --thick 50mm --mass 1kg
      lidclock ready beef-stew --from 60C --to fridge --thick 5cm --read 2h=36C
      echo '{"food": "chili-beans", "shape": "brick", "size_mm": [50, 140, 140],
             "start_c": 5, "medium_c": -18, "h_w_m2k": null,
             "until": {"where": "centre", "temp_c": -15}}' |
        lidclock ready - --indent
    """
    if is_list:
        _show_list(as_json)
        return
    if words["readings"] or any(words[name] is not None for name in _OF_CONTAINERS):
        _show_container(file, as_json, words)
        return
    from lidclock.app.ready import ready as foretell

    text = read_text(file, _MOST_BYTES, "one question is some lines long")
    answer = foretell(text)
    click.echo(json.dumps(answer, indent=2 if indent else None, ensure_ascii=False))


def _show_container(food: str, as_json: bool, words: dict[str, Any]) -> None:
    from lidclock.app.ready_container import PLACES_C, Container, container_ready

    start, medium = words["start"], words["medium"]
    if start is None or medium is None:
        raise InputError("give both --from and --to: freezer, fridge, counter or 60C")
    found = container_ready(
        Container(
            food,
            words["shape"],
            words["thick"],
            None if words["mass"] is None else read_mass(words["mass"]),
            PLACES_C[start] if start in PLACES_C else read_degrees(start),
            medium,
            PLACES_C[medium] if medium in PLACES_C else read_degrees(medium),
            words["until_c"],
            tuple(_reading(one) for one in words["readings"]),
        )
    )
    if as_json:
        echo_json(found)
    else:
        echo_lines(_container_lines(found))


def _container_lines(found: dict[str, Any]) -> list[str]:
    asked, answer = found["question"], found["answer"]
    until, hours = asked["until"]["temp_c"], answer["hours"]
    lines = []
    if hours is not None:
        band = f"({_hours(hours['low'])} to {_hours(hours['high'])})"
        lines.append(
            f"About {_hours(hours['mid'])} {band} until the middle is at {until:g} °C."
        )
    sizes = " x ".join(f"{size:g}" for size in asked["size_mm"])
    lines.append(
        f"  {asked['shape']} of {sizes} mm, {asked['start_c']:g} °C all through, in "
        f"{asked['medium_c']:g} °C"
    )
    read = answer["readings"]
    if read is not None and read["says"] not in answer["cautions"]:
        lines.append(f"  Readings: {read['says']}")
    rule = found["rule_of_thumb_hours"]
    if rule is not None:
        lines.append(
            f"  Rule of thumb, by weight (24 h for 4 to 5 lb): {_hours(rule)}. "
            "Thickness counts, not weight."
        )
    return lines + [f"  {caution}" for caution in answer["cautions"]]


def _reading(text: str) -> tuple[float, float]:
    """Hours and degrees of `2h=12C`."""
    from lidclock.cli.when import read_span

    span, equals, temp = text.partition("=")
    if not equals:
        raise InputError(f"{text!r} is no reading; write it like 2h=12C or 90min=54F")
    return read_span(span) / timedelta(hours=1), read_degrees(temp)


def _hours(hours: float) -> str:
    if hours < 2:
        return f"{60 * hours:.0f} min"
    return f"{hours:.1f} h" if hours < 10 else f"{hours:.0f} h"


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
