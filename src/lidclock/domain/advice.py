"""Advice for a command line, and a message without it.

Messages are written once, for every screen, and say what to do: at a keyboard often by
a command. A page has buttons instead, so what only a command line can follow is left
out.
"""

from __future__ import annotations

import re

# An option stands by itself; in quotes it is what somebody typed.
_COMMAND = re.compile(r"`lidclock|(?<![^\s(])--[a-z]")
_BRACKETS = re.compile(r"\s*\([^()]*\)")
# What ends a claim or a question, so that it stands without what follows.
_ENDS = re.compile(r"(?<=\?) |[:.] ")


def without_commands(text: str) -> str:
    """The message without the parts that only a command line can follow.

    What names no command comes back as it is, a sentence with its words included.
    """
    if not _COMMAND.search(text):
        return text
    bare = _BRACKETS.sub(lambda one: "" if _COMMAND.search(one[0]) else one[0], text)
    parts = (_claim(part) for part in bare.split("; "))
    return "; ".join(part for part in parts if part) or _first_words(bare) or text


def _claim(part: str) -> str:
    """The part up to where a command is named; nothing if that is no claim."""
    found = _COMMAND.search(part)
    if found is None:
        return part
    ends = [one.start() for one in _ENDS.finditer(part, 0, found.start())]
    return part[: ends[-1]].strip() if ends else ""


def _first_words(text: str) -> str:
    found = _COMMAND.search(text)
    return text[: found.start() if found else None].rstrip(" (`:,;")
