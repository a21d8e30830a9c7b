"""What a kitchen puts on a calendar, and the words of each entry; pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from lidclock.alerts.voice import READY_LEAD
from lidclock.domain.codes import spaced
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import last_date, local_date, say_day, say_moment, zone_of
from lidclock.domain.planning import Meal
from lidclock.domain.recurrence import Rule, first_fall, instant_of
from lidclock.domain.rule_text import read_rule
from lidclock.domain.snapshots import Snapshot
from lidclock.gateways.calendar import Alarm, Entry

if TYPE_CHECKING:
    from lidclock.app.thawing import Thawing
    from lidclock.domain.kitchens import Kitchen
    from lidclock.plan.proposal import Proposal

# Where an hour counts, the card's hour may be too early or too late; our choice.
HOUR_ALARM = timedelta(minutes=30)
HOUSE = "house rule, no authority"
_TICK = timedelta(microseconds=1)
_UNTIL = re.compile(r";?\bUNTIL=[0-9TZ]+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Group:
    """Live containers of one food that end together; `anchor` names them for good.

    The anchor is the first container that ended, or ends, then, whether or not there is
    still something in it.
    """

    containers: tuple[Snapshot, ...]
    anchor: Snapshot
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Setting:
    """What every entry hangs on: the kitchen, its morning, its cautions, the moment."""

    kitchen: Kitchen
    card_at: time
    cautions: tuple[str, ...]
    now: datetime


def group_key(one: Snapshot, kitchen: Kitchen) -> tuple[object, ...] | None:
    """What containers of one entry share; None for one without a last moment."""
    if one.last_moment is None:
        return None
    end = one.last_moment - _TICK
    when = end.replace(second=0, microsecond=0) if one.has_hour else None
    day = last_date(one.last_moment, kitchen.zone)
    return (one.food.casefold(), day, when, one.is_house_rule)


def uid_of(kitchen: Kitchen, kind: str, key: str) -> str:
    """The same for the same thing on every run and machine (RFC 7986, 5.3).

    A name-based UUID of the kitchen's id and the thing's: it tells a reader nothing.
    """
    return str(uuid5(uuid5(NAMESPACE_URL, f"lidclock:{kitchen.id}"), f"{kind}/{key}"))


def last_day_entry(group: Group, setting: Setting) -> Entry:
    """An all-day entry on the last day, or one at the hour that an hour clock set."""
    one, kitchen = group.containers[0], setting.kitchen
    when: datetime | timedelta
    assert one.last_moment is not None  # grouped by it
    end = one.last_moment - _TICK
    day = local_date(end, kitchen.zone)
    if one.has_hour:
        begins: date | datetime = end.replace(second=0, microsecond=0)
        clock = f"{end.astimezone(kitchen.zone):%H:%M}"
        head, hour, when = f"until {clock}", f"{clock} ", HOUR_ALARM
    else:
        begins, head, hour = day, "last day", ""
        when = morning_of(day, setting)
    word, rule = ("best by", f", {HOUSE}") if one.is_house_rule else ("use by", "")
    title = _counted(head, group.containers)
    title += f", {word}{rule}" if rule else ""
    lines = [
        f"{word} {hour}{say_day(day)}{rule}",
        *(_container_line(x, kitchen) for x in group.containers),
    ]
    return Entry(
        uid=uid_of(kitchen, "last-day", group.anchor.code),
        title=title,
        lines=(*lines, *_ending(setting)),
        begins=begins,
        alarm=Alarm(title, when),
        revision=group.revision,
    )


def morning_of(day: date, setting: Setting) -> datetime:
    """The instant of the card's first hour on `day`.

    Written as an instant: so many hours after midnight would be another hour on a day
    on which clocks change.
    """
    return instant_of(datetime.combine(day, setting.card_at), setting.kitchen.zone)


def ready_entry(ready: Thawing, setting: Setting, revision: int = 0) -> Entry:
    """An entry at the hour at which what was taken out is expected to be thawed."""
    kitchen = setting.kitchen
    hour = f"{ready.ready_at.astimezone(kitchen.zone):%H:%M}"
    title = _counted(f"ready {hour}", ready.containers)
    taken, due = (
        say_moment(at, kitchen.zone) for at in (ready.taken_at, ready.ready_at)
    )
    return Entry(
        uid=uid_of(kitchen, "ready", f"{ready.containers[0].code}/{ready.number}"),
        title=title,
        lines=(
            f"taken out {taken}, ready {due}",
            *(_container_line(one, kitchen) for one in ready.containers),
            "The hour is what its cook expects: look whether it is thawed through.",
            *_ending(setting),
        ),
        begins=ready.ready_at,
        alarm=Alarm(title, READY_LEAD),
        revision=revision,
    )


def take_out_entry(one: Proposal, setting: Setting, revision: int = 0) -> Entry:
    """An entry at the hour at which somebody agreed to take containers out."""
    assert one.at is not None  # what was agreed has its hour
    hour = f"{one.at.astimezone(setting.kitchen.zone):%H:%M}"
    title = f"{hour}: {one.says}"
    codes = ", ".join(spaced(code) for code in one.codes)
    return Entry(
        uid=uid_of(setting.kitchen, "take-out", one.key),
        title=title,
        lines=(codes, *one.why, *_ending(setting)),
        begins=one.at,
        alarm=Alarm(title, READY_LEAD),
        revision=revision,
    )


def meal_entry(meal: Meal, setting: Setting, revision: int = 0) -> Entry | None:
    """A meal in its own zone, repeating by its rule; None where it never happens.

    DTSTART must fall on the rule (RFC 5545, 3.8.5.3), so it is the rule's first time.
    """
    begins, rule = meal.begins, ""
    if meal.rule:
        read = read_rule(meal.rule)
        first = first_fall(read, meal.begins, zone_of(meal.zone_name))
        if first is None:
            return None
        begins, rule = first, written_rule(meal, read)
    elif begins.date() in meal.without:
        return None
    foods = ", ".join(f"{one.food} x{meal.portions_of(one)}" for one in meal.items)
    name = meal.name or "meal"
    eaters = [] if meal.eaters is None else [f"for {meal.eaters}"]
    return Entry(
        uid=uid_of(setting.kitchen, "meal", meal.id),
        title=f"{name}: {foods}" if foods else name,
        lines=(
            *(f"{one.food}, portions: {meal.portions_of(one)}" for one in meal.items),
            *eaters,
            _as_of(setting),
        ),
        begins=begins,
        zone_name=meal.zone_name,
        rule=rule,
        without=_without(meal, begins) if rule else (),
        revision=revision,
    )


def written_rule(meal: Meal, rule: Rule) -> str:
    """The rule as a calendar wants it: UNTIL in UTC (RFC 5545, 3.3.10)."""
    text = meal.rule.strip().upper().removeprefix("RRULE:")
    if rule.until is None:
        return text
    until = rule.until
    if until.tzinfo is None:
        until = instant_of(until, zone_of(meal.zone_name))
    bare = _UNTIL.sub("", text).removeprefix(";")
    return f"{bare};UNTIL={until.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def _without(meal: Meal, begins: datetime) -> tuple[datetime, ...]:
    days = sorted(set(meal.without))
    return tuple(datetime.combine(day, begins.time()) for day in days)


def _counted(head: str, containers: Sequence[Snapshot]) -> str:
    """`last day: bean stew x3 (Fridge)`."""
    places = dict.fromkeys(one.place or "no place" for one in containers)
    count = f" x{len(containers)}" if len(containers) > 1 else ""
    return f"{head}: {containers[0].food}{count} ({', '.join(places)})"


def _container_line(one: Snapshot, kitchen: Kitchen) -> str:
    """`4F7 K2M0, box 2 of 6, 308 g, Fridge`, and what must stand beside its date."""
    box = f"box {one.index} of {one.of}" if one.index and (one.of or 1) > 1 else ""
    grams = "" if one.mass_g is None else say_mass(one.mass_g, kitchen.units)
    notes = [
        *(["frozen; this date goes on in the freezer"] * (one.standing == "paused")),
        *(["unverified figure"] * one.is_unverified),
        one.approval,
        *(["label missing or out of date"] * (not one.is_labelled)),
    ]
    cells = (spaced(one.code), box, grams, one.place or "no place", *notes)
    return ", ".join(cell for cell in cells if cell)


def _ending(setting: Setting) -> tuple[str, ...]:
    return (*setting.cautions, _as_of(setting))


def _as_of(setting: Setting) -> str:
    when = say_moment(setting.now, setting.kitchen.zone)
    return f"As recorded by {when}. What counts is the lid."
