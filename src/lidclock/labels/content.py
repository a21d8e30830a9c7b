"""What a label says: values already put into words by the caller."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import date, timedelta

from lidclock.domain.joiners import JOINERS, misplaced_joiner
from lidclock.errors import LabelError

ENGLISH_MONTHS = (
    *("Jan", "Feb", "Mar", "Apr", "May", "Jun"),
    *("Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
)
_CONTROLS = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
_CODE = re.compile(r"[0-9A-Z]{7}")
_ACTION_CODE = re.compile(r"[\x21-\x7e]{1,24}")
_URI = re.compile(r"[\x21-\x7e]{1,200}")
# A day and a month in figures, with or without a year: 03/04, 3.4.26, 2026-04-03.
_FIGURES_ONLY = re.compile(
    r"(?<![\d.,/-])(?:\d{1,2}([./-])\d{1,2}\1(?:\d{4}|\d{2})"
    r"|\d{4}([./-])\d{1,2}\2\d{1,2}|\d{2}/\d{2})(?![\d/-])"
)


def clean(text: str, what: str) -> str:
    """The text in composed form; control and formatting characters are refused.

    Joiners stay where their script needs them (see `misplaced_joiner`).
    """
    for character in text:
        is_control = unicodedata.category(character) in _CONTROLS
        if is_control and character not in JOINERS:
            raise LabelError(
                f"{what} holds the control character U+{ord(character):04X}; "
                "type it again without it"
            )
    tidy = " ".join(unicodedata.normalize("NFC", text).split())
    stray = misplaced_joiner(tidy)
    if stray:
        raise LabelError(
            f"{what} holds the invisible joiner U+{ord(stray):04X} where its writing "
            "does not use one; type it again without it"
        )
    return tidy


def worded(text: str, what: str) -> str:
    """Cleaned text without an all-number date, which two readers read two ways."""
    tidy = clean(text, what)
    found = _FIGURES_ONLY.search(tidy)
    if found is not None:
        raise LabelError(
            f"{what} holds the all-number date {found.group()}; "
            "write the month in letters"
        )
    return tidy


def _required(text: str, what: str) -> str:
    if not text:
        raise LabelError(f"a label needs {what}; none was given")
    return text


def _matching(text: str, pattern: re.Pattern[str], what: str) -> None:
    if pattern.fullmatch(text) is None:
        raise LabelError(f"{what} cannot go into a symbol: {text!r}")


@dataclass(frozen=True, slots=True)
class Ruler:
    """The days a container was given, `first` and `last` both included.

    Skipped days (frozen, where the guidance frees them) get no notch.
    """

    first: date
    last: date
    skipped: tuple[date, ...] = ()
    months: tuple[str, ...] = ENGLISH_MONTHS

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise ValueError(f"ruler ends {self.last}, before it begins {self.first}")
        if len(self.months) != len(ENGLISH_MONTHS):
            raise ValueError(f"a year has twelve months, not {len(self.months)}")

    def days(self) -> tuple[date, ...]:
        """The days with a notch, in order; the last day always has one."""
        skipped = set(self.skipped) - {self.last}
        count = (self.last - self.first).days + 1
        every = (self.first + timedelta(days=n) for n in range(count))
        return tuple(day for day in every if day not in skipped)


@dataclass(frozen=True, slots=True)
class Label:
    """One container's label.

    `allergens=None` means that they are not all recorded; `known_allergens` are those
    that are.
    """

    name: str
    code: str
    uri: str
    headline_word: str
    headline: str
    headline_note: str = ""
    lines: tuple[str, ...] = ()
    handling: str = ""
    allergens: tuple[str, ...] | None = None
    known_allergens: tuple[str, ...] = ()
    ruler: Ruler | None = None

    def __post_init__(self) -> None:
        _matching(self.code, _CODE, "container code")
        _matching(self.uri, _URI, "container address")
        for field, what in (
            ("name", "a name"),
            ("headline_word", "a word before its date"),
            ("headline", "a date or what to do instead"),
        ):
            tidy = _required(worded(getattr(self, field), what), what)
            object.__setattr__(self, field, tidy)
        for field in ("headline_note", "handling"):
            object.__setattr__(self, field, worded(getattr(self, field), field))
        lines = tuple(worded(line, "a line") for line in self.lines)
        object.__setattr__(self, "lines", tuple(line for line in lines if line))
        for field in ("allergens", "known_allergens"):
            if getattr(self, field) is not None:
                named = tuple(
                    _required(clean(one, "an allergen"), "the allergen's name")
                    for one in getattr(self, field)
                )
                object.__setattr__(self, field, named)

    def typed_code(self) -> str:
        """The code as people read it aloud: three symbols, then four."""
        return f"{self.code[:3]} {self.code[3:]}"

    def allergen_line(self) -> str:
        """Allergens in capitals; "none listed" and "not recorded" differ."""
        if self.allergens is None:
            known = [one.upper() for one in self.known_allergens]
            missing = "others not recorded" if known else "allergens not recorded"
            return " · ".join([*known, missing])
        if not self.allergens:
            return "no listed allergens"
        return " · ".join(one.upper() for one in self.allergens)

    def texts(self) -> tuple[str, ...]:
        """Every piece of text that gets printed, for checking against the fonts."""
        months = () if self.ruler is None else self.ruler.months
        return (
            *(self.name, self.headline_word, self.headline, self.headline_note),
            *(*self.lines, self.handling, self.allergen_line(), *months),
        )


@dataclass(frozen=True, slots=True)
class ActionLabel:
    """One code on the sheet a kitchen pins up: scanning it means "do this next".

    Without a `code` it has no bars: what `uri` holds is too long for them.
    """

    word: str
    code: str
    uri: str
    hint: str = ""

    def __post_init__(self) -> None:
        if self.code:
            _matching(self.code, _ACTION_CODE, "action code")
        _matching(self.uri, _URI, "action address")
        word = _required(worded(self.word, "an action"), "a word for its action")
        object.__setattr__(self, "word", word)
        object.__setattr__(self, "hint", worded(self.hint, "a hint"))

    def texts(self) -> tuple[str, ...]:
        """Every piece of text that gets printed, for checking against the fonts."""
        return (self.word, self.hint, self.code)
