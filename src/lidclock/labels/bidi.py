"""Reading direction: which way each character of a text runs, digits always forward.

The rules are those of Unicode Standard Annex 9. The library gives each character's
level for all of them but N0 (paired brackets), which is added here; its second
implementation, which has N0 but tells no levels, must then agree on the order.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from typing import Any

from lidclock.errors import LabelError

LEFT_MARK, RIGHT_MARK = "\u200e", "\u200f"
_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})
_NUMBERS = frozenset({"EN", "AN"})
# What may stand between the figures and words of one quantity: "1.25 kg", "5 °C".
_JOINTS = frozenset({"ES", "ET", "CS", "WS", "NSM"})
_SIGNS = frozenset("+-\u2212\u00b1")
_BETWEEN_NUMBERS = frozenset("\u00d7\u2013")
# Stands for a quantity while its surroundings are ordered: neutral, like an isolate.
_OBJECT = "\ufffc"


def has_right_to_left(text: str) -> bool:
    """True if any of it is written from right to left."""
    return any(unicodedata.bidirectional(one) in _RIGHT_TO_LEFT for one in text)


def base(text: str) -> int:
    """0 if the text as a whole runs from left to right, 1 if from right to left."""
    if not has_right_to_left(text):
        return 0
    from bidi import get_base_level

    return int(get_base_level(text))


def levels(text: str) -> list[int]:
    """Each character's level: even runs from left to right, odd from right to left.

    A number with its unit, a date, a code that begins with a figure stay together
    and forward wherever they stand.
    """
    if not has_right_to_left(text):
        return [0] * len(text)
    whole = base(text)
    kept = list(_quantities(text))
    outline, at = _without(text, kept)
    found = resolved(outline, whole)
    _agree(text, outline, found, whole)
    result = [found[place] for place in at]
    for start, end in kept:
        result[start:end] = [result[start] + result[start] % 2] * (end - start)
    return result


def visual(order: list[int]) -> list[int]:
    """Positions from left to right, given each one's level (rule L2)."""
    places = list(range(len(order)))
    for level in range(max(order, default=0), 0, -1):
        start = 0
        while start < len(places):
            end = start
            while end < len(places) and order[places[end]] >= level:
                end += 1
            places[start:end] = reversed(places[start:end])
            start = max(end, start + 1)
    return places


def mirrored(letter: str) -> str:
    """How a bracket or sign looks where text runs from right to left."""
    from bidi.mirror import MIRRORED

    return str(MIRRORED.get(letter, letter))


def _quantities(text: str) -> Iterator[tuple[int, int]]:
    """Stretches that begin with a figure or its sign and hold more than one number.

    Words carry the figures behind them along as it is; they need no such care.
    """
    kinds = [unicodedata.bidirectional(one) for one in text]
    at = 0
    while at < len(text):
        start, at = at, at + 1
        signed = text[start] in _SIGNS and kinds[at : at + 1] == ["EN"]
        if kinds[start] == "L":
            at = _end(text, kinds, start, _JOINTS)
        elif signed or kinds[start] == "EN":
            end = _end(text, kinds, start, _JOINTS)
            if not {"L", "ET"} & set(kinds[start:end]):
                end = _end(text, kinds, start, _JOINTS - {"WS"})
            if not text[start:end].isdigit():
                yield start, end
            at = end


def _end(text: str, kinds: list[str], start: int, joints: frozenset[str]) -> int:
    """Where a stretch of words and figures that read forward ends."""
    end = start + 1
    for at in range(start + 1, len(text)):
        if kinds[at] in {"L", "EN", "ET"}:
            end = at + 1
        elif kinds[at] not in joints and text[at] not in _BETWEEN_NUMBERS:
            break
    return end


def _without(text: str, kept: list[tuple[int, int]]) -> tuple[str, list[int]]:
    """The text with one object for each stretch, and where each character went.

    Joiners take no part in the order; they go with the character before them.
    """
    starts = dict(kept)
    outline, at, end = list[str](), list[int](), 0
    for place, one in enumerate(text):
        if place in starts:
            end = starts[place]
            outline.append(_OBJECT)
        elif place >= end and unicodedata.bidirectional(one) != "BN":
            outline.append(one)
        at.append(max(len(outline) - 1, 0))
    return "".join(outline), at


def resolved(text: str, whole: int) -> list[int]:
    """Each character's level by rules W1 to W7, N0 to N2, I1, I2 and L1."""
    from bidi import algorithm

    storage = algorithm.get_empty_storage()
    storage["base_level"], storage["base_dir"] = whole, "LR"[whole]
    algorithm.get_embedding_levels(text, storage)
    algorithm.explicit_embed_and_overrides(storage)
    algorithm.resolve_weak_types(storage)
    _resolve_brackets(storage["chars"], "LR"[whole])
    algorithm.resolve_neutral_types(storage, debug=False)
    algorithm.resolve_implicit_levels(storage, debug=False)
    found = [int(one["level"]) for one in storage["chars"]]
    for place in reversed(range(len(found))):
        if unicodedata.bidirectional(text[place]) != "WS":
            break
        found[place] = whole
    return found


def _agree(text: str, outline: str, found: list[int], whole: int) -> None:
    """Refuse the text unless two implementations order it alike."""
    from bidi import get_display

    ordered = "".join(outline[place] for place in visual(found))
    if ordered != get_display(outline, base_dir="LR"[whole]):
        raise LabelError(
            f"{text!r} mixes right-to-left and left-to-right writing in a way whose "
            "order is not certain; write it more simply"
        )


def _resolve_brackets(chars: list[dict[str, Any]], own: str) -> None:
    """Rule N0: a pair of brackets runs the way of what it holds or stands in."""
    for first, last in _bracket_pairs(chars):
        inside = {_strong(one["type"]) for one in chars[first + 1 : last]} - {""}
        if not inside:
            continue
        side = own
        if own not in inside:
            before = (_strong(one["type"]) for one in reversed(chars[:first]))
            side = next(filter(None, before), own)
        for place in (first, last):
            chars[place]["type"] = side
            for mark in chars[place + 1 :]:
                if mark["orig"] != "NSM":
                    break
                mark["type"] = side


def _strong(kind: str) -> str:
    """The direction a type counts as: numbers as R, anything undecided as nothing."""
    if kind in _NUMBERS:
        return "R"
    return kind if kind in {"L", "R"} else ""


def _bracket_pairs(chars: list[dict[str, Any]]) -> list[tuple[int, int]]:
    """Matching brackets still undecided, by where they open (definition BD16)."""
    from bidi.mirror import MIRRORED

    open_ones: list[tuple[int, str]] = []
    pairs: list[tuple[int, int]] = []
    for place, one in enumerate(chars):
        letter = one["ch"]
        kind = unicodedata.category(letter)
        if one["type"] != "ON" or letter not in MIRRORED:
            continue
        if kind == "Ps":
            open_ones.append((place, MIRRORED[letter]))
        elif kind == "Pe":
            nearest = [n for n, (_, wanted) in enumerate(open_ones) if wanted == letter]
            if nearest:
                pairs.append((open_ones[nearest[-1]][0], place))
                del open_ones[nearest[-1] :]
    return sorted(pairs)
