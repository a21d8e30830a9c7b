"""A cooling as a figure: readings, stages with their hours, and what is foreseen."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.cooling_target import target_of
from lidclock.app.files import write_whole
from lidclock.app.outlook import Standing, standing_of
from lidclock.app.session import Session
from lidclock.errors import InputError, RefusedError

if TYPE_CHECKING:
    from lidclock.reports.cooling import Cooling
    from lidclock.reports.drawing import Format

_HOUR = timedelta(hours=1)


def kind_of(path: Path) -> Format:
    """The kind of figure that a file is to be; InputError if it is none."""
    from lidclock.reports.drawing import FORMATS

    for kind in FORMATS:
        if path.suffix.lower() == f".{kind}":
            return kind
    known = ", ".join(f".{kind}" for kind in FORMATS)
    raise InputError(f"{path.name} must end in one of {known}")


def draw_cooling_log(session: Session, typed: str, path: Path) -> str:
    """Draw the log of a batch or a container to a file; what was drawn.

    InputError for a file of another kind, RefusedError where nothing was measured yet.
    """
    kind = kind_of(path)
    name, drawn = _drawn(session, typed, kind)
    write_whole(path, [drawn])
    return name


def cooling_drawing(session: Session, typed: str) -> bytes:
    """The same as SVG, for a page."""
    return _drawn(session, typed, "svg")[1]


def _drawn(session: Session, typed: str, kind: Format) -> tuple[str, bytes]:
    from lidclock.reports.cooling import draw_cooling

    with session.read() as unit:
        target = target_of(unit, typed)
        views = [unit.view(one.code) for one in target.containers]
        logged = [view for view in views if view.container.cooling is not None]
        # One that is measured on its own has a curve of its own.
        logged.sort(key=lambda view: view.container.cools_alone)
        if not logged:
            raise RefusedError(
                f"{target.name} has no cooling log; `lidclock cool start` opens one"
            )
        standing = standing_of(logged[0], session)
    if not standing.readings:
        raise RefusedError(
            f"nothing was measured of {target.name} yet: `lidclock cool read` records "
            "a temperature"
        )
    figure, kitchen = _figure(target.name, standing), session.kitchen
    return target.name, draw_cooling(figure, kitchen.zone, kind, kitchen.units)


def _figure(name: str, standing: Standing) -> Cooling:
    """The values that the drawing needs, in seconds since 1970."""
    import numpy as np

    from lidclock.heat.cooling import curve
    from lidclock.reports.cooling import Cooling, Stage

    began = standing.from_at
    stages = [
        (one.stage, one.stage.due_at)
        for one in standing.outlooks
        if one.stage.due_at is not None
    ]
    found = curve(
        [(at - began) / _HOUR for at, _ in standing.readings],
        [temp_c for _, temp_c in standing.readings],
        standing.medium.temp_c if standing.medium else 0.0,
        [((due - began) / _HOUR, stage.target_c) for stage, due in stages],
        after_h=(standing.usable_at - began) / _HOUR,
    )
    start = began.timestamp()
    times = start + np.array(found.times_h) * _HOUR.total_seconds()
    grid = start + np.array(found.grid_h) * _HOUR.total_seconds()
    is_foreseen = standing.medium is not None and len(grid) > 0
    return Cooling(
        name,
        times,
        np.array(found.temps_c),
        tuple(
            Stage(stage.target_c, due.timestamp(), _MET.get(stage.state))
            for stage, due in stages
        ),
        (grid, np.array(found.low_c), np.array(found.high_c)) if is_foreseen else None,
    )


_MET = {"met": True, "missed": False}
