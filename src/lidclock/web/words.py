"""The language of a request, and the words in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

from fastapi import Request

from lidclock.web import pseudo
from lidclock.web.catalogue import Catalogue, read_catalogue

LOCALE = Path(__file__).parent / "locale"
SOURCE = "en"
# Each language by its own name, as somebody who reads nothing else looks for it.
LANGUAGES = {
    "en": "English",
    "es": "Español",
    "fr": "Français",
    "de": "Deutsch",
    "zh-Hans": "简体中文",
    "ar": "العربية",
}
RIGHT_TO_LEFT = frozenset({"ar", pseudo.LEFTWARD})
COOKIE = "lidclock_language"
# A longer list than this is no person's.
_MOST_RANGES = 32
# RFC 9110, 12.4.2: at most three decimals, at most 1.
_QUALITY = re.compile(r"q=(0(?:\.\d{0,3})?|1(?:\.0{0,3})?)", re.IGNORECASE)
# Chinese as it is written in these places has signs of its own: not what we have.
_TRADITIONAL = ("zh-tw", "zh-hk", "zh-mo", "zh-hant")

# Unicode's no-break space, and where plain ones stand for it.
_HOLDS = "\u00a0"
_DEGREES = re.compile(r"(?<=[}\d]) (?=°)")
_APART = re.compile("(?<=\u00ab) | (?=[:;?!\u00bb])")

Translate = Callable[[str], str]


def marked(text: str) -> str:
    """A text that is translated later, where its language is known."""
    return text


def language_of(request: Request) -> str:
    """The language chosen on this device, else the one its browser asks for."""
    chosen = request.cookies.get(COOKIE, "")
    if chosen in LANGUAGES or chosen in pseudo.NAMES:
        return chosen
    return accepted(request.headers.get("accept-language", ""))


def accepted(header: str) -> str:
    """The best of our languages for an Accept-Language header; English if none.

    RFC 9110, 12.5.4: ranges weighed by `q`, the first of equal ones first, none where
    `q` is 0; matched by shortening a range (RFC 4647, 3.4, "lookup"; from memory).
    """
    weighed = sorted(_ranges(header), key=lambda one: -one[1])
    refused = {_matching(name) for name, quality in weighed if not quality}
    for name, quality in weighed:
        found = _matching(name)
        if quality and found is not None and found not in refused:
            return found
    return SOURCE


def _ranges(header: str) -> Iterator[tuple[str, float]]:
    """Each range with its weight; what cannot be read is passed over."""
    for part in header.split(",")[:_MOST_RANGES]:
        name, _, rest = part.strip().partition(";")
        if not rest.strip():
            yield name.strip().lower(), 1.0
        elif found := _QUALITY.fullmatch(rest.strip()):
            yield name.strip().lower(), float(found[1])


def _matching(name: str) -> str | None:
    """Our language for a range: the range itself, or shortened tag by tag."""
    if name == "*":
        return SOURCE
    if name.startswith(_TRADITIONAL):
        return None
    first = name.partition("-")[0]
    return next((one for one in LANGUAGES if one.partition("-")[0] == first), None)


def tag_of(language: str) -> str:
    """How HTML names the language (BCP 47); invented ones pass as English."""
    return f"en-{language}" if language in pseudo.NAMES else language


def direction_of(language: str) -> str:
    """Which way the language is read, as HTML says it."""
    return "rtl" if language in RIGHT_TO_LEFT else "ltr"


@cache
def catalogue_of(language: str) -> Catalogue:
    """The catalogue of a language other than English, as pages say it."""
    name = language.replace("-", "_")
    found = read_catalogue(LOCALE / name / "LC_MESSAGES" / "page.po")
    entries = {
        key: replace(one, says=tuple(_held(language, said) for said in one.says))
        for key, one in found.entries.items()
    }
    return replace(found, entries=entries)


def _held(language: str, said: str) -> str:
    """What must not be parted at the end of a line, held together.

    A figure and its degrees, and in French the signs that stand apart from their word.
    Catalogues have plain blanks there, which everybody can type.
    """
    held = _DEGREES.sub(_HOLDS, said)
    return _APART.sub(_HOLDS, held) if language == "fr" else held


def is_in_catalogues(text: str) -> bool:
    """Whether it is a text of the pages, and no sentence of the program."""
    return any(
        (text, None) in catalogue_of(name).entries
        for name in LANGUAGES
        if name != SOURCE
    )


def translate(language: str) -> Translate:
    """The words of a language; English ones are the keys."""
    if language == SOURCE:
        return lambda text: text
    if language in pseudo.NAMES:
        return lambda text: pseudo.disguise(text, language)
    return catalogue_of(language).one


def translate_many(language: str) -> Callable[[str, str, int], str]:
    """The same for words that change with a number."""
    if language in pseudo.NAMES:
        return lambda one, many, count: pseudo.disguise(
            one if count == 1 else many, language
        )
    if language == SOURCE:
        return lambda one, many, count: one if count == 1 else many
    return catalogue_of(language).many
