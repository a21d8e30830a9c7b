"""`python -m lidclock.app.example_figures FOLDER`: a figure of each kind, to look at.

An invented kitchen with readings that were never taken: made anew for each run, the
same every time, and thrown away.
"""

from __future__ import annotations

import math
import sys
import tempfile
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

from lidclock.app import (
    example_waste,
    sensors,
    setup,
    temp_figure,
    temps,
    waste,
    waste_figure,
)
from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.moments import from_local, local_date, zone_of

_ZONE = zone_of("America/New_York")
# The week in which clocks go back there.
_NOW = from_local(datetime.fromisoformat("2026-11-02T12:00"), _ZONE)
_WEEK = timedelta(days=7)
_STEP = timedelta(minutes=10)
_GREYS = 12
_USUAL_C = {"fridge": 3.0, "freezer": -19.5, "hot": 66.0}


def draw_all(folder: Path) -> Iterator[Path]:
    """Write one figure of each kind; the files, one after the other."""
    with tempfile.TemporaryDirectory() as scratch:
        session = _kitchen(Path(scratch) / "kitchen.db")
        try:
            path = folder / "temperatures-place.png"
            temp_figure.draw_place(session, "Fridge", path, within=_WEEK)
            yield _lightened(path)
            path = folder / "temperatures-all.png"
            temp_figure.draw_fleet(session, path, within=_WEEK)
            yield _lightened(path)
        finally:
            session.close()
        session = example_waste.make_kitchen(Path(scratch) / "waste.db")
        try:
            path = folder / "waste-weeks.png"
            first_on = local_date(session.now, _ZONE) - timedelta(days=55)
            waste_figure.draw_waste(
                session, waste.waste_report(session, since=first_on), path
            )
            yield _lightened(path)
        finally:
            session.close()


def _lightened(path: Path) -> Path:
    """The same picture in few greys, since it is kept beside the documents."""
    from PIL import Image

    with Image.open(path) as drawn:
        few = drawn.convert("L").quantize(_GREYS)
    few.save(path, optimize=True)
    return path


def _kitchen(path: Path) -> Session:
    kitchen = Kitchen("", "Corner kitchen", _ZONE.key, guidance="us-food-code")
    setup.init_kitchen(path, kitchen)
    session = Session.open(path, now=_NOW)
    for name, state in (("Fridge 2", "fridge"), ("Bar", "hot"), ("Cellar", "fridge")):
        setup.add_place(session, Place(name, state))
    session.close()
    session = Session.open(path, now=_NOW)
    for number, place in enumerate(session.places):
        if place.state in _USUAL_C:
            _measure(session, place, number)
    return session


def _measure(session: Session, place: Place, number: int) -> None:
    """A probe's week: a cycle of cold, a door, a warm afternoon, a silence."""
    began = _NOW - 2 * _WEEK
    name = f"Probe {number}"
    sensors.add_sensor(session, name, place.name, interval=_STEP, since=began)
    moments = [began + k * _STEP for k in range(2 * _WEEK // _STEP)]
    kept = [at for at in moments if not _is_silent(place, at)]
    said = [round(_said(place, at, number), 1) for at in kept]
    with session.write() as unit:
        sensor = sensors.need_sensor(unit, name)
        micros = [round(at.timestamp() * 1_000_000) for at in kept]
        temps.keep_readings(unit, sensor, micros, said)


def _is_silent(place: Place, at: datetime) -> bool:
    hours = (_NOW - at) / timedelta(hours=1)
    return (place.name == "Fridge" and 88 < hours < 112) or (
        place.name == "Cellar" and hours < 200
    )


def _said(place: Place, at: datetime, number: int) -> float:
    hours = (_NOW - at) / timedelta(hours=1)
    usual = _USUAL_C[place.state] + 0.7 * math.sin(3.1 * hours + number)
    if place.name != "Fridge":
        return usual
    # A door that stood open for some minutes, and a fridge that failed for a while.
    door = 3.2 * math.exp(-(((hours - 150.2) / 0.12) ** 2))
    failed = 7.5 * max(0.0, 1 - abs(hours - 52) / 4)
    return usual + door + failed


if __name__ == "__main__":
    for written in draw_all(Path(sys.argv[1])):
        print(written)
