"""Foods called by their names, as a person types them."""

from __future__ import annotations

import difflib

from lidclock.app.session import Unit
from lidclock.errors import UnknownThingError


def known_names(unit: Unit, typed: list[str]) -> list[str]:
    """The foods' names as the kitchen writes them; the error names the nearest."""
    names = {food.name.casefold(): food.name for food in unit.snapshots.foods()}
    return [_known(name, names) for name in typed]


def _known(typed: str, names: dict[str, str]) -> str:
    name = names.get(" ".join(typed.split()).casefold())
    if name is not None:
        return name
    close = difflib.get_close_matches(typed.casefold(), names, n=3, cutoff=0.5)
    if close:
        words = " or ".join(names[one] for one in close)
        raise UnknownThingError(
            f"no food {typed!r} in this kitchen; did you mean {words}?"
        )
    raise UnknownThingError(
        f"no food {typed!r} in this kitchen; add it with `lidclock food add`, "
        "`lidclock food list` shows the others"
    )
