"""`Thu 18:30 buns x2, radish`: a meal as a cook writes it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from lidclock.cli.weekly import read_clock
from lidclock.cli.when import read_coming_time
from lidclock.domain.moments import local_date
from lidclock.domain.planning import Item
from lidclock.errors import InputError

EXAMPLE = "write it like 'Thu 18:30 buns x2, radish'"
_LONGEST = 2000
# `in 2 days 3 h`, `Sat 31 Oct 2026 at 5 pm`: no time takes more words.
_MOST_WORDS = 8
_PORTIONS = re.compile(
    r"(?P<food>.*?)\s*(?<![^\s])[x×]\s*(?P<count>[-+]?[0-9]\S*)", re.I
)
_CLOCK = re.compile(r"[0-9]{1,2}:[0-9]{2}|[0-9]{1,2}\s*[ap]m\b", re.I)


@dataclass(frozen=True, slots=True)
class Written:
    """What was written: an instant, or an hour alone; and the foods, if any."""

    at: datetime | None = None
    clock: time | None = None
    items: tuple[Item, ...] | None = None


def read_meal(text: str, zone: ZoneInfo, now: datetime) -> Written:
    """Day and hour first, then what is eaten; either may be left out."""
    if len(text) > _LONGEST:
        raise InputError(f"that is longer than {_LONGEST} characters; {EXAMPLE}")
    words = text.replace(",", " , ").split()
    count = _time_words(words, zone, now)
    head, rest = words[:count], words[count:]
    if rest[:1] == [","]:
        rest = rest[1:]
    items = read_items(" ".join(rest)) if rest else None
    if not count:
        _refuse_bad_time(words, zone, now)
        return Written(items=items)
    at = read_coming_time(" ".join(head), zone, now)
    try:
        return Written(at, read_clock(" ".join(head)), items)
    except InputError:
        return Written(at, None, items)


def _time_words(words: list[str], zone: ZoneInfo, now: datetime) -> int:
    """How many of the first words name a time: as many as can be read as one."""
    for count in range(min(_MOST_WORDS, len(words)), 0, -1):
        try:
            read_coming_time(" ".join(words[:count]), zone, now)
        except (InputError, OverflowError):
            continue
        return count
    return 0


def _refuse_bad_time(words: list[str], zone: ZoneInfo, now: datetime) -> None:
    """The words of the error where an hour stands there that could not be read."""
    text = " ".join(words)
    match = _CLOCK.search(text)
    if match is not None:
        read_coming_time(text[: match.end()], zone, now)
        raise InputError(f"{text[: match.end()]!r} is not a time; {EXAMPLE}")


def read_items(text: str) -> tuple[Item, ...]:
    """`buns x2, radish`: foods with their portions; without a number one an eater."""
    parts = [" ".join(part.split()) for part in text.split(",")]
    if not all(parts):
        raise InputError(f"a food is missing beside a comma; {EXAMPLE}")
    return tuple(map(_item, parts))


def _item(part: str) -> Item:
    match = _PORTIONS.fullmatch(part)
    if match is None or not match["food"]:
        return Item(part)
    if not re.fullmatch(r"[0-9]{1,6}", match["count"]):
        raise InputError(
            f"{part!r}: portions are a whole number, such as {match['food']} x2"
        )
    return Item(match["food"], int(match["count"]))


def read_coming_day(text: str, zone: ZoneInfo, now: datetime) -> date:
    """The day to come that is meant by `Thu`, `tomorrow` or `5 Nov`."""
    if not text.strip():
        raise InputError("'' is not a day; write it like Thu or '5 Nov'")
    if _CLOCK.search(text):
        raise InputError(f"{text!r}: leave out the hour; a day is enough, such as Thu")
    try:
        at = read_coming_time(f"{text} 23:59", zone, now)
    except InputError as error:
        raise InputError(
            str(error).replace(" 23:59", "").replace("is not a time", "is not a day")
        ) from error
    return local_date(at, zone)
