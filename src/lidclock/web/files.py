"""The files that pages load, under an address that names their version.

A newer page never runs the scripts of before an update, and what was loaded once is not
asked for again: the address changes whenever a file does.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from hashlib import sha256
from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

STATIC = Path(__file__).parent / "static"
TEMPLATES = Path(__file__).parent / "templates"
# The pages that a worker keeps, with what they are made of.
_KEPT_BY = (
    *("base.html", "scan.html", "temperatures.html", "cooling.html"),
    *("cooling_parts.html", "temp_parts.html", "queue_box.html", "queue_words.html"),
)
_VERSION = re.compile("[0-9a-f]{16}")
_FOR_GOOD, _ASK_ANEW = "public, max-age=31536000, immutable", "no-cache"


class Files(StaticFiles):
    """Static files, also in a folder that bears the version.

    In that of another version are the files as they are, to be asked for anew: a page
    of before an update finds the scripts that it loads late.
    """

    async def get_response(self, path: str, scope: Scope) -> Response:
        """One file, with how long it may be kept."""
        folder, *rest = Path(path).parts
        is_versioned = bool(rest) and _VERSION.fullmatch(folder) is not None
        plain = str(Path(*rest)) if is_versioned else path
        answer = await super().get_response(plain, scope)
        is_own = is_versioned and folder == version()
        answer.headers["Cache-Control"] = _FOR_GOOD if is_own else _ASK_ANEW
        return answer


@cache
def version() -> str:
    """The version of all files and of the pages that are kept, worked out once."""
    return version_of([*run(STATIC), *(TEMPLATES / name for name in _KEPT_BY)])


@cache
def address() -> str:
    """Where the files of this version lie."""
    return f"/static/{version()}"


def run(folder: Path) -> list[Path]:
    """What a browser runs or shows: licences and the like need not be kept."""
    kinds = (".js", ".wasm", ".css", ".svg")
    return sorted(path for path in folder.rglob("*") if path.suffix in kinds)


def version_of(paths: Iterable[Path]) -> str:
    """A version that changes when a file changes, comes, goes or is renamed."""
    found = sha256()
    for path in paths:
        content = path.read_bytes()
        found.update(f"{path.name} {len(content)}\n".encode() + content)
    return found.hexdigest()[:16]
