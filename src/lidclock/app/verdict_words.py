"""How a container stands and why, in the words of every screen."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.domain.moments import say_day, say_short_day
from lidclock.domain.phrases import boxed, with_commas
from lidclock.domain.sentences import (
    Sentence,
    Wording,
    figure,
    joined,
    sentence,
    sentences,
)

if TYPE_CHECKING:
    from lidclock.clock.limit import Limit
    from lidclock.clock.verdict import Verdict
    from lidclock.guidance.model import Rule

HOUSE = sentence("house rule, no authority")
NO_LAST_DAY = sentence("no last day")


def say_when(instant: datetime, zone: ZoneInfo) -> str:
    """`Sat 31 Oct 17:10`."""
    local = instant.astimezone(zone)
    day = say_short_day(local.date())
    return joined("{day} {clock}", day=day, clock=f"{local:%H:%M}")


def plural(count: int, one: str, many: str = "") -> str:
    """`1 box`, `2 boxes`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def box(index: int | None, of: int | None) -> str:
    """`box 2 of 6`, where there is more than one."""
    if not index or (of or 1) <= 1:
        return ""
    return sentence("box {index} of {of}", index=figure(index), of=figure(of or 1))


def date_word(is_house_rule: bool) -> str:
    """`use by` where an authority stands behind it, else `best by`."""
    return "best by" if is_house_rule else "use by"


def by_date(when: str, is_house_rule: bool) -> Sentence:
    """`use by Thu 5 Nov 2026`; `best by` where no authority stands behind it."""
    if is_house_rule:
        return sentence("best by {when}", when=when)
    return sentence("use by {when}", when=when)


def not_after(when: str) -> Sentence:
    """Of what has no last day: when it is over, whatever comes out about it."""
    return sentence("in any case not after {when}", when=when)


def was_by_date(when: str, is_house_rule: bool) -> Sentence:
    """`use by was Thu 5 Nov 2026`."""
    if is_house_rule:
        return sentence("best by was {when}", when=when)
    return sentence("use by was {when}", when=when)


def status_line(verdict: Verdict) -> str:
    """How it stands, in full: `keep: use by Thu 5 Nov 2026`."""
    if verdict.status == "ended":
        return sentence("ended")
    if verdict.status == "paused":
        return sentences(
            "paused: frozen, {count} day left after thawing",
            "paused: frozen, {count} days left after thawing",
            verdict.days_left or 0,
        )
    if verdict.last_day is None:
        reason = verdict.unknown[0] if verdict.unknown else NO_LAST_DAY
        return sentence("unknown: {reason}", reason=reason)
    is_over = verdict.status == "over"
    dated = was_by_date if is_over else by_date
    until = _with_rule(dated(_full_day(verdict), verdict.is_house_rule), verdict)
    return with_status(verdict.status, until)


def with_status(status: str, until: str) -> Sentence:
    """`keep: use by Thu 5 Nov 2026`."""
    match status:
        case "over":
            return sentence("over: {until}", until=until)
        case "last-day":
            return sentence("last day: {until}", until=until)
        case "soon":
            return sentence("soon: {until}", until=until)
    return sentence("keep: {until}", until=until)


def _full_day(verdict: Verdict) -> str:
    """The last day, with the hour where an hour clock binds and the day allows more."""
    assert verdict.last_day is not None
    day, binding = say_day(verdict.last_day), verdict.binding
    if binding is None or not binding.includes_moment or binding.last_moment is None:
        return day
    hour = f"{binding.last_moment.astimezone(verdict.zone):%H:%M}"
    return sentence("{day}, until {hour}", day=day, hour=hour)


def _with_rule(until: Sentence, verdict: Verdict) -> Sentence:
    """Also that no authority stands behind it, or who allowed a longer limit."""
    if verdict.is_house_rule:
        return boxed(until, HOUSE)
    rules = (limit.rule for limit in verdict.limits)
    approval = next((rule.approval for rule in rules if rule.approval), None)
    if approval is None:
        return until
    return boxed(until, sentence("approved by {who}", who=approval.authority))


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
    steps = [*limit.why, sentence("source: {source}", source=source_words(limit))]
    return [limit.rule.says, *(joined("  {step}", step=step) for step in steps)]


def source_words(limit: Limit) -> str:
    """Authority, document, section, year, and `unverified` where it is."""
    return rule_source_words(limit.rule)


def rule_source_words(rule: Rule) -> str:
    """The same of a rule that was not applied to anything yet."""
    source = rule.source
    if source.grade == "kitchen":
        return HOUSE if rule.kind == "house" else sentence("local rule of this kitchen")
    section = "" if rule.section == "-" else rule.section
    known = [source.authority, source.document, section, source.year]
    parts: list[str] = [Wording(", ".join(part for part in known if part))]
    if not source.verified:
        parts.append(sentence("unverified"))
    approval = rule.approval
    if approval is not None:
        who, day = Wording(approval.authority), say_day(approval.on)
        parts.append(sentence("approved by {who}, {day}", who=who, day=day))
    return with_commas(parts)
