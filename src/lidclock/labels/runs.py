"""Runs: a text cut up so that each part has one direction, one script and one face."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from lidclock.errors import LabelError
from lidclock.labels import bidi, found, shipped
from lidclock.labels.faces import (
    Style,
    is_invisible,
    passed_over,
    script_of,
    styles,
)

_VIRAMA = 9
_JOINER = "\u200d"
# Thai and Lao AM, spoken after and drawn above the letter before it.
_TRAILING = frozenset("\u0e33\u0eb3")
_SKIN_TONES = ("\U0001f3fb", "\U0001f3ff")
# Later letters of a Korean syllable written in parts.
_KOREAN_PARTS = ("\u1160", "\u11ff")
_UNNAMED = frozenset({"Cc", "Cn", "Co", "Cs"})
# East Asian letters tell the language, and the language the shape of shared ideographs.
_LANGUAGES = {"Hira": "Jpan", "Kana": "Jpan", "Hang": "Kore", "Bopo": "Hans"}
_SHARED = "Hani"
_CHINESE = "Hans"
_NAMED_AT_MOST = 5


@dataclass(frozen=True, slots=True)
class Run:
    """Part of a text, `start` to `end`; without a style it is set letter by letter."""

    start: int
    end: int
    level: int
    script: str = ""
    style: Style | None = None


class UncoveredError(LabelError):
    """Characters no face shows, each with its script."""

    def __init__(self, text: str, letters: dict[str, str]) -> None:
        super().__init__(_refusal(text, letters))
        self.letters = tuple(letters)


def clusters(text: str) -> list[str]:
    """What a reader takes for one character each: a letter with all its marks."""
    parts: list[str] = []
    for one in text:
        if parts and _clings(one, parts[-1]):
            parts[-1] += one
        else:
            parts.append(one)
    return parts


def _clings(one: str, before: str) -> bool:
    last = before[-1]
    if unicodedata.category(one)[0] == "M" or is_invisible(one) or one in _TRAILING:
        return not before.isspace()
    return (
        last == _JOINER
        or (unicodedata.combining(last) == _VIRAMA and one.isalpha())
        or _SKIN_TONES[0] <= one <= _SKIN_TONES[1]
        or _KOREAN_PARTS[0] <= one <= _KOREAN_PARTS[1]
    )


def split(text: str, *, bold: bool) -> list[Run]:
    """The runs of a text as it is read; UncoveredError where no face helps."""
    nameless = [one for one in text if unicodedata.category(one) in _UNNAMED]
    if nameless:
        raise UncoveredError(text, dict.fromkeys(nameless, ""))
    pieces = _pieces(text)
    own = [piece.script for piece in pieces]
    pieces = _with_neighbours(pieces)
    return list(_merged(_styled(text, pieces, own, bold=bold)))


def _pieces(text: str) -> list[Run]:
    """Each cluster with its level and, unless it is plain, its script."""
    levels = bidi.levels(text)
    pieces: list[Run] = []
    start = 0
    for part in clusters(text):
        plain = levels[start] % 2 == 0 and shipped.is_plain(part)
        script = "" if plain else _script(part)
        pieces.append(Run(start, start + len(part), levels[start], script))
        start += len(part)
    return pieces


def _script(part: str) -> str:
    """The first script among a cluster's characters that is not shared by many."""
    return next(filter(None, map(script_of, part)), found.COMMON)


def _with_neighbours(pieces: list[Run]) -> list[Run]:
    """Signs take the script of what stands before them, else of what comes after."""
    scripts = [piece.script for piece in pieces]
    for order in (range(len(pieces)), reversed(range(len(pieces)))):
        last = found.COMMON
        for at in order:
            if scripts[at] == found.COMMON:
                scripts[at] = last
            elif scripts[at]:
                last = scripts[at]
    return [
        replace(piece, script=script)
        for piece, script in zip(pieces, scripts, strict=True)
    ]


def _styled(
    text: str, pieces: list[Run], own: list[str], *, bold: bool
) -> Iterator[Run]:
    """Each piece with a face: one for all letters of a script where there is one.

    A letter that this face lacks, or a sign, takes the first face that has it.
    """
    parts = [text[piece.start : piece.end] for piece in pieces]
    keys = [_language(piece.script, text) for piece in pieces]
    letters: dict[str, list[str]] = {}
    for part, key, script in zip(parts, keys, own, strict=True):
        if script not in {"", found.COMMON}:
            letters.setdefault(key, []).append(part)
    chosen = {key: _first(key, mine, bold=bold) for key, mine in letters.items()}
    lost: dict[str, str] = {}
    for piece, part, key in zip(pieces, parts, keys, strict=True):
        style = chosen.get(key)
        if key and (style is None or not style.face.covers(part)):
            style = _first(key, [part], bold=bold)
            if style is None:
                lost |= dict.fromkeys(_worst(part, key, bold=bold), key)
        yield replace(piece, style=style)
    if lost:
        raise UncoveredError(text, lost)


def _language(script: str, text: str) -> str:
    """What fonts are chosen by: the script, for ideographs the text's language."""
    if script != _SHARED:
        return _LANGUAGES.get(script, script)
    told = (_LANGUAGES.get(script_of(one)) for one in text)
    return next(filter(None, told), _CHINESE)


def _first(key: str, parts: list[str], *, bold: bool) -> Style | None:
    """The first face that covers all the parts."""
    return next(
        (
            style
            for style in styles(key, bold=bold)
            if all(map(style.face.covers, parts))
        ),
        None,
    )


def _worst(part: str, key: str, *, bold: bool) -> str:
    """Characters of a cluster that no face has; all of it if only together."""
    alone = [one for one in part if _first(key, [one], bold=bold) is None]
    return "".join(alone) or part


def _merged(runs: Iterator[Run]) -> Iterator[Run]:
    for _, same in groupby(runs, key=lambda run: (run.level, run.script, run.style)):
        first, *rest = same
        yield replace(first, end=rest[-1].end) if rest else first


def _refusal(text: str, letters: dict[str, str]) -> str:
    """What is not covered, by name, and what might bring it."""
    named = [
        f"{one!r} (U+{ord(one):04X} {unicodedata.name(one, 'without a name')})"
        for one in list(letters)[:_NAMED_AT_MOST]
    ]
    if len(letters) > _NAMED_AT_MOST:
        named.append(f"{len(letters) - _NAMED_AT_MOST} more")
    scripts = [script for script in dict.fromkeys(letters.values()) if script]
    brings = dict.fromkeys(one for key in scripts for one in found.packages(key))
    hint = "write it another way"
    if brings:
        hint = f"install the Debian package {' or '.join(brings)}, or {hint}"
    over = "".join(
        f" ({reason})" for key in scripts for reason in dict.fromkeys(passed_over(key))
    )
    return (
        f"{text!r} holds {', '.join(named)}, which no label font can show{over}; {hint}"
    )
