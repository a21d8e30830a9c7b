"""Fonts found on the machine: which files are wanted for which script, and by whom.

Nothing here opens a font; looking starts when a text needs more than the shipped faces.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from lidclock.errors import LabelError
from lidclock.labels import data

VARIABLE = "LIDCLOCK_FONTS"
# Signs of no script, as ISO 15924 calls them.
COMMON = "Zyyy"
_WHERE = "fonts file fallback"
_ENDINGS = frozenset({".ttf", ".ttc", ".otf"})
_SLANTED = ("italic", "oblique")


@dataclass(frozen=True, slots=True)
class Family:
    """A wanted family: its file names, what it is for, who packages it."""

    regular: str
    bold: str
    scripts: tuple[str, ...]
    package: str
    licence: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A file to try; `thicken` where a bold is wanted and the file is not one."""

    path: Path
    thicken: bool = False


@cache
def _table() -> dict[str, Any]:
    return data.read("fonts", "fallback")


@cache
def families() -> tuple[Family, ...]:
    """Every wanted family, in order of preference."""
    return tuple(
        Family(
            regular=name + data.text(source, "regular", _WHERE),
            bold=name + source["bold"] if "bold" in source else "",
            scripts=tuple(scripts),
            package=data.text(source, "package", _WHERE),
            licence=data.text(source, "licence", _WHERE),
        )
        for source in _table()["source"]
        for name, scripts in source["families"].items()
    )


def folders() -> tuple[str, ...]:
    """Where fonts are looked for, the kitchen's own folder apart."""
    return tuple(_table()["folders"])


def own_folder() -> str:
    """The further folder that LIDCLOCK_FONTS names, or nothing."""
    return os.environ.get(VARIABLE, "")


@lru_cache(maxsize=8)
def files(places: tuple[str, ...]) -> dict[str, Path]:
    """Font files below the places by file name; the first of a name counts."""
    found: dict[str, Path] = {}
    for place in places:
        for folder, inner, names in os.walk(Path(place).expanduser()):
            inner.sort()
            for name in sorted(names):
                if Path(name).suffix.lower() in _ENDINGS:
                    found.setdefault(name, Path(folder, name))
    return found


def choices(script: str, *, bold: bool) -> Iterator[Choice]:
    """Files to try for a script: the kitchen's own, then the wanted families'."""
    own = own_folder()
    if own and not Path(own).expanduser().is_dir():
        raise LabelError(f"{VARIABLE} names {own}, which is no folder of fonts")
    yield from _own(files((own,)) if own else {}, bold=bold)
    have = files((*folders(), *([own] if own else [])))
    for wanted in dict.fromkeys((script, COMMON)):
        for family in families():
            if wanted in family.scripts:
                yield from _of_family(family, have, bold=bold)


def _of_family(
    family: Family, have: dict[str, Path], *, bold: bool
) -> Iterator[Choice]:
    if bold and family.bold in have:
        yield Choice(have[family.bold])
    elif family.regular in have:
        yield Choice(have[family.regular], thicken=bold)


def _own(have: dict[str, Path], *, bold: bool) -> Iterator[Choice]:
    """A kitchen's own upright fonts; bold ones first where bold is wanted."""
    upright = [
        (path, "bold" in name.lower())
        for name, path in have.items()
        if not any(word in name.lower() for word in _SLANTED)
    ]
    if bold:
        yield from (Choice(path) for path, is_bold in upright if is_bold)
    yield from (Choice(path, thicken=bold) for path, is_bold in upright if not is_bold)


def packages(script: str) -> tuple[str, ...]:
    """Debian packages that bring a family for the script which is not found here."""
    have = files(folders())
    return tuple(
        dict.fromkeys(
            family.package
            for family in families()
            if script in family.scripts and family.regular not in have
        )
    )
