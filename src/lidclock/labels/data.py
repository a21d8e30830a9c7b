"""Where the label data lies: stock sizes, layouts and fonts."""

from __future__ import annotations

import math
import os
import tomllib
from pathlib import Path
from typing import Any

from lidclock.errors import LabelError

# A file may hold integers that no float holds.
_TOO_MANY = 10**300


def folder() -> Path:
    """The labels folder: inside an installed package, else at the top of a checkout."""
    here = Path(__file__).resolve()
    installed = here.parents[1] / "_labels"
    if installed.is_dir():
        return installed
    return here.parents[3] / "labels"


def own_folder() -> Path:
    """Where a user's own files lie, in folders of the same names."""
    chosen = os.environ.get("LIDCLOCK_LABELS")
    if chosen:
        return Path(chosen).expanduser()
    import platformdirs

    return Path(platformdirs.user_config_dir("lidclock")) / "labels"


def names(kind: str) -> tuple[str, ...]:
    """Names of the TOML files of one kind ("stock", "layout", "kind"), in order."""
    return tuple(sorted({*shipped_names(kind), *own_names(kind)}))


def has(kind: str, name: str) -> bool:
    """Whether there is a file of that kind and name; the user's are looked at last."""
    return name in shipped_names(kind) or name in own_names(kind)


def shipped_names(kind: str) -> set[str]:
    """Those that come along."""
    return {path.stem for path in (folder() / kind).glob("*.toml")}


def own_names(kind: str) -> set[str]:
    """Those that the user added; none stands in for a shipped one."""
    found = {path.stem for path in (own_folder() / kind).glob("*.toml")}
    return found - shipped_names(kind)


def read(kind: str, name: str) -> dict[str, Any]:
    """One data file as a table; `name` must be one that `names(kind)` lists."""
    path = folder() / kind / f"{name}.toml"
    if not path.exists():
        path = own_folder() / kind / f"{name}.toml"
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as error:
        raise LabelError(f"{kind} file {name}.toml cannot be read: {error}") from error


def number(table: dict[str, Any], key: str, where: str) -> float:
    """A number from a data file; anything else is refused with its place named."""
    value = table.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise LabelError(f"{where}: {key} must be a number, not {value!r}")
    return float(value) if abs(value) < _TOO_MANY else math.inf


def whole(table: dict[str, Any], key: str, where: str) -> int:
    """A whole number from a data file; anything else is refused, place named."""
    value = number(table, key, where)
    if not value.is_integer():
        raise LabelError(f"{where}: {key} must be a whole number, not {value:g}")
    return int(value)


def text(table: dict[str, Any], key: str, where: str) -> str:
    """A piece of text from a data file; anything else is refused, place named."""
    value = table.get(key)
    if not isinstance(value, str) or not value:
        raise LabelError(f"{where}: {key} must be text, not {value!r}")
    return value
