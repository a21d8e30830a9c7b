"""Foods called by their names, as a person types them."""

from __future__ import annotations

import difflib
import unicodedata
from typing import TYPE_CHECKING

from lidclock.domain.joiners import misplaced_joiner, without_joiners
from lidclock.domain.sentences import figure, sentence
from lidclock.domain.texts import LONGEST_NAME, one_line
from lidclock.errors import InputError, UnknownThingError

if TYPE_CHECKING:
    from lidclock.app.session import Unit


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


def clean_name(name: str) -> str:
    """A food's name without stray blanks; InputError if nothing is left."""
    bare = " ".join(name.split())
    if not without_joiners(bare).isprintable() or misplaced_joiner(bare) or not bare:
        raise InputError(
            sentence(
                "{name} is not a name; write it as it stands on the lid",
                name=repr(name),
            )
        )
    if len(bare) > LONGEST_NAME:
        raise InputError(
            sentence(
                "{name} is no name: write at most {most} letters",
                name=f"{bare[:40]!r}...",
                most=figure(LONGEST_NAME),
            )
        )
    return bare


def food_name(name: str) -> str:
    """The same, composed (Unicode's NFC): é typed as one sign or as two is one food."""
    return unicodedata.normalize("NFC", clean_name(name))


def listed_allergens(text: str | None) -> tuple[str, ...] | None:
    """`wheat, milk`, each once; None where nobody said."""
    if text is None:
        return None
    names = [one_line(part, "an allergen") for part in text.split(",")]
    found = tuple(dict.fromkeys(name.lower() for name in names if name))
    if not found:
        fact = sentence("name the allergens, or say that none are in it")
        raise InputError("name the allergens, or say --no-allergens", fact)
    return found
