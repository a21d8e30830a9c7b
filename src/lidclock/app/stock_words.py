"""What the title of a label stock says, to be said in other languages.

Titles are English, in files that anybody may add. What goes by the pattern of the
shipped ones is no more than paper, number and size; any other stands as it is written.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from lidclock.domain.sentences import Sentence, figure, sentence, sentences

_MM = r"[0-9]{1,4}(?:\.[0-9]{1,3})?"
_SIZE = rf"(?P<width>{_MM}) x (?P<height>{_MM}) mm"
_SHEET = r"(?P<paper>A4|US Letter) sheet, (?P<count>[0-9]{1,4})"


def said_title(title: str) -> str:
    """The title as a sentence where it can be said, else as it is."""
    for pattern, say in _PATTERNS.items():
        found = re.fullmatch(pattern, title)
        if found and (said := say(**found.groupdict())) == title:
            return said
    return title


def _sheet(paper: str, count: str, width: str, height: str) -> Sentence:
    return sentences(
        "{paper} sheet, {count} label of {width} x {height} mm",
        "{paper} sheet, {count} labels of {width} x {height} mm",
        int(count),
        paper=paper,
        width=_figure(width),
        height=_figure(height),
    )


def _round(paper: str, count: str, width: str) -> Sentence:
    return sentences(
        "{paper} sheet, {count} round label of {width} mm",
        "{paper} sheet, {count} round labels of {width} mm",
        int(count),
        paper=paper,
        width=_figure(width),
    )


def _roll(width: str, height: str) -> Sentence:
    return sentence(
        "roll of {width} x {height} mm labels",
        width=_figure(width),
        height=_figure(height),
    )


def _tape(width: str, height: str) -> Sentence:
    return sentence(
        "continuous roll {width} mm wide, a label every {height} mm",
        width=_figure(width),
        height=_figure(height),
    )


def _figure(millimetres: str) -> str:
    return figure(float(millimetres))


_PATTERNS: dict[str, Callable[..., Sentence]] = {
    rf"{_SHEET} labels of {_SIZE}": _sheet,
    rf"{_SHEET} round labels of (?P<width>{_MM}) mm": _round,
    rf"roll of {_SIZE} labels": _roll,
    rf"continuous roll (?P<width>{_MM}) mm wide, a label every (?P<height>{_MM}) mm": (
        _tape
    ),
}
