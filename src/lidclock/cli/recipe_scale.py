"""`recipe scale`: one document in, exact masses out, without a kitchen."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from lidclock.domain.screen_text import json_shown
from lidclock.errors import InputError

MOST_BYTES = 1024 * 1024
_TOML = ".toml"

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


def size_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """How many portions, how large, and how masses are shown."""
    for option in reversed(_SIZE):
        function = option(function)
    return function


_SIZE: list[Decorator] = [
    click.option("--count", metavar="N", default="", help="How many portions."),
    click.option(
        "--factor",
        metavar="NUMBER",
        default="",
        help="Instead of a count: so many times what is written, e.g. 2, 1.5, 3/4.",
    ),
    click.option(
        "--portion", metavar="MASS", default="", help="Of each, e.g. 300g, 4oz."
    ),
    click.option(
        "--loss",
        metavar="SHARE",
        default="",
        help="Lost between mixing and filling, e.g. 0.025, 2.5%. [the recipe's]",
    ),
    click.option(
        "--containers",
        metavar="LIST",
        default="",
        help="How many share the mix, or their sizes: 2kg,2kg,1kg. [the count]",
    ),
    click.option(
        "--weighed", metavar="MASS", default="", help="What the mix really weighs."
    ),
    click.option(
        "--exact", is_flag=True, help="Do not round the mix up to a whole gram."
    ),
    click.option(
        "--step", metavar="MASS", default="", help="Show masses by steps of 1g, 0.5oz."
    ),
]


@click.command()
@click.argument("file", default="-", metavar="[FILE|-]")
@size_options
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    help="How masses are shown; they are computed in grams.",
)
@click.option("--indent", is_flag=True, help="Spread the answer over lines.")
def scale(file: str, indent: bool, **size: Any) -> None:
    """Scale the recipe in a JSON or TOML file to a count and a portion.

    The answer is JSON; its numbers are exact decimals, written as text. Rounding is for
    `shown` only. Portions in grams where no unit is given.

    \b
    Example:
      echo '{"name": "buns", "base": "flour",
             "inputs": [{"name": "flour", "percent": 100},
                        {"name": "milk", "percent": 69.5}]}' |
        lidclock recipe scale - --count 6 --portion 300g --loss 2.5% --indent
    """
    from lidclock.app.recipes import Size, plan_json, plan_recipe

    text, is_toml = read_document(file)
    plan = plan_recipe(text, Size(**size), is_toml=is_toml)
    answer = json.dumps(
        plan_json(plan), indent=2 if indent else None, ensure_ascii=False
    )
    click.echo(json_shown(answer))


def read_document(file: str) -> tuple[str, bool]:
    """The text of a file, or of the input where it is called -, and if it is TOML.

    What begins with a brace is JSON, whatever the file is called.
    """
    try:
        if file == "-":
            raw = sys.stdin.buffer.read(MOST_BYTES + 1)
        else:
            with Path(file).open("rb") as stream:
                raw = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise InputError(f"cannot read {file}: {error.strerror}") from error
    if len(raw) > MOST_BYTES:
        raise InputError(
            f"{file}: larger than {MOST_BYTES // 1024**2} MB; one recipe at a time"
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{file}: not UTF-8 text") from error
    begins_so = text.lstrip()[:1] in {"{", "["} and not file.lower().endswith(_TOML)
    is_toml = not begins_so and not file.lower().endswith(".json")
    return text, is_toml
