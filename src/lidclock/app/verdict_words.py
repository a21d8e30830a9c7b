"""How a container stands and why, in the words of every screen."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.domain.moments import say_day, say_short_day

if TYPE_CHECKING:
    from lidclock.clock.limit import Limit
    from lidclock.clock.verdict import Verdict
    from lidclock.guidance.model import Rule

HOUSE = "house rule, no authority"


def say_when(instant: datetime, zone: ZoneInfo) -> str:
    """`Sat 31 Oct 17:10`."""
    local = instant.astimezone(zone)
    return f"{say_short_day(local.date())} {local:%H:%M}"


def plural(count: int, one: str, many: str = "") -> str:
    """`1 box`, `2 boxes`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def box(index: int | None, of: int | None) -> str:
    """`box 2 of 6`, where there is more than one."""
    return f"box {index} of {of}" if index and (of or 1) > 1 else ""


def date_word(is_house_rule: bool) -> str:
    """`use by` where an authority stands behind it, else `best by`."""
    return "best by" if is_house_rule else "use by"


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
    return rule_source_words(limit.rule)


def rule_source_words(rule: Rule) -> str:
    """The same of a rule that was not applied to anything yet."""
    source = rule.source
    if source.grade == "kitchen":
        return HOUSE if rule.kind == "house" else "local rule of this kitchen"
    section = "" if rule.section == "-" else rule.section
    parts = [source.authority, source.document, section, source.year]
    if not source.verified:
        parts.append("unverified")
    approval = rule.approval
    if approval is not None:
        parts.append(f"approved by {approval.authority}, {say_day(approval.on)}")
    return ", ".join(part for part in parts if part)
