"""The program's sentences in the language of a page."""

from __future__ import annotations

from markupsafe import Markup, escape

from lidclock.domain.sentences import DayName, Figure, Quoted, Sentence
from lidclock.web import dates, pseudo
from lidclock.web.words import (
    RIGHT_TO_LEFT,
    SOURCE,
    catalogue_of,
    translate,
    translate_many,
)

# Around data in a text that may run the other way: Unicode UAX 9, 2.4.
_ISOLATE, _END = "\u2068", "\u2069"
_IN_ENGLISH = Markup('<span lang="en" dir="ltr">{}</span>')


def is_sayable(language: str, words: object) -> bool:
    """Whether the language has the sentence; English and invented ones have all."""
    if isinstance(words, (DayName, Figure)):
        return True
    if not isinstance(words, Sentence):
        return False
    if language == SOURCE or language in pseudo.NAMES or words.is_bare:
        return True
    return (words.text, words.many) in catalogue_of(language).entries


def spoken(language: str, words: str) -> str:
    """The sentence as plain text; English where the language has no words for it.

    Values that are data are set apart where the language runs from right to left, so
    that what they begin and end with does not move.
    """
    if language == SOURCE:
        return str(words)
    if isinstance(words, DayName):
        return dates.say_day_name(language, words)
    if isinstance(words, Figure):
        return dates.say_number(language, words)
    if not isinstance(words, Sentence):
        return str(words)
    values = {name: _value(language, one) for name, one in words.values.items()}
    return _pattern(language, words).format_map(values)


def said(language: str, words: str) -> Markup | str:
    """The same for a page: what stays English is marked so, to be read aloud right."""
    if language == SOURCE or not words:
        return words
    if not is_sayable(language, words):
        return _IN_ENGLISH.format(str(words))
    if not (isinstance(words, Sentence) and _has_english(language, words)):
        return spoken(language, words)
    values = {
        name: said(language, one)
        if _has_english(language, one)
        else _value(language, one)
        for name, one in words.values.items()
    }
    return escape(_pattern(language, words)).format_map(values)


def _has_english(language: str, words: str) -> bool:
    """Whether it stays English, or something in it does; data is no English."""
    if isinstance(words, Sentence):
        inside = words.values.values()
        return not is_sayable(language, words) or any(
            _has_english(language, one) for one in inside
        )
    return isinstance(words, Quoted)


def _pattern(language: str, words: Sentence) -> str:
    """What the language says, with the places for values."""
    if words.is_bare:
        return words.text
    if words.many is None:
        return translate(language)(words.text)
    return translate_many(language)(words.text, words.many, words.number)


def _value(language: str, words: str) -> str:
    said_anew = spoken(language, words)
    is_data = not isinstance(words, (Sentence, DayName, Figure))
    if is_data and language in RIGHT_TO_LEFT:
        return f"{_ISOLATE}{said_anew}{_END}"
    return said_anew
