"""What there is, what is due, what needs a voice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.alerts.voice import Alert, is_ready_due, pick
from lidclock.app.session import Session, Unit, View
from lidclock.app.verdict_words import say_when
from lidclock.clock.status import days_left_at, status_at
from lidclock.domain.sentences import sentence
from lidclock.domain.snapshots import Snapshot

if TYPE_CHECKING:
    from lidclock.app.outlook import Standing


@dataclass(frozen=True, slots=True)
class Listed:
    """A container in a list, with its status at this moment and in this zone."""

    container: Snapshot
    status: str
    now: datetime
    zone: ZoneInfo

    @property
    def days_left(self) -> int | None:
        """Days left if it is thawed now; None unless it is frozen."""
        one = self.container
        return days_left_at(one.days_left, one.last_moment, self.now, self.zone)


@dataclass(frozen=True, slots=True)
class DueList:
    """What ends soon by place and last moment, then what is not marked."""

    due: tuple[Listed, ...]
    unmarked: tuple[Listed, ...]
    missing: tuple[Listed, ...]
    paused_count: int
    within: timedelta
    cooling: tuple[Standing, ...] = ()

    def by_place(self) -> dict[str, list[Listed]]:
        """The due containers grouped by place, the soonest group first."""
        groups: dict[str, list[Listed]] = {}
        for one in self.due:
            groups.setdefault(one.container.place or "no place", []).append(one)
        return groups


def due(session: Session, within: timedelta | None = None) -> DueList:
    """Containers whose last moment comes within `within` (default: the lead)."""
    span = within if within is not None else session.kitchen.lead
    with session.read() as unit:
        ending = unit.snapshots.due(session.now + span)
        unmarked = unit.snapshots.unmarked()
        paused = unit.snapshots.paused()
        missing = unit.snapshots.missing()
        cooling = _cooling(unit)
    ending += [one for one in paused if _is_pressing(one, session.now + span)]
    ending.sort(key=_by_moment)
    return DueList(
        tuple(listed(session, one) for one in ending if not one.is_unmarked),
        tuple(listed(session, one) for one in sorted(unmarked, key=_by_moment)),
        tuple(listed(session, one) for one in missing),
        len(paused),
        span,
        cooling,
    )


def _cooling(unit: Unit) -> tuple[Standing, ...]:
    """The open cooling logs; what judges them is imported only where there are any."""
    if not unit.snapshots.cooling():
        return ()
    from lidclock.app.cooling_watch import open_standings

    return tuple(open_standings(unit))


def _is_pressing(one: Snapshot, until: datetime) -> bool:
    """A frozen one can end too: by its maker's date, or with no day left to thaw it."""
    ends = one.last_moment is not None and one.last_moment <= until
    return ends or one.days_left == 0


def _by_moment(one: Snapshot) -> tuple[float, str, int, int, str]:
    """Soonest first; boxes of one batch in the order of their numbers."""
    batch, box = one.batch_number or 0, one.index or 0
    return (_last(one), one.food.casefold(), batch, box, one.code)


def listed(session: Session, container: Snapshot) -> Listed:
    """The container with its status now."""
    kitchen = session.kitchen
    status = status_at(
        container.standing,
        container.last_moment,
        session.now,
        kitchen.zone,
        kitchen.lead,
        is_silent=container.place.casefold() in session.silent,
    )
    return Listed(container, status, session.now, kitchen.zone)


@dataclass(frozen=True, slots=True)
class Total:
    """How many containers of one food sit in one place, and their mass."""

    place: str
    food: str
    count: int
    mass_g: float | None


@dataclass(frozen=True, slots=True)
class Stocked:
    """What is where."""

    containers: tuple[Listed, ...]
    totals: tuple[Total, ...]
    missing: tuple[Listed, ...] = ()


def stocked(
    session: Session,
    *,
    place: str | None = None,
    food: str | None = None,
    state: str | None = None,
) -> Stocked:
    """Live containers that meet every condition, with counts and grams.

    A container that was never placed is listed under no place, not as stored.
    """
    where = session.place(place).name if place else None
    with session.read() as unit:
        name = unit.need_food(food).name if food else None
        found = unit.snapshots.find(place=where, food=name, state=state)
        lost = [] if where or state else unit.snapshots.missing()
        lost = [one for one in lost if name in (None, one.food)]
    found.sort(key=lambda one: (one.place, one.food.casefold(), _by_moment(one)))
    masses: dict[tuple[str, str], list[float | None]] = {}
    for one in found:
        masses.setdefault((one.place, one.food), []).append(one.mass_g)
    totals = tuple(
        Total(spot, what, len(each), _sum(each))
        for (spot, what), each in masses.items()
    )
    return Stocked(
        tuple(listed(session, one) for one in found),
        totals,
        tuple(listed(session, one) for one in lost),
    )


def _last(one: Snapshot) -> float:
    return one.last_moment.timestamp() if one.last_moment else float("inf")


def _sum(masses: list[float | None]) -> float | None:
    """The total, or None as soon as one was not weighed."""
    known = [mass for mass in masses if mass is not None]
    return round(sum(known), 1) if len(known) == len(masses) else None


def show(session: Session, typed: str) -> View:
    """One container whole: history, verdict, why."""
    with session.read() as unit:
        return unit.view(unit.find(typed).code)


def alerts(session: Session, within: timedelta) -> list[Alert]:
    """Only what needs a voice, the most urgent first; what is missing comes last.

    A pan that cools goes before everything: there minutes count. So they do for what
    should be thawed about now.
    """
    with session.read() as unit:
        ending = unit.snapshots.due(session.now + within)
        codes = {one.code for one in ending}
        others = [*unit.snapshots.unmarked(), *unit.snapshots.unknown()]
        until = session.now + within
        others += [x for x in unit.snapshots.paused() if _is_pressing(x, until)]
        rest = {one.code: one for one in others if one.code not in codes}
        missing = [Alert("missing", one) for one in unit.snapshots.missing()]
        cooling = _cooling_alerts(unit)
        ready = _ready_alerts(unit)
    zone = session.kitchen.zone
    picked = pick([*ending, *rest.values()], session.now, zone, within)
    return [*cooling, *ready, *picked, *missing]


def _ready_alerts(unit: Unit) -> list[Alert]:
    """What should be thawed about now, unless it is over: then that is told alone."""
    session = unit.session
    found = []
    for one in unit.snapshots.thawing():
        at, over_at = one.ready_at, one.last_moment
        is_over = over_at is not None and over_at <= session.now
        if at is not None and is_ready_due(at, session.now) and not is_over:
            says = sentence("ready {when}", when=say_when(at, session.kitchen.zone))
            found.append(Alert("ready", one, says, at.isoformat()))
    return found


def _cooling_alerts(unit: Unit) -> list[Alert]:
    if not unit.snapshots.cooling():
        return []
    from lidclock.app.cooling_watch import cooling_alerts

    return cooling_alerts(unit)
