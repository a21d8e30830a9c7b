"""Open cooling logs: which there are, which are urgent, and how they are worded."""

from __future__ import annotations

from datetime import datetime

from lidclock.alerts.voice import Alert, is_cooling_urgent
from lidclock.app.outlook import SHALLOW_MM, Standing, alike, standing_of
from lidclock.app.session import Session, Unit, View
from lidclock.domain.codes import spaced
from lidclock.domain.moments import say_hours
from lidclock.domain.phrases import boxed, short
from lidclock.domain.sentences import figure, sentence


def open_standings(unit: Unit) -> list[Standing]:
    """Every open log, containers that cool alike as one, the most urgent first."""
    found = sorted(unit.snapshots.cooling(), key=lambda one: (one.index or 0, one.code))
    standings = [standing_of(unit.view(one.code), unit.session) for one in found]
    now = unit.session.now
    return sorted(alike(standings), key=lambda one: _urgency(one, now))


def _urgency(one: Standing, now: datetime) -> tuple[object, ...]:
    """What was missed, then what is overdue, then by the next moment to act."""
    due = one.pending.stage.due_at if one.pending else None
    moments = [at for at in (one.next_at, due) if at is not None]
    first = min(moments, default=now)
    return (
        not one.missed,
        not one.overdue,
        first > now,
        first,
        due or first,
        one.view.code,
    )


def cooling_alerts(unit: Unit) -> list[Alert]:
    """One alert for each log whose stage is due soon, was missed or not looked at."""
    alerts = []
    for one in open_standings(unit):
        note = alert_note(one, unit.session)
        if note:
            known = unit.snapshot(one.view.code)
            if known is not None:
                matter = _matter(one)
                alerts.append(Alert("cooling", known, note, matter))
    return alerts


def _matter(one: Standing) -> str:
    """Which stage an alert is about, and how that stands."""
    if one.missed:
        return f"missed {one.missed[0].target_c:g}"
    late = next(iter(one.overdue), None)
    stage = late or (one.pending.stage if one.pending else None)
    assert stage is not None
    due = stage.due_at.isoformat() if stage.due_at else ""
    return f"{'unread' if late else 'due'} {stage.target_c:g} {due}"


def alert_note(one: Standing, session: Session) -> str:
    """What is urgent about a cooling; nothing where there is time."""
    now, zone = session.now, session.kitchen.zone
    if one.missed:
        what = target_words(one.missed[0].target_c, session)
        if one.can_reheat:
            return sentence("{what} missed: reheat or discard", what=what)
        return sentence("{what} missed: discard", what=what)
    for late in one.overdue:
        by = f"{late.due_at.astimezone(zone):%H:%M}" if late.due_at else ""
        what = target_words(late.target_c, session)
        return sentence(
            "{what} by {by} passed without a reading: measure it now", what=what, by=by
        )
    stage = one.pending.stage if one.pending else None
    if (
        stage is None
        or stage.due_at is None
        or not is_cooling_urgent(stage.due_at, now)
    ):
        return ""
    by = f"{stage.due_at.astimezone(zone):%H:%M}"
    what = target_words(stage.target_c, session)
    left = say_hours(stage.due_at - now)
    return sentence(
        "{what} by {by}, {left} left: measure it", what=what, by=by, left=left
    )


def target_words(temp_c: float, session: Session) -> str:
    """`21 °C`, and `21 °C (70 °F)` where the kitchen counts in US units."""
    # Codes print 70 °F as 21 °C, so a tenth of a degree more is the same figure.
    shown = round(temp_c) if abs(temp_c - round(temp_c)) < 0.15 else round(temp_c, 1)
    return temp_words(shown, session)


def temp_words(temp_c: float, session: Session) -> str:
    """A temperature as this kitchen reads it."""
    celsius = sentence("{temp} °C", temp=short(round(temp_c, 1)))
    if session.kitchen.units != "us":
        return celsius
    fahrenheit = figure(round(temp_c * 1.8 + 32))
    return boxed(celsius, sentence("{temp} °F", temp=fahrenheit))


def kill_c(view: View) -> float:
    """How hot a reheating must be to count under the set in force."""
    rules = view.verdict.plan.exposure
    return max((rule.kill_c or 0.0 for rule in rules), default=0.0)


def name_of(one: Standing) -> str:
    """`batch 7, bean stew, 3 boxes`, or the code and the food of a single one."""
    view = one.view
    batch = view.inventory.batches.get(view.container.batch or "")
    if batch is None or view.container.cools_alone or one.log.subject == view.code:
        return f"{spaced(view.code)}  {view.food.name}"
    count = len(one.views)
    return f"batch {batch.number}  {view.food.name}, {count} box{'es' * (count > 1)}"


def actions(one: Standing, session: Session) -> tuple[str, ...]:
    """What makes slow food cool faster; nothing while it cools fast enough.

    The ways are those of Food Code 3-501.15 as Maryland adopted it (COMAR 10.15.03.11
    B, seen): shallow, divided, ice bath and stirring, uncovered where nothing drips in.
    """
    if not one.is_slow:
        return ()
    found = []
    if one.log.is_covered:
        found.append(sentence("take the lid off"))
    if one.log.depth_mm is None or one.log.depth_mm > SHALLOW_MM:
        deep = figure(SHALLOW_MM)
        found.append(
            sentence("split it into pans at most {deep} mm (2 in) deep", deep=deep)
        )
    else:
        found.append(sentence("split it into shallower pans"))
    found.append(sentence("set it in an ice bath and stir"))
    found.append(
        sentence("then leave it uncovered in the coldest place, with air around it")
    )
    slow = one.pending.stage if one.pending else None
    if one.can_reheat and slow is not None and slow.due_at is not None:
        by = f"{slow.due_at.astimezone(session.kitchen.zone):%H:%M}"
        hot = temp_words(kill_c(one.view), session)
        found.append(
            sentence(
                "or reheat it to {hot} by {by}: its hours start again, once",
                hot=hot,
                by=by,
            )
        )
    return tuple(found)
