"""`growth`: what a model makes of a container, or of a temperature history."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, BinaryIO

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import TEMP, echo_json, echo_lines, json_option, one_code
from lidclock.cli.show import columns
from lidclock.errors import InputError

# A minute's readings of three years are 25 MB of JSON.
MOST_BYTES = 64 * 1024 * 1024
ADVICE = "leave out points that lie on a straight line, or ask for a shorter time"


@click.command()
@click.argument("words", nargs=-1, metavar="[CODE|FILE|-]")
@click.option("--indent", is_flag=True, help="Spread the answer over lines.")
@click.option("--list", "is_list", is_flag=True, help="Show what can be asked for.")
@click.option("--organism", metavar="ID", help="For CODE: not the worst, but this one.")
@click.option(
    "--doublings",
    type=float,
    metavar="N",
    help="For CODE: warn of so many doublings before the last moment. [10]",
)
@click.option(
    "--room",
    type=TEMP,
    metavar="TEMP",
    help="For CODE: how warm it is on a counter that nobody measured. [25C]",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="For CODE: draw it to FILE.png, FILE.svg or FILE.pdf.",
)
@json_option
@pass_desk
def growth(desk: Desk, words: tuple[str, ...], as_json: bool, **options: Any) -> None:
    """Predict growth in a container, or for a temperature profile in a JSON document.

    The answer warns earlier; it is no limit and moves no date. For CODE it takes what
    was measured where the container stood, says what it had to assume, and warns where
    the model passes some doublings before the last moment. A FILE asks in hours and °C,
    straight between the points, of an organism or of the `worst`; "parameters" gives a
    law of your own.

    \b
    Example:
      lidclock growth 4F7 K2M0 --out stew.png
      echo '{"organism": "listeria-monocytogenes",
             "profile": [[0, 4], [8, 4], [10, 12], [20, 4]]}' |
        lidclock growth - --indent
    """
    if options["is_list"]:
        _show_list(as_json)
        return
    if words and not _is_file(words):
        _show_container(desk, one_code(words), options, as_json)
        return
    _refuse_others(options)
    from lidclock.app.growth import growth as foretell

    answer = foretell(read_text(words[0] if words else "-"))
    indent = 2 if options["indent"] else None
    click.echo(json.dumps(answer, indent=indent, ensure_ascii=False))


def _is_file(words: tuple[str, ...]) -> bool:
    """Whether it names a file; a code has no point in it, and its gap makes two words.

    What a scanner types of a code is an address.
    """
    if len(words) > 1 or "://" in words[0]:
        return False
    word = words[0]
    return word == "-" or "." in word or "/" in word or Path(word).is_file()


def _refuse_others(options: Mapping[str, Any]) -> None:
    for name in ("organism", "doublings", "room", "out"):
        if options[name] is not None:
            raise click.UsageError(
                f"--{name} goes with the CODE of a container; a FILE says all itself"
            )


def _show_container(
    desk: Desk, code: str, options: Mapping[str, Any], as_json: bool
) -> None:
    from lidclock.app.growth_container import DOUBLINGS, Asked, foretell
    from lidclock.cli.growth_container import foretold_json, foretold_lines

    doublings = options["doublings"]
    asked = Asked(
        options["organism"] or "",
        DOUBLINGS if doublings is None else doublings,
        options["room"],
    )
    with desk.session() as session:
        with session.read() as unit:
            told = foretell(unit, code, asked)
        if as_json:
            echo_json(foretold_json(told, session))
        else:
            echo_lines(foretold_lines(told, session))
        if options["out"] is not None:
            from lidclock.app.growth_figure import draw_foretold

            draw_foretold(told, session, options["out"])
            click.echo(f"drawing: {options['out']}", err=as_json)


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
