"""What headings and units say of a column."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from lidclock.templog.logger_csv.numbers import unit_after_digits, unit_in
from lidclock.templog.logger_csv.times import (
    DAY_FIRST,
    MONTH_FIRST,
    YEAR_FIRST,
    offset_us,
)


def _any_of(parts: str, words: str) -> re.Pattern[str]:
    """A pattern for headings: parts of words, or whole words."""
    return re.compile(rf"{parts}|\b(?:{words})\b", re.IGNORECASE)


# Headings as loggers print them (common practice, no source).
_TEMPERATURE = _any_of(
    r"temp|°|º|℃|℉|celsius|fahrenheit|teplota|lämpö|温度",
    r"deg ?[cf]|t ?[0-9]{0,2} ?[cf]?|probe ?[0-9]*",
)
_NOT_MEASURED = _any_of(
    r"dew|taupunkt|set ?point|threshold|kinetic|calibrat|average|minimum|maximum",
    r"set|soll|target|limits?|alarms?|alerts?|warnings?|min|max|avg|mean|mkt|low|high"
    r"|lo|hi|delta|diff(?:erence)?|offset|wind|feels",
)
_OTHER = _any_of(
    r"humid|feucht|volt|batt|akku|signal|press|druck|record|interval|elapsed|duration"
    r"|event|status|error|marker|#|%",
    r"hum|rh|rf|v|rssi|dbm|hpa|mbar|lux|light|co2|ppm|door|no|nr|index|count|samples?|id"
    r"|seq|lat|lon",
)
_TIME = _any_of(
    r"time|date|zeit|datum|fecha|heure|stamp|epoch|utc|gmt",
    r"uhr|hora|data|ora|tid|dato|aika|ts|clock|day",
)
_NAME = _any_of(
    r"sensor|probe|device|channel|kanal|location|station|serial|logger|fühler",
    r"name|tag|mac|address|place|unit id",
)
_THING = _any_of(
    r"metric|measurement|quantity|parameter|variable|entity|property", r"type|field"
)
_UNIT_WORD = re.compile(
    r"\[?\(?\s*(?:°?\s?[CFK]|℃|℉|%\s?(?:rh)?|rh|v|mv|hpa|mbar|lux|ppm|-+|units?"
    r"|[dmyhs:./\- ]{4,})\s*\)?\]?",
    re.IGNORECASE,
)
_PATTERNS = (
    (re.compile(r"d{1,2}[-/. ]m{1,3}[-/. ][yj]{2,4}", re.IGNORECASE), DAY_FIRST),
    (re.compile(r"(?:tt)[-/. ]m{1,3}[-/. ]j{2,4}", re.IGNORECASE), DAY_FIRST),
    (re.compile(r"m{1,2}[-/. ]d{1,2}[-/. ]y{2,4}", re.IGNORECASE), MONTH_FIRST),
    (re.compile(r"[yj]{2,4}[-/. ]m{1,2}[-/. ][dt]{1,2}", re.IGNORECASE), YEAR_FIRST),
)
_OFFSET = re.compile(
    r"(?<![A-Za-z])(?:UTC|GMT)\s?(?P<off>[+\-−]\d{1,2}(?::?\d{2})?)?(?![A-Za-z\d])"
)
_IN_BRACKETS = re.compile(r"[(\[{<]([^)\]}>]*)[)\]}>]")
_AT_END = re.compile(
    r"(?:^|[\s_,./])((?:deg\.?\s?)?[CF])$|(?:_|temp|deg)([cf])$", re.IGNORECASE
)
_SIGNED = re.compile(r"(?:Â?°|º)\s?[CF]\b|℃|℉")
_SCALE = re.compile(r"unit|scale|einheit|temp", re.IGNORECASE)
_DEVICE = re.compile(
    r"\W*(?:serial|seriennummer|s/n|(?:device|gerät|logger|instrument|sensor|probe|recorder)"
    r"(?:[ _-]?(?:id|name|no|nr|number|serial|sn|model))?\.?)[ \w.]{0,12}?\s*[:=,;\t|]",
    re.IGNORECASE,
)
_ZONE_LINE = re.compile(
    r"\W*(?:time ?zone|utc offset|gmt offset|zeitzone)[\s:=,;|]+(.+)", re.IGNORECASE
)


def unit_of(label: str) -> str:
    """`C` or `F` as a heading says it, or ``."""
    signs = {unit_in(one) for one in _SIGNED.findall(label)} - {""}
    if len(signs) == 1:
        return signs.pop()
    for inside in _IN_BRACKETS.findall(label):
        for part in (*re.split(r"[,; ]", inside), inside):
            if unit := unit_in(part):
                return unit
    lowered = label.casefold()
    named = [word[0].upper() for word in ("celsius", "fahrenheit") if word in lowered]
    if named:
        return named[0] if len(named) == 1 else ""
    match = _AT_END.search(label.strip())
    return unit_in(match[1] or match[2]) if match else ""


def is_kelvin(label: str) -> bool:
    """Whether a heading says that its numbers are kelvins."""
    return bool(re.search(r"kelvin|(?:^|[\s_(\[])K[)\]]?$", label))


def without_unit(label: str) -> str:
    """The heading without its unit and the brackets around it."""
    bare = _IN_BRACKETS.sub("", label)
    bare = re.sub(r"(?:Â?°|º)\s?[CF]\b|℃|℉|celsius|fahrenheit", "", bare, flags=re.I)
    bare = _AT_END.sub("", bare.strip())
    return re.sub(r"[\s_,;:*-]+", " ", bare).strip().casefold()


def unit_of_values(texts: Iterable[str]) -> str:
    """The unit that stands behind the numbers; `` if none or several do."""
    found = {unit_after_digits(text) for text in texts} - {""}
    return found.pop() if len(found) == 1 else ""


def unit_of_preamble(texts: Iterable[str]) -> str:
    """The unit that a line above the rows names, as in `Units: Celsius`."""
    found = set()
    for text in texts:
        if _SCALE.search(text):
            words = re.split(r"[\s:=,;|\t()\[\]\"]+", text)
            found |= {unit_in(word) for word in words} | {unit_of(text)}
    found.discard("")
    return found.pop() if len(found) == 1 else ""


def is_unit_heading(label: str) -> bool:
    """Whether a heading names the units of the numbers beside it."""
    return bool(re.search(r"unit|scale|einheit", label, re.IGNORECASE))


def is_temperature(label: str) -> bool:
    """Whether a heading names temperatures that were measured."""
    return bool(_TEMPERATURE.search(_spaced(label))) and not is_not_measured(label)


def is_not_measured(label: str) -> bool:
    """Whether a heading names a limit, a mean or another number beside readings."""
    return bool(_NOT_MEASURED.search(_spaced(label)))


def is_other(label: str) -> bool:
    """Whether a heading names something else than temperature."""
    return bool(_OTHER.search(_spaced(label))) and not is_temperature(label)


def is_time(label: str) -> bool:
    """Whether a heading names a time."""
    return bool(_TIME.search(_spaced(label)))


def is_name(label: str) -> bool:
    """Whether a heading names sensors or places of sensors."""
    return bool(_NAME.search(_spaced(label)))


def is_thing(label: str) -> bool:
    """Whether a heading says what kind of quantity a row holds."""
    return bool(_THING.search(_spaced(label)))


def _spaced(label: str) -> str:
    """`setPoint_high` as `set Point high`, so that its words can be told."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", label.replace("_", " "))


def is_unit_line(fields: Sequence[str]) -> bool:
    """Whether a line under the headings holds units or patterns of times."""
    words = [field for field in fields if field]
    fitting = sum(bool(_UNIT_WORD.fullmatch(word)) for word in words)
    return bool(words) and 2 * fitting >= len(words)


def order_in(text: str) -> str:
    """The order of numerals that a heading such as `dd/mm/yyyy` says, or ``."""
    found = {order for pattern, order in _PATTERNS if pattern.search(text)}
    return found.pop() if len(found) == 1 else ""


def offset_in(label: str) -> int | None:
    """The offset that a heading says, as in `Date Time, GMT-04:00` or `Time (UTC)`."""
    match = _OFFSET.search(label.replace("_", " ").upper())
    return None if match is None else offset_us(match["off"] or "Z")


def zone_line(text: str) -> str:
    """What a line such as `Time zone: UTC+1` says, or ``."""
    match = _ZONE_LINE.match(text)
    return match[1].strip(" \t,;|\"'") if match else ""


def is_device_line(text: str) -> bool:
    """Whether a line above the rows says which device wrote them, and no time."""
    return bool(_DEVICE.match(text)) and not re.search(r"\d[:/]\d", text)
