"""Words and columns: how containers, dates and reasons look on a screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.domain.codes import spaced
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import (
    local_date,
    say_day,
    say_near_day,
    say_short_day,
)

if TYPE_CHECKING:
    from lidclock.app.lists import Listed
    from lidclock.app.session import View
    from lidclock.app.values import Limit, Verdict
    from lidclock.domain.snapshots import Snapshot

_GAP = "  "
HOUSE = "house rule, no authority"
_TICK = timedelta(microseconds=1)


def plural(count: int, one: str, many: str = "") -> str:
    """`1 box`, `2 boxes`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def columns(rows: Sequence[Sequence[str]], indent: int = 0) -> list[str]:
    """Rows as aligned lines; a column that is empty everywhere is left out."""
    if not rows:
        return []
    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = [
            cell.ljust(width)
            for cell, width in zip(row, widths, strict=True)
            if width > 0
        ]
        lines.append(" " * indent + _GAP.join(cells).rstrip())
    return lines


def say_when(instant: datetime, zone: ZoneInfo) -> str:
    """`Sat 31 Oct 17:10`."""
    local = instant.astimezone(zone)
    return f"{say_short_day(local.date())} {local:%H:%M}"


def box(index: int | None, of: int | None) -> str:
    """`box 2 of 6`, where there is more than one."""
    return f"box {index} of {of}" if index and (of or 1) > 1 else ""


def mass(mass_g: float | None) -> str:
    """The mass, or nothing where nobody weighed it."""
    return "" if mass_g is None else say_mass(mass_g)


def offset_words(offset_mm: tuple[float, float]) -> str:
    """`1.5 mm right, 0.5 mm up`; nothing where nothing is moved."""
    right, down = offset_mm
    return ", ".join(
        f"{abs(length):g} mm {way if length > 0 else other}"
        for length, way, other in ((right, "right", "left"), (down, "down", "up"))
        if length
    )


def date_word(is_house_rule: bool) -> str:
    """`use by` where an authority stands behind it, else `best by`."""
    return "best by" if is_house_rule else "use by"


def listed_words(listed: Listed) -> str:
    """The date of a listed container: `use by Thu 5 Nov`, `5 days left ...`."""
    one = listed.container
    if one.standing == "ended":
        when = f" since {say_when(one.ended_at, listed.zone)}" if one.ended_at else ""
        return ": ".join(part for part in (one.end_kind + when, one.end_reason) if part)
    if one.standing == "paused" and listed.status != "over":
        return _paused_words(listed)
    return moment_words(listed) or "no last day"


def _paused_words(listed: Listed) -> str:
    """How many days are left, and the date that the freezer does not move."""
    days = listed.days_left or 0
    left = f"{plural(days, 'day')} left after thawing"
    if days < 1:
        left = "no days left after thawing: discard"
    dated = moment_words(listed)
    if dated and days:
        return f"{left}, {dated}"
    return f"{left}{_notes(listed.container)}"


def moment_words(listed: Listed) -> str:
    """`use by Thu 5 Nov`, with the hour where an hour clock set it."""
    one = listed.container
    if one.last_moment is None:
        return ""
    end = one.last_moment - _TICK
    day = say_near_day(
        local_date(end, listed.zone), local_date(listed.now, listed.zone)
    )
    hour = f"{end.astimezone(listed.zone):%H:%M} " if one.has_hour else ""
    return f"{date_word(one.is_house_rule)} {hour}{day}{_notes(one)}"


def _notes(one: Snapshot) -> str:
    """What must stand beside the figure, in brackets."""
    notes = [
        word
        for word, holds in (
            ("house rule", one.is_house_rule),
            ("unverified", one.is_unverified),
            (one.approval, bool(one.approval)),
        )
        if holds
    ]
    return f" ({', '.join(notes)})" if notes else ""


def listed_row(listed: Listed) -> list[str]:
    """One container as cells: code, food, box, mass, status, date."""
    one = listed.container
    return [
        spaced(one.code),
        one.food,
        box(one.index, one.of),
        mass(one.mass_g),
        "frozen" if listed.status == "paused" else listed.status,
        listed_words(listed),
    ]


def unmarked_reason(one: Snapshot) -> str:
    """What a container lacks: a place, a last day, or both."""
    lacks = [] if one.place else ["no place"]
    if one.standing == "unknown":
        lacks.append("no last day")
    return ", ".join(lacks)


def unmarked_row(listed: Listed) -> list[str]:
    """An unmarked container as cells: what it is, where, and what it lacks."""
    lacks = unmarked_reason(listed.container)
    if listed.status == "over":
        lacks = f"{lacks}, past its last moment"
    elif listed.container.standing == "dated":
        lacks = f"{lacks}, {moment_words(listed)}"
    return [*listed_row(listed)[:4], listed.container.place, lacks]


def status_line(verdict: Verdict) -> str:
    """How it stands, in full: `keep: use by Thu 5 Nov 2026`."""
    if verdict.status == "ended":
        return "ended"
    if verdict.status == "paused":
        days = plural(verdict.days_left or 0, "day")
        return f"paused: frozen, {days} left after thawing"
    if verdict.last_day is None:
        reason = verdict.unknown[0] if verdict.unknown else "no last day"
        return f"unknown: {reason}"
    rule = f" ({HOUSE})" if verdict.is_house_rule else _approved(verdict)
    word = date_word(verdict.is_house_rule)
    until = f"{word} {say_day(verdict.last_day)}{_hour(verdict)}{rule}"
    if verdict.status == "over":
        return f"over: {word} was {say_day(verdict.last_day)}{_hour(verdict)}{rule}"
    return f"{verdict.status}: {until}"


def _approved(verdict: Verdict) -> str:
    """Who allowed the limit that binds, where its set gives a shorter one."""
    rules = (limit.rule for limit in verdict.limits)
    approval = next((rule.approval for rule in rules if rule.approval), None)
    return f" (approved by {approval.authority})" if approval else ""


def _hour(verdict: Verdict) -> str:
    """The hour, where an hour clock binds and the day alone would allow more."""
    binding = verdict.binding
    if binding is None or not binding.includes_moment or binding.last_moment is None:
        return ""
    return f", until {binding.last_moment.astimezone(verdict.zone):%H:%M}"


def reason_lines(verdict: Verdict) -> list[str]:
    """The binding limit and those that tie with it; all, while none has a moment."""
    if verdict.blockers:
        return []
    if verdict.binding is None:
        reasons = [x for x in verdict.limits if x.days_left is not None]
    else:
        reasons = [verdict.binding, *verdict.ties]
    lines = []
    for number, limit in enumerate(reasons):
        first, *rest = limit_lines(limit)
        lines += [f"{'and' if number else 'why'}: {first}", *rest]
    return lines


def limit_lines(limit: Limit) -> list[str]:
    """What the limit says, then its arithmetic and its source, indented."""
    steps = [*limit.why, f"source: {source_words(limit)}"]
    return [limit.rule.says, *(f"  {step}" for step in steps)]


def source_words(limit: Limit) -> str:
    """Authority, document, section, year, and `unverified` where it is."""
    source = limit.rule.source
    if source.grade == "kitchen":
        return HOUSE if limit.rule.kind == "house" else "local rule of this kitchen"
    section = "" if limit.rule.section == "-" else limit.rule.section
    parts = [source.authority, source.document, section, source.year]
    if not source.verified:
        parts.append("unverified")
    approval = limit.rule.approval
    if approval is not None:
        parts.append(f"approved by {approval.authority}, {say_day(approval.on)}")
    return ", ".join(part for part in parts if part)


def prefixed(word: str, lines: Iterable[str]) -> list[str]:
    """`unknown: ...` in front of each line."""
    return [f"{word}: {line}" for line in lines]


def did_line(view: View, did: str, number: int = 0) -> str:
    """What was recorded, and how the container stands now."""
    from lidclock.app.moves import Done
    from lidclock.app.scanning import done_line

    return done_line(Done(did, view), number)


def missing_lines(missing: Sequence[Listed]) -> list[str]:
    """What was looked for and not seen."""
    rows = [[*listed_row(one)[:4], listed_words(one)] for one in missing]
    title = ["missing: scan it into a place if it turns up"] if rows else []
    return [*title, *columns(rows, indent=2)]


def iso(instant: datetime | None, zone: ZoneInfo) -> str | None:
    """An instant for JSON: local, with its offset, to the second."""
    if instant is None:
        return None
    return instant.astimezone(zone).isoformat(timespec="seconds")


def listed_json(listed: Listed, zone: ZoneInfo) -> dict[str, Any]:
    """One listed container as JSON-ready data."""
    one = listed.container
    day = one.last_day
    if listed.status == "over" and one.last_moment is not None:
        day = local_date(one.last_moment - _TICK, zone)
    return {
        "code": one.code,
        "food": one.food,
        "status": listed.status,
        "last_day": day.isoformat() if day else None,
        "last_moment": iso(one.last_moment, zone) if day else None,
        "best_by": one.best_by.isoformat() if one.best_by else None,
        "days_left": listed.days_left,
        "binding": one.binding or None,
        "house_rule": one.is_house_rule,
        "place": one.place or None,
        "state": one.state or None,
        "mass_g": one.mass_g,
        "batch": one.batch_number,
        "index": one.index,
        "of": one.of,
        "lot": one.lot or None,
        "made_at": iso(one.made_at, zone),
        "opened_at": iso(one.opened_at, zone),
        "labelled": one.is_labelled,
        "unmarked": one.is_unmarked,
    }
