"""The pull list of one morning: what to take out, what ends today, what must go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from lidclock.app.lists import Listed
from lidclock.app.planning import choices_of
from lidclock.app.pull_takeouts import take_outs
from lidclock.app.session import Session, Unit
from lidclock.app.thawing import EVER, Thawing, thawing
from lidclock.clock.status import status_at
from lidclock.domain.moments import end_of_day, local_date, say_day
from lidclock.domain.recurrence import instant_of
from lidclock.domain.sentences import figure, joined, typed
from lidclock.domain.snapshots import Snapshot, made_order
from lidclock.errors import InputError
from lidclock.plan.lists import PullLine

# "Tomorrow early" is up to noon: our choice.
_EARLY = timedelta(hours=12)
# A list further ahead would say nothing: most of what it lists will be gone.
MOST_AHEAD = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class PullList:
    """What a morning's list holds, judged at `at`; each group the soonest first.

    `take_out` is still to be done, `out` is thawing already. `no_day` has no last day
    or no place: it is listed, never counted as fine.
    """

    day: date
    at: datetime
    take_out: tuple[PullLine, ...]
    out: tuple[PullLine, ...]
    last_day: tuple[Listed, ...]
    over: tuple[Listed, ...]
    no_day: tuple[Listed, ...]
    frozen: tuple[Listed, ...]


def pull_list(
    session: Session, day: date | None = None, more: Iterable[PullLine] = ()
) -> PullList:
    """The list for `day` (today if None).

    What to take out is what was agreed on the card or what it proposes; `more` comes
    from elsewhere. Today it is judged now, a later day at the first hour of that day's
    card. InputError for a day that is past or far ahead.
    """
    with session.read() as unit:
        at = moment_of(unit, day)
        on = local_date(at, session.kitchen.zone)
        live = [
            *unit.snapshots.due(EVER),
            *unit.snapshots.paused(),
            *unit.snapshots.unknown(),
        ]
        out = [_out_line(one) for one in thawing(unit) if _is_of(one, on, session)]
    listed = [_at(session, one, at) for one in live]
    until = end_of_day(on, session.kitchen.zone) + _EARLY
    wanted = [*take_outs(session, at, until), *more]
    return PullList(
        on,
        at,
        tuple(sorted((x for x in wanted if x.at < until), key=lambda x: x.at)),
        tuple(out),
        _those(listed, lambda one: one.status == "last-day"),
        _those(listed, lambda one: one.status == "over" or _is_spent(one)),
        _those(listed, _lacks),
        _those(listed, lambda one: one.status == "paused" and not _is_spent(one)),
    )


def moment_of(unit: Unit, day: date | None) -> datetime:
    """At which moment a list for `day` is judged."""
    session = unit.session
    today = local_date(session.now, session.kitchen.zone)
    if day is None or day == today:
        return session.now
    if not today < day <= today + MOST_AHEAD:
        when = "past" if day < today else f"more than {MOST_AHEAD.days} days ahead"
        raise InputError(f"{say_day(day)} is {when}; give today or a day soon to come")
    first = min(choices_of(unit).card_hours)
    return instant_of(datetime.combine(day, first), session.kitchen.zone)


def _at(session: Session, one: Snapshot, at: datetime) -> Listed:
    kitchen = session.kitchen
    is_silent = one.place.casefold() in session.silent
    status = status_at(
        *(one.standing, one.last_moment, at, kitchen.zone, kitchen.lead),
        is_silent=is_silent,
    )
    return Listed(one, status, at, kitchen.zone)


def _those(
    listed: Sequence[Listed], holds: Callable[[Listed], bool]
) -> tuple[Listed, ...]:
    found = [one for one in listed if holds(one)]
    return tuple(sorted(found, key=_soonest))


def _soonest(one: Listed) -> tuple[float, int, tuple[float, int, int, str]]:
    last = one.container.last_moment
    at = last.timestamp() if last else float("inf")
    return (at, one.days_left or 0, made_order(one.container))


def _is_spent(one: Listed) -> bool:
    """Frozen, and no day would be left if it were thawed."""
    return one.status == "paused" and not one.days_left


def _lacks(one: Listed) -> bool:
    if one.status in ("over", "last-day"):
        return False
    return one.status == "unknown" or one.container.is_unmarked


def _is_of(one: Thawing, on: date, session: Session) -> bool:
    """Whether it should be ready on that day or later."""
    return local_date(one.ready_at, session.kitchen.zone) >= on


def _out_line(one: Thawing) -> PullLine:
    first, count = one.containers[0], len(one.containers)
    return PullLine(
        at=one.taken_at,
        says=joined("{food} x{count}", food=first.food, count=figure(count))
        if count > 1
        else typed(first.food),
        codes=tuple(x.code for x in one.containers),
        from_place=one.from_place,
        to_place=first.place,
        ready_at=one.ready_at,
    )
