"""Figures of temperatures: one place over a week, or all places side by side."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.files import write_whole
from lidclock.app.session import Session, Unit
from lidclock.app.temp_figure_words import (
    figure_name,
    fleet_words,
    missing_letters,
    place_words,
    told_words,
)
from lidclock.app.temp_report import PlaceReport, reports
from lidclock.domain.moments import say_moment, say_span
from lidclock.errors import InputError, RefusedError

if TYPE_CHECKING:
    from lidclock.reports.drawing import Format
    from lidclock.reports.place import Frame, Trace
    from lidclock.templog.series import Floats

# Readings of a probe are marked one by one up to so many; more would be a band.
_FEW_READINGS = 60
# The food's curve is bent between readings that lie far apart: so many points show it.
_STEPS = 3_000
_LEAST_STEP_S = 30.0


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a figure shows, and what to say of it that it could not show."""

    name: str
    span: str
    remarks: tuple[str, ...] = ()


def draw_place(
    session: Session,
    place: str,
    path: Path,
    *,
    within: timedelta,
    until: datetime | None = None,
    with_containers: bool = False,
) -> Drawn:
    """Draw one place to a file, from `within` before `until` up to it, or up to now.

    InputError for a file of another kind, RefusedError where nobody ever measured.
    """
    kind = _kind(path)
    where = session.place(place)
    ended = session.checked_past(until, "the time to draw up to")
    with session.read() as unit:
        (found,) = reports(unit, [where], within, ended)
        _refuse_unread([found], session)
        counts = _counts(unit, [found]) if with_containers else {}
    write_whole(path, [_drawn(found, session, counts, kind)])
    days = _days(_frame(found, session))
    return Drawn(where.name, days, missing_letters([where], session))


def place_drawing(session: Session, place: str, within: timedelta) -> bytes:
    """One place up to now as SVG, for a page; RefusedError where nobody measured."""
    with session.read() as unit:
        (found,) = reports(unit, [session.place(place)], within)
    _refuse_unread([found], session)
    return _drawn(found, session, {}, "svg")


def _drawn(
    found: PlaceReport,
    session: Session,
    counts: dict[str, tuple[Floats, Floats]],
    kind: Format,
) -> bytes:
    from lidclock.reports import place as figures

    frame = _frame(found, session)
    trace = _trace(found, session, counts)
    words = place_words(found, session, frame)
    lag = say_span(timedelta(seconds=found.found.lag_s))
    return figures.draw_place(trace, frame, words, kind, lag=lag)


def draw_fleet(
    session: Session,
    path: Path,
    *,
    within: timedelta,
    until: datetime | None = None,
    with_containers: bool = False,
) -> Drawn:
    """Draw every place that anybody ever measured; the others are named below.

    InputError for a file of another kind, RefusedError where there is none to draw.
    """
    from lidclock.reports import place as figures

    kind = _kind(path)
    ended = session.checked_past(until, "the time to draw up to")
    with session.read() as unit:
        all_found = reports(unit, session.places, within, ended)
        _refuse_unread(all_found, session)
        found = [one for one in all_found if one.found.latest is not None]
        counts = _counts(unit, found) if with_containers else {}
    frame = _frame(found[0], session)
    traces = [_trace(one, session, counts) for one in found]
    drawn = figures.draw_fleet(
        traces, frame, fleet_words(all_found, session, frame), kind
    )
    write_whole(path, [drawn])
    places = [one.place for one in found]
    name = f"{len(found)} place{'' if len(found) == 1 else 's'}"
    return Drawn(name, _days(frame), missing_letters(places, session))


def _days(frame: Frame) -> str:
    from lidclock.reports.drawing import say_days

    return say_days(frame.began, frame.ended, frame.zone)


def _kind(path: Path) -> Format:
    from lidclock.reports.drawing import FORMATS

    for kind in FORMATS:
        if path.suffix.lower() == f".{kind}":
            return kind
    endings = ", ".join(f".{kind}" for kind in FORMATS)
    raise InputError(f"{path.name} must end in one of {endings}")


def _refuse_unread(found: list[PlaceReport], session: Session) -> None:
    if any(one.found.latest is not None for one in found):
        return
    until, when, name = found[0].until, "", "PLACE"
    if until != session.now:
        when = f" up to {say_moment(until, session.kitchen.zone)}"
    what = "no place has readings"
    if len(found) == 1:
        name = repr(found[0].place.name)
        what = f"{found[0].place.name} has no readings"
    raise RefusedError(
        f"{what}{when}, so there is nothing to draw: `lidclock temp {name} 4C` "
        "records one, `lidclock temp import` reads a logger's file"
    )


def _frame(found: PlaceReport, session: Session) -> Frame:
    from lidclock.reports.place import Frame

    kitchen = session.kitchen
    began, ended = found.since.timestamp(), found.until.timestamp()
    return Frame(began, ended, kitchen.zone, kitchen.units)


def _trace(
    found: PlaceReport,
    session: Session,
    counts: dict[str, tuple[Floats, Floats]],
) -> Trace:
    """The values that the drawing needs, in seconds since 1970."""
    from lidclock.reports.place import Trace
    from lidclock.templog.food import course_behind
    from lidclock.templog.gaps import unmeasured

    began, ended = found.since.timestamp(), found.until.timestamp()
    course, limit = found.found.course, found.found.limit
    window = course.clip(began, ended)
    gaps = unmeasured(window, began, ended)
    if gaps and gaps[-1][1] == ended and found.found.is_heard and len(window):
        # It may still speak: nobody misses a reading yet.
        gaps.pop()
    food = None
    if limit is not None and len(window):
        step_s = max((ended - began) / _STEPS, _LEAST_STEP_S)
        behind = course_behind(
            course, found.found.lag_s, step_s=step_s, is_floor=limit.is_floor
        )
        food = (behind.times, behind.temps)
    containers = counts.get(found.place.name.casefold())
    return Trace(
        figure_name(found.place, session),
        window.times,
        window.temps,
        limit.limit_c if limit else None,
        is_floor=limit.is_floor if limit else False,
        excursions=_spans(found.excursions),
        spikes=_spans(found.spikes),
        gaps=tuple(gaps),
        food=food,
        dots=_dots(found, began, ended),
        containers=containers,
        state=found.place.state,
        told=told_words(found, session, containers and int(containers[1][-1])),
    )


def _spans(found: tuple[object, ...]) -> tuple[tuple[float, float], ...]:
    return tuple((one.began.timestamp(), one.ended.timestamp()) for one in found)  # type: ignore[attr-defined]


def _dots(
    found: PlaceReport, began: float, ended: float
) -> tuple[Floats, Floats] | None:
    """Readings to be marked one by one: few, or typed by a hand."""
    import numpy as np

    parts = [one.series.between(began, ended) for one in found.found.members]
    typed = [one.sensor.is_typed for one in found.found.members]
    shown = [
        part
        for part, is_typed in zip(parts, typed, strict=True)
        if len(part) and (is_typed or len(part) <= _FEW_READINGS)
    ]
    if not shown:
        return None
    return (
        np.concatenate([part.times for part in shown]),
        np.concatenate([part.temps for part in shown]),
    )


def _counts(unit: Unit, found: list[PlaceReport]) -> dict[str, tuple[Floats, Floats]]:
    """How many containers stood in each place, from when on; the ledger is folded."""
    import numpy as np

    from lidclock.domain.fold import fold

    began, ended = found[0].since, found[0].until
    changes: dict[str, list[tuple[float, int]]] = {
        one.place.name.casefold(): [(began.timestamp(), 0)] for one in found
    }
    inventory = fold(list(unit.ledger.all()))
    for container in inventory.containers.values():
        for stay in inventory.history_of(container).stays:
            own = changes.get(stay.place.casefold())
            if own is None or stay.began >= ended:
                continue
            if stay.ended is not None and stay.ended <= began:
                continue
            own.append((max(stay.began, began).timestamp(), 1))
            if stay.ended is not None and stay.ended < ended:
                own.append((stay.ended.timestamp(), -1))
    return {name: _summed(np.array(sorted(own))) for name, own in changes.items()}


def _summed(changes: Floats) -> tuple[Floats, Floats]:
    """The instants at which a number changed, and what it was from each on."""
    import numpy as np

    times, sums = changes[:, 0], np.cumsum(changes[:, 1])
    is_last = np.r_[times[1:] != times[:-1], True]
    return times[is_last], sums[is_last]
