"""A strict reader of calendars, by the grammar of RFC 5545 (3.1, 3.6) and no library.

Whatever is outside the grammar is an AssertionError. It knows what lidclock writes, not
all that a calendar may hold.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

MOST_OCTETS = 75  # RFC 5545, 3.1: without the line break
_NAME = re.compile(r"[A-Za-z0-9-]+")
# 3.1: SAFE-CHAR has no control, DQUOTE, ";", ":" or ","; VALUE-CHAR has no control.
_LINE = re.compile(
    r'(?P<name>[A-Z0-9-]+)(?P<params>(?:;[A-Z0-9-]+=(?:"[^"\x00-\x08\x0a-\x1f\x7f]*"'
    r'|[^";:,\x00-\x08\x0a-\x1f\x7f]*))*):(?P<value>[^\x00-\x08\x0a-\x1f\x7f]*)'
)
_TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,Nn])*")  # 3.3.11
_DATE = r"[0-9]{8}"
_TIME = rf"{_DATE}T[0-9]{{6}}"
_FORMS = {
    "DTSTAMP": rf"{_TIME}Z",
    "SEQUENCE": r"[0-9]+",
    "TRANSP": r"TRANSPARENT|OPAQUE",
    "VERSION": r"2\.0",
    "ACTION": "DISPLAY",
    "TZOFFSETFROM": r"[+-][0-9]{4}(?:[0-9]{2})?",
    "TZOFFSETTO": r"[+-][0-9]{4}(?:[0-9]{2})?",
    "RDATE": rf"{_TIME}(?:,{_TIME})*",
    "RRULE": r"[A-Z]+=[A-Z0-9,+-]+(?:;[A-Z]+=[A-Z0-9,+-]+)*",
    "REFRESH-INTERVAL": r"PT?[0-9]+[WDHMS]",
}
_TEXTS = {"SUMMARY", "DESCRIPTION", "NAME", "PRODID", "UID", "TZID", "TZNAME"}
# 3.6.1, 3.6.5, 3.6.6 and 3.4: what each must have, and what it may have besides; names
# with a star may come more than once.
_PARTS = {
    "VCALENDAR": ("PRODID VERSION", "NAME REFRESH-INTERVAL", "VTIMEZONE VEVENT"),
    "VEVENT": (
        "UID DTSTAMP DTSTART",
        "DTEND SUMMARY DESCRIPTION SEQUENCE TRANSP RRULE *EXDATE",
        "VALARM",
    ),
    "VALARM": ("ACTION TRIGGER DESCRIPTION", "", ""),
    "VTIMEZONE": ("TZID", "", "STANDARD DAYLIGHT"),
    "STANDARD": ("DTSTART TZOFFSETFROM TZOFFSETTO", "TZNAME RRULE *RDATE", ""),
    "DAYLIGHT": ("DTSTART TZOFFSETFROM TZOFFSETTO", "TZNAME RRULE *RDATE", ""),
}


@dataclass
class Property:
    """A content line: its name, its parameters, its value as written."""

    name: str
    params: dict[str, str]
    value: str

    @property
    def text(self) -> str:
        """The value of a text, its escapes undone."""
        return re.sub(r"\\(.)", lambda x: "\n" if x[1] in "Nn" else x[1], self.value)


@dataclass
class Part:
    """A component with its properties and what lies in it."""

    name: str
    properties: list[Property] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)

    def all(self, name: str) -> list[Property]:
        return [one for one in self.properties if one.name == name]

    def one(self, name: str) -> Property:
        (found,) = self.all(name)
        return found

    def named(self, name: str) -> list[Part]:
        return [one for one in self.parts if one.name == name]


def unfolded(data: bytes) -> list[str]:
    """Content lines: CRLF ends each, none has over 75 octets, no character is cut."""
    assert data.endswith(b"\r\n")
    lines: list[str] = []
    for raw in data[:-2].split(b"\r\n"):
        assert len(raw) <= MOST_OCTETS, raw
        assert b"\r" not in raw, raw
        assert b"\n" not in raw, raw
        text = raw.decode("utf-8")  # each by itself: a fold lies between characters
        if text[:1] in (" ", "\t"):
            lines[-1] += text[1:]
        else:
            lines.append(text)
    return lines


def read(data: bytes) -> Part:
    """The one calendar in `data`."""
    waiting: list[Part] = []
    whole: list[Part] = []
    for line in unfolded(data):
        one = _property(line)
        if one.name == "BEGIN":
            waiting.append(Part(one.value))
        elif one.name == "END":
            part = waiting.pop()
            assert part.name == one.value
            _check(part)
            (waiting[-1].parts if waiting else whole).append(part)
        else:
            waiting[-1].properties.append(one)
    assert not waiting
    (calendar,) = whole
    assert calendar.name == "VCALENDAR"
    return calendar


def _property(line: str) -> Property:
    found = _LINE.fullmatch(line)
    assert found, line
    pairs = [one.partition("=") for one in found["params"].split(";")[1:]]
    return Property(found["name"], {k: v for k, _, v in pairs}, found["value"])


def _check(part: Part) -> None:
    must, may, inner = (words.split() for words in _PARTS[part.name])
    names = [one.name for one in part.properties]
    for name in must:
        assert names.count(name) == 1, (part.name, name)
    for name in set(names) - set(must):
        assert name in may or f"*{name}" in may, (part.name, name)
        assert f"*{name}" in may or names.count(name) == 1, (part.name, name)
    assert {one.name for one in part.parts} <= set(inner), part.name
    if part.name in ("VCALENDAR", "VTIMEZONE"):  # 3.6 and 3.6.5: at least one
        assert part.parts
    for one in part.properties:
        _check_value(one)
    if part.name == "VEVENT":
        _check_times(part)


def _check_value(one: Property) -> None:
    if one.name in _TEXTS:
        assert _TEXT.fullmatch(one.value), one
    if one.name in _FORMS:
        assert re.fullmatch(_FORMS[one.name], one.value), one
    if one.name in ("DTSTART", "DTEND", "EXDATE"):
        form = _DATE if one.params.get("VALUE") == "DATE" else rf"{_TIME}Z?"
        assert re.fullmatch(form, one.value), one
        # 3.2.19: no zone beside UTC, and one beside every local time of an event.
        assert not ("TZID" in one.params and one.value.endswith("Z")), one
    if one.name == "TRIGGER":
        is_absolute = one.params.get("VALUE") == "DATE-TIME"
        form = rf"{_TIME}Z" if is_absolute else r"-?P(?:[0-9]+D)?(?:T[0-9HMS]+)?"
        assert re.fullmatch(form, one.value), one


def _check_times(event: Part) -> None:
    """3.6.1 and 3.8.5.1: ends and exceptions are of the kind of the start."""
    start = event.one("DTSTART")
    is_day = start.params.get("VALUE") == "DATE"
    assert is_day or "TZID" in start.params or start.value.endswith("Z")
    for other in (*event.all("DTEND"), *event.all("EXDATE")):
        assert other.params == start.params
    for rule in event.all("RRULE"):
        until = re.search(r"UNTIL=([^;]*)", rule.value)
        if until and "TZID" in start.params:  # 3.3.10
            assert re.fullmatch(rf"{_TIME}Z", until[1])
