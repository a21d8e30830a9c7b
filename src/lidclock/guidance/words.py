"""Everyday words compared without their plural endings."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_FILLERS = frozenset("a an and at for in of on or the to with".split())


def stems(text: str) -> tuple[str, ...]:
    """The words of a text in lower case, without plurals and without fillers."""
    plain = "".join(x if x.isalnum() else " " for x in text.casefold())
    return tuple(_stem(word) for word in plain.split() if word not in _FILLERS)


def _stem(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:
        return f"{word[:-3]}y"
    if word.endswith(("oes", "ches", "shes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


def nearest(text: str, known: Iterable[str]) -> list[str]:
    """The most similar of the known words, the best first; at most three."""
    return difflib.get_close_matches(text.casefold(), sorted(set(known)), cutoff=0.6)
