"""The program's sentences in the language of a page."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup, escape

from lidclock.domain.sentences import DayName, Figure, Sentence, Wording
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
    if not isinstance(words, Sentence):
        return _alone(language, words)
    values = {
        name: _apart(language, one, spoken(language, one))
        for name, one in words.values.items()
    }
    return _pattern(language, words).format_map(values)


def said(language: str, words: str) -> Markup | str:
    """The same for a page: what stays English is marked so, to be read aloud right."""
    if language == SOURCE or not words:
        return words
    if not is_sayable(language, words):
        return Markup('<span lang="en" dir="ltr">{}</span>').format(str(words))
    if not isinstance(words, Sentence):
        return _alone(language, words)
    values = {name: _value(language, one) for name, one in words.values.items()}
    return Markup(escape(_pattern(language, words))).format_map(values)


def speak_all(language: str, facts: Any) -> Any:
    """JSON-ready data with every sentence in it said in the language."""
    if isinstance(facts, dict):
        return {name: speak_all(language, one) for name, one in facts.items()}
    if isinstance(facts, list):
        return [speak_all(language, one) for one in facts]
    return spoken(language, facts) if isinstance(facts, str) else facts


def _alone(language: str, words: str) -> str:
    """A day, a figure, or data."""
    if isinstance(words, DayName):
        return dates.say_day_name(language, words)
    if isinstance(words, Figure):
        return dates.say_number(language, words)
    return str(words)


def _pattern(language: str, words: Sentence) -> str:
    if words.is_bare:
        return words.text
    if words.many is None:
        return translate(language)(words.text)
    return translate_many(language)(words.text, words.many, words.number)


def _value(language: str, words: str) -> Markup | str:
    if isinstance(words, (Sentence, Wording)):
        return said(language, words)
    return _apart(language, words, _alone(language, words))


def _apart(language: str, words: str, said_anew: str) -> str:
    is_data = not isinstance(words, (Sentence, DayName, Figure))
    if is_data and language in RIGHT_TO_LEFT:
        return f"{_ISOLATE}{said_anew}{_END}"
    return said_anew
