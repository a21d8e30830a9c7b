"""How a cooling stands, in sentences for a page: stages, estimate, what to do."""

from __future__ import annotations

from datetime import datetime, timedelta

from lidclock.app.cooling_watch import kill_c, target_words, temp_words
from lidclock.app.outlook import (
    NEVER,
    ON_COURSE,
    TOO_EARLY,
    TOO_SLOW,
    UNCERTAIN,
    Outlook,
    Standing,
)
from lidclock.app.session import Session
from lidclock.clock.cooling import Stage
from lidclock.domain.moments import local_date, say_moment
from lidclock.domain.sentences import figure, sentence, typed

_HOUR = timedelta(hours=1)
_MINUTE = timedelta(minutes=1)


def headline(one: Standing, session: Session) -> str:
    """The one thing to know: missed, on course, slow, or what has to be measured."""
    if not one.log.is_open:
        return sentence("the log is closed")
    if one.missed:
        what = target_words(one.missed[0].target_c, session)
        if not one.can_reheat:
            return sentence("{what} was missed: discard it", what=what)
        hot = temp_words(kill_c(one.view), session)
        return sentence(
            "{what} was missed: reheat it to {hot} now, or discard it",
            what=what,
            hot=hot,
        )
    if one.overdue:
        what = target_words(one.overdue[0].target_c, session)
        return sentence(
            "{what}: its hours passed without a reading; measure it now", what=what
        )
    if one.pending is None:
        return _without_stage(one, session)
    return _forecast(one.pending, one, session)


def _without_stage(one: Standing, session: Session) -> str:
    cold = target_words(session.guidance.cold_c, session)
    if one.outlooks:
        return sentence("every stage is met; finish it at {cold}", cold=cold)
    return sentence(
        "{guidance} publishes no stages of cooling for it; time out of the cold counts "
        "all the same",
        guidance=session.guidance.id,
    )


def _forecast(one: Outlook, standing: Standing, session: Session) -> str:
    what = target_words(one.stage.target_c, session)
    if one.forecast == TOO_EARLY:
        return sentence("{what}: too early to tell", what=what)
    if one.forecast == NEVER:
        return sentence("{what}: never there, the place is not colder", what=what)
    if one.forecast not in (ON_COURSE, TOO_SLOW, UNCERTAIN):
        return sentence(
            "{what}: no estimate, nobody measured how cold the place is", what=what
        )
    begun = standing.begun_at or standing.from_at
    if one.middle_at is None:
        return sentence("slow: {what} never at this rate (estimate)", what=what)
    hours = figure(round((one.middle_at - begun) / _HOUR, 1))
    if one.forecast == ON_COURSE:
        return sentence(
            "on course: {what} about {hours} h after the start (estimate)",
            what=what,
            hours=hours,
        )
    if one.forecast == UNCERTAIN:
        return sentence(
            "too close to tell: {what} about {hours} h after the start (estimate)",
            what=what,
            hours=hours,
        )
    return sentence(
        "slow: {what} about {hours} h after the start (estimate): split it now",
        what=what,
        hours=hours,
    )


def stage_line(stage: Stage, session: Session) -> str:
    """`21 °C by 16:05: met at 15:55`."""
    what = target_words(stage.target_c, session)
    if stage.rule.kind == "chill":
        what = sentence("in a fridge or freezer, or {what}", what=what)
    if stage.due_at is None:
        return sentence("{what}: its hours cannot be counted yet", what=what)
    by = say_hour(stage.due_at, session)
    if stage.state == "met" and stage.decided_at is not None:
        at = say_hour(stage.decided_at, session)
        return sentence("{what} by {by}: met at {at}", what=what, by=by, at=at)
    if stage.state == "missed":
        return sentence("{what} by {by}: missed", what=what, by=by)
    if stage.state == "overdue":
        return sentence(
            "{what} by {by}: nobody measured it by then, so not known", what=what, by=by
        )
    return sentence("{what} by {by}: not met until measured", what=what, by=by)


def basis_lines(one: Standing, session: Session) -> list[str]:
    """What the estimate rests on, and when to measure again; none once it is closed."""
    if not one.log.is_open:
        return []
    lines = [_medium_line(one, session)]
    if one.log.depth_mm is None:
        lines.append(sentence("its depth is not known: taken as 100 mm"))
    if one.is_rough:
        lines.append(sentence("few readings: the estimate is rough"))
    if one.next_at is not None:
        at = say_hour(_rounded_up(max(one.next_at, session.now)), session)
        lines.append(sentence("measure it at {at}", at=at))
    return lines


def _medium_line(one: Standing, session: Session) -> str:
    if one.medium is None:
        return sentence("how cold it is around it, nobody knows")
    temp = temp_words(one.medium.temp_c, session)
    if one.medium.measured_at is None:
        return sentence("around it {temp}: assumed, nobody measured it", temp=temp)
    at = say_hour(one.medium.measured_at, session)
    if one.medium.is_mean:
        return sentence(
            "around it {temp} on average, last read at {at}", temp=temp, at=at
        )
    return sentence("around it {temp}, measured at {at}", temp=temp, at=at)


def kept_open_line(one: Standing, session: Session) -> str:
    """Why its log did not close though somebody finished it."""
    if one.missed:
        return sentence(
            "The log does not close: a stage was missed. Reheat it in time or discard "
            "it. What was read is recorded."
        )
    cold = target_words(session.guidance.cold_c, session)
    return sentence(
        "The log stays open: it is not {cold} yet. Cool on. What was read is recorded.",
        cold=cold,
    )


def say_hour(at: datetime, session: Session) -> str:
    """`19:10`, with the day where it is another one."""
    zone = session.kitchen.zone
    if local_date(at, zone) != local_date(session.now, zone):
        return say_moment(at, zone)
    return typed(f"{at.astimezone(zone):%H:%M}")


def _rounded_up(at: datetime) -> datetime:
    minute = at.replace(second=0, microsecond=0)
    return minute if minute == at else minute + _MINUTE
