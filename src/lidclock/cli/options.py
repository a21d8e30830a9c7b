"""Options and arguments that several commands share."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import click

from lidclock.domain.codes import LENGTH
from lidclock.domain.masses import read_mass
from lidclock.domain.screen_text import json_shown
from lidclock.errors import InputError

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


class Mass(click.ParamType[float]):
    """A mass such as 350g, read into grams."""

    name = "mass"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:  # noqa: ARG002
        """Grams; InputError says how to write it."""
        return value if isinstance(value, float) else read_mass(value)


class Temp(click.ParamType[float]):
    """A temperature such as 4C or 40F, read into degrees Celsius."""

    name = "temp"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:  # noqa: ARG002
        """Degrees Celsius; InputError says how to write it."""
        from lidclock.domain.readings import read_temp

        return value if isinstance(value, float) else read_temp(value)


class Offset(click.ParamType[tuple[float, float]]):
    """Two millimetres such as 1.5,-0.5."""

    name = "offset"

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[float, float]:
        """How far to the right and down."""
        if isinstance(value, tuple):
            return value
        try:
            right, down = (float(one) for one in str(value).split(","))
        except ValueError:
            right = down = _MOST_OFFSET_MM + 1
        if not (abs(right) <= _MOST_OFFSET_MM and abs(down) <= _MOST_OFFSET_MM):
            self.fail(
                f"{value!r} is no offset: two millimetres to the right and down, such "
                f"as 1.5,-0.5, within {_MOST_OFFSET_MM:g} mm",
                param,
                ctx,
            )
        return right, down


_MOST_OFFSET_MM = 20.0
# A code is printed as three symbols, a gap, four symbols.
GAP_AFTER = 3

MASS = Mass()
TEMP = Temp()
OFFSET = Offset()

at_option = click.option(
    "--at", metavar="TIME", help="When it happened, e.g. 'Sat 31 Oct 17:10'. [now]"
)
anyway_option = click.option(
    "--anyway", is_flag=True, help="Record it although it is odd."
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
paper_option = click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="[letter in a kitchen of US units, else a4]",
)
temp_option = click.option(
    "--temp", type=TEMP, metavar="TEMP", help="What the thermometer said, e.g. 4C, 40F."
)
lot_option = click.option("--lot", default="", help="The lot on the supplier's pack.")
place_option = click.option("--place", metavar="NAME", help="Where it was put.")
food_option = click.option("--food", metavar="NAME", help="What food it is.")


def code_words(nargs: int = -1) -> Decorator:
    """A code that may be typed as printed, with its gap: `4F7 K2M0`."""
    return click.argument("words", metavar="CODE", nargs=nargs, required=True)


def one_code(words: tuple[str, ...]) -> str:
    """The one code in `words`; with its gap it arrives as two words."""
    codes = gathered(words)
    if len(codes) != 1:
        raise InputError(f"one code at a time; {' '.join(words)!r} is {len(codes)}")
    return codes[0]


def gathered(words: tuple[str, ...]) -> list[str]:
    """The codes in `words`, those typed with their gap put together again."""
    codes: list[str] = []
    waiting = list(words)
    while waiting:
        word = waiting.pop(0)
        halves = (
            waiting and len(word) == GAP_AFTER and len(waiting[0]) == LENGTH - GAP_AFTER
        )
        codes.append(f"{word} {waiting.pop(0)}" if halves else word)
    return codes


def code_and_masses(words: tuple[str, ...]) -> tuple[str, list[float]]:
    """`4F7 K2M0 120g 80g`: the code, then masses."""
    if len(words) > 1 and len(words[0]) == GAP_AFTER:
        code, rest = words[0] + words[1], words[2:]
    else:
        code, rest = words[0], words[1:]
    if not rest:
        raise InputError("say how much after the code, for example 120g")
    return code, [read_mass(word) for word in rest]


def echo_json(data: Any) -> None:
    """Print `data` as one JSON document."""
    click.echo(json_shown(json.dumps(data, indent=2, ensure_ascii=False)))


def echo_lines(lines: list[str]) -> None:
    """Print lines at once."""
    if lines:
        click.echo("\n".join(lines))
