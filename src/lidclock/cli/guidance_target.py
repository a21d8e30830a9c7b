"""`guidance target`: what every authority gives for a food or a task."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.allergens import AllergenList
    from lidclock.app.targets import Boiling, Target

_METRES_PER_FOOT = 0.3048
_ALTITUDE = re.compile(r"([-−]?\d+(?:[.,]\d+)?)\s*(m|ft|feet|foot)", re.IGNORECASE)
_TOPICS = {
    "time_out": "out of the cold",
    "time_only": "time as the only control",
    "danger_zone": "danger zone",
    "date_marking": "date marking",
    "date_marking_exempt": "date marking: exempt",
    "disposition": "when to discard",
    "rop": "packed without air",
    "cheese_moisture": "cheese",
    "refreeze": "freezing again",
}


class Altitude(click.ParamType[float]):
    """An altitude such as 1500m or 5000ft, read into metres."""

    name = "altitude"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:  # noqa: ARG002
        """Metres; InputError says how to write it."""
        return value if isinstance(value, float) else read_altitude(value)


def read_altitude(text: str) -> float:
    """Metres of `1500m` or `5000 ft`."""
    match = _ALTITUDE.fullmatch(text.strip())
    if match is None:
        raise InputError(f"{text!r} is not an altitude; write it like 1500m or 5000ft")
    number = float(match[1].replace(",", ".").replace("−", "-"))
    return number if match[2].lower() == "m" else number * _METRES_PER_FOOT


@click.command()
@click.argument("words", nargs=-1, required=True)
@click.option(
    "--set", "set_id", metavar="SET", help="Of one set alone, for example us-home."
)
@click.option(
    "--altitude",
    type=Altitude(),
    metavar="HEIGHT",
    help="With the word boiling: at this height, e.g. 1500m, 5000ft.",
)
@json_option
def target(
    words: tuple[str, ...], set_id: str | None, altitude: float | None, as_json: bool
) -> None:
    """Say how hot, how cold or how long, by whose word, for WORDS.

    \b
    Example:
      lidclock guidance target ground beef
      lidclock guidance target boiling --altitude 5000ft
    """
    from lidclock.app import targets

    found = targets.find_targets(words, set_id)
    if altitude is not None:
        if not all(one.figure("altitude_ft") for one in found):
            raise InputError("--altitude goes with the word boiling alone")
        boiling = targets.boiling_at(altitude)
        if as_json:
            echo_json(boiling.as_dict())
        else:
            echo_lines(_boiling_lines(boiling))
    elif as_json:
        echo_json(
            {
                "targets": [targets.target_json(one) for one in found],
                "caution": targets.CAUTION,
            }
        )
    else:
        echo_lines([*_target_lines(found), targets.CAUTION])


def _boiling_lines(boiling: Boiling) -> list[str]:
    from lidclock.app.targets import COMPUTED, fahrenheit

    height_m = round(boiling.altitude_m)
    height_ft = round(boiling.altitude_m / _METRES_PER_FOOT)
    return [
        f"water boils at {boiling.boiling_c:.1f} °C "
        f"({fahrenheit(boiling.boiling_c):.1f} °F) at {height_m} m ({height_ft} ft)",
        f"crushed ice and water stand at {boiling.ice_c:g} °C "
        f"({fahrenheit(boiling.ice_c):g} °F) everywhere",
        f"source: {COMPUTED}",
    ]


def _target_lines(found: Sequence[Target]) -> Iterator[str]:
    """By topic, then by whose they are; a source once below what it gives."""
    from lidclock.app.targets import grouped, set_title

    for topic, group in grouped(found).items():
        yield _TOPICS.get(topic, topic)
        for set_id, own in groupby(group, key=lambda one: one.set):
            yield f"  {set_title(set_id)}"
            for source, cited in groupby(own, key=source_words):
                for one in cited:
                    yield f"    {one.says}"
                    yield from (f"      - {option}" for option in one.options)
                yield f"      source: {source}"


def source_words(one: Target | AllergenList) -> str:
    """Authority, document, section, year, and `unverified` where it is."""
    source = one.source
    parts = [source.authority, source.document, one.section, source.year]
    if not source.verified:
        parts.append("unverified")
    return ", ".join(part for part in parts if part not in ("", "-"))
