"""What the centre measures at a time is what would be predicted for that time."""

from __future__ import annotations

import numpy as np
import pytest

from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict
from lidclock.heat.watch import centre_temps

STEW = load_foods()["beef-stew"].composition
BRICK, DISC = Body("brick", (0.05, 0.1, 0.12)), Body("cylinder", (0.09, 0.05))
SLAB, BALL = Body("slab", (0.05,)), Body("sphere", (0.07,))
ROD = Body("cylinder", (0.06, 0.15))
THAW, FREEZE, COOL = (-18, 4), (20, -18), (60, 3)


@pytest.mark.parametrize(
    "body", [SLAB, BALL, BRICK, DISC, ROD, Body("cylinder", (0.06, None))]
)
@pytest.mark.parametrize(
    ("ends", "targets"),
    [(THAW, (-10, -3, 0)), (FREEZE, (-5, -10)), (COOL, (40, 12, 5))],
)
def test_a_time_and_its_temperature_belong_together(body, ends, targets):
    """Across the whole course, by every method: within a tenth of a degree."""
    films = (6, 10)
    for target in targets:
        course = Course(*ends, target)
        hours = predict(STEW, body, course, films).hours
        for film, time in zip(films, hours, strict=True):
            told = centre_temps(STEW, body, course, [film], [time / 2, time])[0]
            assert told[1] == pytest.approx(target, abs=0.1)
            assert (told[0] - told[1]) * (ends[0] - ends[1]) > 0


def test_a_centre_that_has_yet_to_freeze_lags_as_predicted():
    """Hot food in a freezer: properties are taken a little otherwise, 1 K at most."""
    course = Course(60, -18, 30)
    time = predict(STEW, BRICK, course, [8]).hours[0]

    assert centre_temps(STEW, BRICK, course, [8], [time])[0, 0] == pytest.approx(
        30, abs=1
    )


def test_at_the_start_it_is_the_start():
    told = centre_temps(STEW, SLAB, Course(60, 3, 5), [6, 8], [0, 1])

    assert told[:, 0] == pytest.approx([60, 60])
    assert np.all(told[:, 1] < 60)


def test_many_times_are_as_good_as_one():
    """Steps that are cut short at a time change nothing of what comes after."""
    times = np.linspace(0.5, 20, 40)
    many = centre_temps(STEW, SLAB, Course(-18, 4, 0), [8], times)[0]
    alone = [
        centre_temps(STEW, SLAB, Course(-18, 4, 0), [8], [time])[0, 0]
        for time in times[::10]
    ]

    assert many[::10] == pytest.approx(alone, abs=0.05)
    assert np.all(np.diff(many) > 0)


def test_long_after_it_is_as_its_medium():
    told = centre_temps(STEW, SLAB, Course(60, 3, 5), [8], [1000])

    assert told[0, 0] == pytest.approx(3, abs=0.01)
