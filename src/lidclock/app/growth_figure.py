"""What a model makes of a container, as a figure: temperatures, limits, a band."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from lidclock.app.cooling_figure import kind_of
from lidclock.app.files import write_whole
from lidclock.app.food_course import ASSUMED
from lidclock.domain.codes import spaced
from lidclock.errors import RefusedError

if TYPE_CHECKING:
    from lidclock.app.growth_container import Foretold
    from lidclock.app.session import Session
    from lidclock.reports.growth import Growth

_GRID = 600
_HOUR_S = 3600.0


def draw_foretold(told: Foretold, session: Session, path: Path) -> None:
    """Draw it to a file; InputError for a file of another kind.

    RefusedError where there is nothing to draw.
    """
    from lidclock.reports.growth import draw_growth

    kind = kind_of(path)
    if told.unfolding is None:
        raise RefusedError(f"nothing to draw: {told.unknown[0]}")
    drawn = draw_growth(_figure(told, session), session.kitchen.zone, kind)
    write_whole(path, [drawn])


def _figure(told: Foretold, session: Session) -> Growth:
    from lidclock.reports.growth import Growth

    assert told.unfolding is not None
    courses = [one.course for one in told.stretches]
    began, ended = float(courses[0].times[0]), float(courses[-1].times[-1])
    grid = np.union1d(
        np.linspace(began, ended, _GRID), [one.times[0] for one in courses]
    )
    low, mid, high = told.unfolding.band((grid - began) / _HOUR_S)
    warning = told.warning
    return Growth(
        name=f"{spaced(told.view.code)} {told.view.food.name}",
        organism=told.unfolding.organism.name,
        runs=tuple(
            (one.course.times, one.course.temps, one.known == ASSUMED)
            for one in told.stretches
        ),
        times=grid,
        low=low,
        mid=mid,
        high=high,
        stays=tuple(_stays(told)),
        now=session.now.timestamp(),
        last_moment=told.last_moment.timestamp() if told.last_moment else None,
        limit_c=session.guidance.cold_c,
        doublings=told.asked.doublings,
        passed=warning.at.timestamp() if warning else None,
        is_known=told.is_known,
    )


def _stays(told: Foretold) -> list[tuple[str, float, float]]:
    found = []
    for stay, group in groupby(told.stretches, key=lambda one: one.stay):
        same = list(group)
        name = stay.place or stay.state
        found.append(
            (
                name,
                float(same[0].course.times[0]),
                float(same[-1].course.times[-1]),
            )
        )
    return found
