"""`growth`: what-if for a temperature history, without a kitchen."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, BinaryIO

import click

from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns
from lidclock.errors import InputError

# A minute's readings of three years are 25 MB of JSON.
MOST_BYTES = 64 * 1024 * 1024
ADVICE = "leave out points that lie on a straight line, or ask for a shorter time"


@click.command()
@click.argument("file", default="-", metavar="[FILE|-]")
@click.option("--indent", is_flag=True, help="Spread the answer over lines.")
@click.option("--list", "is_list", is_flag=True, help="Show what can be asked for.")
@json_option
def growth(file: str, indent: bool, is_list: bool, as_json: bool) -> None:
    """Predict growth from one JSON document: an organism and a temperature profile.

    The answer warns earlier; it is no limit and moves no date. Hours and °C, straight
    between the points. Instead of an organism, `worst` asks for the worst of them, and
    "parameters" gives a law of your own.

    \b
    Example:
      echo '{"organism": "listeria-monocytogenes",
             "profile": [[0, 4], [8, 4], [10, 12], [20, 4]]}' |
        lidclock growth - --indent
    """
    if is_list:
        _show_list(as_json)
        return
    from lidclock.app.growth import growth as foretell

    answer = foretell(read_text(file))
    click.echo(json.dumps(answer, indent=2 if indent else None, ensure_ascii=False))


def _show_list(as_json: bool) -> None:
    from lidclock.app.growth import organisms

    found = organisms()
    if as_json:
        echo_json(found)
        return
    head = ("ID", "KIND", "RANGE", "STATUS")
    rows = [
        (one["id"], one["kind"], _range(one), one["source"]["status"]) for one in found
    ]
    lines = columns([head, *rows])
    told = [lines[0]]
    for one, line in zip(found, lines[1:], strict=True):
        source = one["source"]
        cited = ", ".join(
            source[key] for key in ("authority", "document", "section", "year")
        )
        told += [line, f"  {one['name']}. {one['says']}", f"  {cited}"]
    echo_lines(told)


def _range(one: dict[str, Any]) -> str:
    low, high = one["valid_c"]
    dryness = one["valid_aw"]
    extra = f", aw {dryness[0]:g} to {dryness[1]:g}" if dryness else ""
    return f"{low:g} to {high:g} °C{extra}"


def read_text(file: str, most_bytes: int = 0, advice: str = ADVICE) -> str:
    """The document in a file, or in the input where it is called -, if not huge."""
    most_bytes = most_bytes or MOST_BYTES
    try:
        if file == "-":
            raw = _at_most(sys.stdin.buffer, file, most_bytes, advice)
        else:
            with Path(file).open("rb") as stream:
                raw = _at_most(stream, file, most_bytes, advice)
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(f"{file}: not UTF-8 text") from error
    except OSError as error:
        raise InputError(f"cannot read {file}: {error.strerror}") from error


def _at_most(stream: BinaryIO, file: str, most_bytes: int, advice: str) -> bytes:
    raw = stream.read(most_bytes + 1)
    if len(raw) > most_bytes:
        raise InputError(f"{file}: larger than {most_bytes // 1024**2} MB; {advice}")
    return raw
