"""How a cooling stands: its stages, and what the readings so far make of them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from lidclock.app.session import Session, View
from lidclock.clock.cooling import Stage, begin_of, can_begin_again, stages
from lidclock.domain.cooling import CoolingLog, Reading
from lidclock.domain.history import History, Placing
from lidclock.heat import cooling as heat

ON_COURSE, TOO_SLOW, UNCERTAIN = heat.ON_COURSE, heat.TOO_SLOW, heat.UNCERTAIN
TOO_EARLY, NEVER, UNMEASURED, NO_FORECAST = "too-early", "never", "unmeasured", ""
# Cooling logs of schools have room for a time and temperature an hour (a common form,
# seen at formsbank.com, 393264). The shorter gap is ours: time enough to see a change.
LONGEST_GAP = timedelta(hours=1)
SHORTEST_GAP = timedelta(minutes=15)
_HOUR = timedelta(hours=1)
# Roberts et al. 2013, Food Protection Trends 33(1):27-31: of pans of chili and tomato
# sauce in a walk-in fridge and freezer only one 2 in (51 mm) deep met both stages.
SHALLOW_MM = 51


@dataclass(frozen=True, slots=True)
class Outlook:
    """One stage, and when the readings so far say that it will be reached.

    The times are those of 5 %, 50 % and 95 %; None is never, or no forecast.
    """

    stage: Stage
    forecast: str = NO_FORECAST
    early_at: datetime | None = None
    middle_at: datetime | None = None
    late_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Medium:
    """The temperature around the food; `measured_at=None` where it is assumed.

    With `is_mean` it is that of an hour's readings, the last of them at that moment.
    """

    temp_c: float
    measured_at: datetime | None = None
    is_mean: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """How one cooling stands now, for one container or several that cool alike.

    `from_at` is since when it cools as it does now, `readings` are those since then;
    the ones before `usable_at` are not used for the forecast. `medium` is None where
    nothing is known of the place. `cold_at` is when it may be as cold as the set asks
    of a fridge, early and late, where no stage asks for that.
    """

    views: tuple[View, ...]
    log: CoolingLog
    begun_at: datetime | None
    since: str
    outlooks: tuple[Outlook, ...]
    readings: tuple[Reading, ...]
    last: Reading | None
    medium: Medium | None
    from_at: datetime
    usable_at: datetime
    used: int
    is_rough: bool
    cold_at: tuple[datetime | None, datetime | None] | None
    can_reheat: bool
    next_at: datetime | None

    @property
    def view(self) -> View:
        """Any of its containers: they stand alike."""
        return self.views[0]

    @property
    def missed(self) -> tuple[Stage, ...]:
        """The stages that were missed: reheat in time, or discard."""
        return tuple(x.stage for x in self.outlooks if x.stage.state == "missed")

    @property
    def overdue(self) -> tuple[Stage, ...]:
        """The stages that nobody looked at in time."""
        return tuple(x.stage for x in self.outlooks if x.stage.state == "overdue")

    @property
    def pending(self) -> Outlook | None:
        """The next stage that a reading has to meet."""
        waiting = (x for x in self.outlooks if x.stage.is_pending and x.stage.due_at)
        return next(waiting, None)

    @property
    def is_slow(self) -> bool:
        """Whether a stage that is still open will be missed if nothing is done."""
        return any(x.forecast in (TOO_SLOW, NEVER) for x in self.outlooks)


def standing_of(view: View, session: Session) -> Standing:
    """How the cooling of one container stands now; it must have a log."""
    container, now = view.container, session.now
    log = container.cooling
    if log is None:
        raise ValueError(f"{view.code} has no cooling log")
    history = view.inventory.history_of(container)
    plan, cold_c = view.verdict.plan, session.guidance.cold_c
    begin = begin_of(plan, history, cold_c)
    from_at = _cools_so_since(view, log, begin.at)
    usable_at = from_at + heat.lag_h(log.depth_mm) * _HOUR
    readings = _readings(history, log, from_at)
    medium = _medium(view, log, cold_c, session)
    fit = None
    if medium is not None:
        fit = heat.fit(
            [(at - from_at) / _HOUR for at, _ in readings],
            [temp_c for _, temp_c in readings],
            medium.temp_c,
            after_h=(usable_at - from_at) / _HOUR,
        )
    found = stages(plan, history, cold_c, session.kitchen.zone, now)
    outlooks = tuple(_outlook(one, medium, fit, from_at) for one in found)
    return Standing(
        views=(view,),
        log=log,
        begun_at=begin.at,
        since=begin.since,
        outlooks=outlooks,
        readings=readings,
        last=last_reading(history),
        medium=medium,
        from_at=from_at,
        usable_at=usable_at,
        used=fit.used if fit else 0,
        is_rough=fit is not None and fit.is_rough,
        cold_at=_cold_at(found, fit, cold_c, from_at),
        can_reheat=can_begin_again(plan, history, cold_c, now),
        next_at=_next_reading(outlooks, readings, from_at, usable_at, now),
    )


def _cools_so_since(view: View, log: CoolingLog, begun_at: datetime | None) -> datetime:
    """Since when it cools in one place, in one piece, under one lid.

    What was read before says little about how fast it cools now.
    """
    moments = [begun_at or min(log.began, view.container.made_at or log.began)]
    moments += [at for at in (log.changed_at, log.reheated_at) if at is not None]
    placings = view.container.placings
    moved = [
        placing.at
        for number, placing in enumerate(placings)
        if number == 0
        or (placing.place, placing.state)
        != (placings[number - 1].place, placings[number - 1].state)
    ]
    return max([*moments, *moved[-1:]])


def _readings(
    history: History, log: CoolingLog, from_at: datetime
) -> tuple[Reading, ...]:
    """What was read since; of two at one moment the warmer, as the worst case."""
    latest: dict[datetime, float] = {}
    for at, temp_c in sorted(history.coolings, key=lambda one: one[0]):
        is_before = at < from_at or at == log.reheated_at
        if temp_c is not None and not is_before:
            latest[at] = max(temp_c, latest.get(at, temp_c))
    return tuple(latest.items())


def last_reading(history: History) -> Reading | None:
    """The latest measured temperature, wherever it stood then."""
    known = [(at, temp_c) for at, temp_c in history.coolings if temp_c is not None]
    return max(known, default=None)


def _medium(
    view: View, log: CoolingLog, cold_c: float, session: Session
) -> Medium | None:
    """The temperature around it: told or measured there since, or a fridge's limit.

    Never a set point. Where a counter was not measured nothing is known, since taking
    it as cold would promise too much.
    """
    placing = view.container.placings[-1] if view.container.placings else None
    moved_at = placing.at if placing is not None else log.began
    if log.medium is not None and log.medium[0] >= moved_at:
        return Medium(log.medium[1], log.medium[0])
    if placing is not None and (read := _air_of(placing, session)) is not None:
        return read
    if placing is not None and placing.temp_c is not None:
        return Medium(placing.temp_c, placing.at)
    is_cold = placing is not None and placing.state in ("fridge", "freezer")
    return Medium(cold_c) if is_cold else None


def _air_of(placing: Placing, session: Session) -> Medium | None:
    """What was read in its place, on the mean over the last hour that it stood there.

    None where nobody reads the place, or nobody did in time.
    """
    place = next((x for x in session.places if x.name == placing.place), None)
    if place is None:
        return None
    from lidclock.app.temp_course import measured_places, place_course
    from lidclock.templog.series import seconds
    from lidclock.templog.stats import stats_of

    began = max(placing.at, session.now - LONGEST_GAP)
    with session.read() as unit:
        if not measured_places(unit, [place]):
            return None
        course = place_course(unit, place, began, session.now)
    latest = course.latest
    if not course.is_heard or latest is None or latest.at < placing.at:
        return None
    window = course.course.clip(seconds(began), seconds(session.now))
    found = stats_of(window)
    return None if found is None else Medium(found.mean_c, latest.at, is_mean=True)


def _outlook(
    stage: Stage, medium: Medium | None, fit: heat.Fit | None, from_at: datetime
) -> Outlook:
    if not stage.is_pending or stage.due_at is None or stage.rule.kind == "chill":
        return Outlook(stage)
    if medium is None:
        return Outlook(stage, UNMEASURED)
    if medium.temp_c >= stage.target_c:
        return Outlook(stage, NEVER if medium.measured_at else UNMEASURED)
    if fit is None:
        return Outlook(stage, TOO_EARLY)
    due_h = (stage.due_at - from_at) / _HOUR
    sure_h = ((stage.sure_at or stage.due_at) - from_at) / _HOUR
    crossing = heat.crossing(fit, stage.target_c)
    times = (crossing.early_h, crossing.middle_h, crossing.late_h)
    return Outlook(
        stage,
        heat.foresee(crossing, sure_h, due_h),
        *(_moment(x, from_at) for x in times),
    )


def _moment(time_h: float, from_at: datetime) -> datetime | None:
    return None if math.isinf(time_h) else from_at + time_h * _HOUR


def _cold_at(
    found: tuple[Stage, ...], fit: heat.Fit | None, cold_c: float, from_at: datetime
) -> tuple[datetime | None, datetime | None] | None:
    """When it may be as cold as a fridge, where no stage counts the hours to that."""
    asks = any(x.rule.kind != "chill" and x.target_c <= cold_c for x in found)
    if fit is None or asks:
        return None
    crossing = heat.crossing(fit, cold_c)
    return _moment(crossing.early_h, from_at), _moment(crossing.late_h, from_at)


def _next_reading(
    outlooks: tuple[Outlook, ...],
    readings: tuple[Reading, ...],
    from_at: datetime,
    usable_at: datetime,
    now: datetime,
) -> datetime | None:
    """When to measure again; None where a stage was missed and a choice is due.

    Never later than the next stage is due, nor than an hour after the last reading.
    """
    if any(x.stage.state == "missed" for x in outlooks):
        return None
    if any(x.stage.state == "overdue" for x in outlooks):
        return now
    last_at = readings[-1][0] if readings else from_at
    ahead = [last_at + LONGEST_GAP]
    waiting = [x for x in outlooks if x.stage.is_pending and x.stage.due_at]
    for one in waiting[:1]:
        due_at = one.stage.due_at or now
        soon = last_at + SHORTEST_GAP
        if one.forecast == TOO_EARLY:
            soon = max(soon, usable_at)
        elif one.forecast == ON_COURSE and one.late_at is not None:
            soon = max(soon, one.late_at)
        elif one.forecast == UNCERTAIN:
            soon = max(soon, last_at + (due_at - last_at) / 2)
        elif one.forecast != TOO_SLOW:
            soon = due_at
        ahead += [soon, due_at]
    return min(ahead)


def alike(standings: list[Standing]) -> list[Standing]:
    """Containers of one batch that cool alike as one standing."""
    groups: dict[tuple[object, ...], Standing] = {}
    for one in standings:
        own = one.view.code if one.view.container.cools_alone else ""
        key = (
            *(one.view.container.batch, own, one.log, one.readings, one.from_at),
            *(one.outlooks, one.medium),
        )
        known = groups.get(key)
        if known is None:
            groups[key] = one
        else:
            groups[key] = replace(known, views=(*known.views, *one.views))
    return list(groups.values())
