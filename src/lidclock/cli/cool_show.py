"""Words for coolings: stages with their hours, the forecast, what to do."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.cli.show import plural, say_when
from lidclock.domain.moments import local_date

if TYPE_CHECKING:
    from lidclock.app.cooling import Target
    from lidclock.app.outlook import Outlook, Standing
    from lidclock.app.session import Session

_MINUTE = timedelta(minutes=1)
_ESTIMATE = "estimate"


def say_clock(at: datetime, session: Session) -> str:
    """`19:10`, with the day if it is another one, and the zone if clocks change."""
    zone, now = session.kitchen.zone, session.now
    local = at.astimezone(zone)
    if local_date(at, zone) != local_date(now, zone):
        words = say_when(at, zone)
    else:
        words = f"{local:%H:%M}"
    changes = local.utcoffset() != now.astimezone(zone).utcoffset()
    return f"{words} {local:%Z}" if changes else words


def _earlier(at: datetime, session: Session) -> str:
    """The minute before, for a time that may already be late."""
    return say_clock(at.replace(second=0, microsecond=0), session)


def say_later(at: datetime, session: Session) -> str:
    """The minute after, for a time that is the latest."""
    minute = at.replace(second=0, microsecond=0)
    return say_clock(minute if minute == at else minute + _MINUTE, session)


def standing_lines(one: Standing, target: Target, session: Session) -> list[str]:
    """How one cooling stands, the stages first, then what to do."""
    lines = [_head(one, target, session)]
    lines += [f"  {_stage_words(x, session)}" for x in one.outlooks]
    if not one.outlooks:
        lines.append(f"  {_no_stages(one, session)}")
    if not one.log.is_open:
        return lines
    if one.cold_at is not None:
        lines.append(f"  {_cold_words(one, session)}")
    lines += [f"  {line}" for line in _do_lines(one, session)]
    lines += [f"  {line}" for line in _basis_lines(one, session)]
    if one.next_at is not None:
        again = "measure" if one.last is None else "measure again"
        lines.append(
            f"  {again} at {say_later(max(one.next_at, session.now), session)}"
        )
    return lines


def _head(one: Standing, target: Target, session: Session) -> str:
    from lidclock.app.cooling_watch import temp_words

    boxes = f", {plural(len(one.views), 'box', 'boxes')}" if target.batch_number else ""
    read = ""
    if one.last is not None:
        at, temp_c = one.last
        read = f": {temp_words(temp_c, session)} at {say_clock(at, session)}"
    closed = "" if one.log.is_open else "; the log is closed"
    return f"{target.name}{boxes}{read}{closed}"


def _no_stages(one: Standing, session: Session) -> str:
    """A set without stages still counts the time out of the cold."""
    text = f"{session.guidance.id} publishes no stages of cooling for it"
    out = [
        limit
        for limit in one.view.verdict.limits
        if limit.rule.kind == "exposure" and limit.last_moment is not None
    ]
    if not out:
        return f"{text}; time out of the cold counts all the same"
    by = say_clock(out[0].last_moment or session.now, session)
    return f"{text}; out of the cold until {by} at the latest ({out[0].rule.id})"


def _cold_words(one: Standing, session: Session) -> str:
    """When it may be cold where no limit asks by when."""
    from lidclock.app.cooling_watch import target_words

    what = target_words(session.guidance.cold_c, session)
    early_at, late_at = one.cold_at or (None, None)
    return f"{what}: {_span(early_at, late_at, session)} ({_ESTIMATE}; no limit asks)"


def _stage_words(one: Outlook, session: Session) -> str:
    """`21 °C by 19:10: on course, at the latest 18:52 (estimate)`."""
    from lidclock.app.cooling_watch import target_words

    stage = one.stage
    what = target_words(stage.target_c, session)
    if stage.rule.kind == "chill":
        what = f"in a fridge or freezer, or at {what}"
    unsure = "" if stage.sure_at == stage.due_at else " at the latest"
    due = f" by {say_clock(stage.due_at, session)}{unsure}" if stage.due_at else ""
    shaky = "" if stage.rule.source.verified else ", unverified"
    return f"{what}{due}{_state_words(one, session)} ({stage.rule.id}{shaky})"


def _state_words(one: Outlook, session: Session) -> str:
    stage = one.stage
    if stage.state == "met" and stage.decided_at is not None:
        return f": met at {say_clock(stage.decided_at, session)}"
    if stage.state == "missed":
        return ": missed"
    if stage.state == "overdue":
        return ": nobody measured it by then, so not known"
    if stage.due_at is None:
        return ": its hours cannot be counted yet"
    return _FORECASTS[one.forecast](one, session)


def _on_course(one: Outlook, session: Session) -> str:
    late = say_later(one.late_at, session) if one.late_at else ""
    return f": on course, at the latest {late} ({_ESTIMATE}); not met until measured"


def _too_slow(one: Outlook, session: Session) -> str:
    span = _span(one.early_at, one.late_at, session)
    return f": too slow, {span} ({_ESTIMATE})"


def _uncertain(one: Outlook, session: Session) -> str:
    span = _span(one.early_at, one.late_at, session)
    return f": too close to tell, {span} ({_ESTIMATE})"


def _span(early_at: datetime | None, late_at: datetime | None, session: Session) -> str:
    """`23:50 to 02:10`; what may never come has no end."""
    if early_at is None:
        return "never at this rate"
    early = _earlier(early_at, session)
    if late_at is None:
        return f"{early} or later"
    return f"{early} to {say_later(late_at, session)}"


def _too_early(_: Outlook, __: Session) -> str:
    return ": too early to tell"


def _never(_: Outlook, __: Session) -> str:
    return ": cannot be met there, the place is not colder than that"


def _unmeasured(_: Outlook, __: Session) -> str:
    return ": no forecast, the place is not known to be colder than that"


_FORECASTS = {
    "": lambda _, __: "",
    "on-course": _on_course,
    "too-slow": _too_slow,
    "uncertain": _uncertain,
    "too-early": _too_early,
    "never": _never,
    "unmeasured": _unmeasured,
}


def _do_lines(one: Standing, session: Session) -> list[str]:
    """What to do about a slow one, or about one that missed a stage."""
    from lidclock.app.cooling_watch import actions, kill_c, temp_words

    if one.missed:
        hot = temp_words(kill_c(one.view), session)
        again = f"reheat to {hot} now, or discard" if one.can_reheat else "discard"
        return [f"a stage was missed: {again} (`lidclock cool finish`)"]
    found = actions(one, session)
    return ["do now:", *(f"  {line}" for line in found)] if found else []


def _basis_lines(one: Standing, session: Session) -> list[str]:
    """What the forecast stands on, and what is not known."""
    from lidclock.app.cooling_watch import temp_words

    lines = []
    since = say_clock(one.begun_at, session) if one.begun_at else ""
    if since:
        lines.append(f"counted from {since} ({one.since}), under {session.guidance.id}")
    elif one.view.container.made_at is None:
        lines.append(
            "making time: not recorded; give it with `lidclock correct CODE --made`"
        )
    else:
        lines.append("held hot: the hours begin when it leaves the hot hold")
    if one.log.depth_mm is None:
        lines.append("depth not known: taken as 100 mm for the lag of its middle")
    if not one.used:
        usable, so = say_later(one.usable_at, session), say_clock(one.from_at, session)
        lines.append(
            f"a forecast takes two readings since {so}, one of them after {usable}, as "
            "the middle lags"
        )
    place = one.view.container.place or "around it"
    if one.medium is None:
        lines.append(f"temperature {place}: not measured; give it with --medium")
    elif one.medium.measured_at is None:
        shown = temp_words(one.medium.temp_c, session)
        lines.append(
            f"temperature {place}: not measured, taken as {shown}, the limit; "
            "give it with --medium"
        )
    elif one.used:
        shown = temp_words(one.medium.temp_c, session)
        measured = say_clock(one.medium.measured_at, session)
        lines.append(f"temperature {place}: {shown}, measured at {measured}")
    if one.used:
        rough = ", a rough one from its first reading on" if one.is_rough else ""
        lines.append(f"forecast from {plural(one.used, 'reading')}{rough}")
    return lines
