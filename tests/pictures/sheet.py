"""A document that shows every page, from what was taken of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

_HEAD = """# Every page, looked at

Made by `make pages` from the invented home kitchen in `sample_inventory`, its clock
held at Tue 3 Nov 2026, 07:30 in New York. What each is for: [page.md](page.md).
"""
# Whatever stands in an address, as the name of a file.
_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_OTHER = re.compile(r"[^0-9A-Za-z]+")


@dataclass(frozen=True)
class Shown:
    """One page: its address, its title, and its pictures by what was looked through."""

    path: str
    title: str
    files: dict[str, str]


def slug_of(path: str) -> str:
    """`/guidance?q=soup` as `guidance-q-soup`; the card lies at `/`.

    An id is left out: no page is told from another by it.
    """
    return _OTHER.sub("-", _ID.sub("", path)).strip("-") or "card"


def whole_sheet(shown: Iterable[Shown]) -> str:
    """The document, as Markdown."""
    return "\n".join([_HEAD, *(line for one in shown for line in _lines(one))])


def _lines(one: Shown) -> Iterator[str]:
    yield f"## {one.title}\n\n`{one.path}`\n"
    for kind, name in one.files.items():
        yield f"![{one.title}: {kind}](images/pages/{name})"
    yield ""
