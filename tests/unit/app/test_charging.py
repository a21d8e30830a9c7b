"""What places did, charged to the containers of a kitchen that were there."""

import runpy
from datetime import timedelta

import numpy as np
import pytest
from alembic.migration import MigrationContext
from alembic.operations import Operations

from lidclock.app import lists, moves, prep, sensors, temps, transfer
from lidclock.app.prep import Order
from lidclock.clock.limit import TICK
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.store import Kitchens, migrations
from lidclock.templog.series import micros

from .conftest import at

SOUP = Food("leek soup", "soup-stew", ("milk",))


@pytest.fixture
def session(opened):
    """Noon on 2 November, under the Food Code: 4 h above 5 °C are its last."""
    found = opened("2026-11-02T12:00", who="ann")
    use_set(found, "us-food-code")
    sensors.add_sensor(found, "Probe A", "Fridge", since=at("2026-10-01T00:00"))
    return found


def use_set(session, guidance, **changes):
    facts = {"guidance": guidance, **changes}
    old = session.kitchen
    kitchen = Kitchen(old.id, old.name, old.zone_name, **facts)
    with session.write() as unit:
        Kitchens(unit.connection).update(kitchen)
    session.adopt_kitchen(kitchen)


def soup(session, **order):
    with session.write() as unit:
        order = {"place": session.place("Fridge"), **order}
        return prep.prep(unit, Order(SOUP, 1, **order)).codes[0]


def keep(session, temps_c, began, name="Probe A", every_s=600):
    """Keep readings of a sensor, one every ten minutes."""
    times = micros(at(began)) + np.arange(len(temps_c)) * every_s * 1_000_000
    with session.write() as unit:
        sensor = sensors.need_sensor(unit, name)
        return temps.keep_readings(unit, sensor, times, temps_c)


def stored(session, code):
    with session.read() as unit:
        return unit.snapshots.get(code)


def migrate(session, name):
    """Run one revision again, on the rows as they are."""
    path = migrations.FOLDER / "versions" / f"{name}.py"
    revision = runpy.run_path(str(path))
    with (
        session.database.begin() as connection,
        Operations.context(MigrationContext.configure(connection)),
    ):
        revision["upgrade"]()


def is_rebuilt_alike(session):
    with session.write() as unit:
        return transfer.rebuild(unit)


def test_warm_hours_end_what_was_in_the_fridge_and_nothing_else(session, opened):
    """Food Code 3-501.19: four hours above 5 °C."""
    code, other = soup(session), soup(session, place=session.place("Freezer"))
    cold = stored(session, code).last_moment
    later = opened("2026-11-02T20:00")

    keep(later, [3.0] * 6 + [9.0] * 40, "2026-11-02T12:00")

    # From 3 °C at 12:50 to 9 °C at 13:00: 5 °C a third of the way.
    ends = at("2026-11-02T16:53:20")
    found = stored(later, code)
    assert found.last_moment < cold
    assert (found.last_moment - ends).total_seconds() == pytest.approx(0, abs=1)
    assert lists.show(later, code).verdict.status == "over"
    assert stored(later, other).standing == "paused"
    assert is_rebuilt_alike(later)


def test_explaining_names_the_place_and_its_warm_hours(session, opened):
    code = soup(session)
    later = opened("2026-11-02T14:00")
    keep(later, [3.0] * 3 + [8.0] * 3 + [3.0] * 7, "2026-11-02T12:00")

    verdict = lists.show(later, code).verdict
    (limit,) = [one for one in verdict.limits if one.rule.id == "us.fc.tphc4"]

    assert any("above 5 °C in Fridge, at most 8 °C" in line for line in limit.why)


def test_a_cold_reading_after_a_warm_one_takes_back_that_it_was_warm_on(
    session, opened
):
    code = soup(session)
    warm = opened("2026-11-02T12:30")
    keep(warm, [3.0, 3.0, 9.0, 9.0], "2026-11-02T12:00")
    over_at = stored(warm, code).last_moment

    keep(opened("2026-11-02T13:00"), [3.0] * 3, "2026-11-02T12:40")

    assert stored(warm, code).last_moment > over_at
    assert is_rebuilt_alike(warm)


def test_only_the_part_of_a_stay_that_overlaps_is_charged(session, opened):
    code = soup(session, place=session.place("Counter"))
    later = opened("2026-11-02T13:00")
    with later.write() as unit:
        moves.place(unit, code, later.place("Fridge"))
    evening = opened("2026-11-02T15:00")

    keep(evening, [9.0] * 7 + [3.0] * 12, "2026-11-02T12:00")

    verdict = lists.show(evening, code).verdict
    fridge = [x for x in verdict.history.stays if x.state == "fridge"]
    assert fridge[0].began == at("2026-11-02T13:00")
    assert fridge[0].temp_c == 9.0
    assert fridge[0].ended < at("2026-11-02T13:10")


def test_what_went_into_a_mixture_is_charged_for_its_own_stays(session, opened):
    part = soup(session)
    evening = opened("2026-11-02T18:00")
    with evening.write() as unit:
        inputs = (prep.Input(part, 100.0),)
        order = Order(SOUP, 1, place=evening.place("Fridge"), inputs=inputs)
        whole = prep.prep(unit, order).codes[0]
    assert stored(evening, whole).last_moment > at("2026-11-03T00:00")

    keep(evening, [9.0] * 30 + [3.0] * 7, "2026-11-02T12:00")

    assert lists.show(evening, whole).verdict.status == "over"
    assert is_rebuilt_alike(evening)


def test_a_corrected_reading_gives_its_hours_back(session, opened):
    code = soup(session)
    first = stored(session, code).last_moment
    later = opened("2026-11-02T20:00")
    keep(later, [3.0] * 6 + [9.0] * 36 + [3.0] * 6, "2026-11-02T12:00")
    assert stored(later, code).last_moment < first

    for n in range(36):
        when = at("2026-11-02T13:00") + n * timedelta(minutes=10)
        temps.correct_reading(later, "Fridge", when, 3.0, sensor="Probe A")

    assert stored(later, code).last_moment == first
    assert is_rebuilt_alike(later)


def test_an_offset_found_later_charges_what_it_makes_warm(session, opened):
    code = soup(session)
    later = opened("2026-11-02T20:00")
    keep(later, [4.5] * 49, "2026-11-02T12:00")
    cold = stored(later, code).last_moment

    sensors.check_sensor(
        *(later, "Probe A", -1.0), method="ice-point", at=at("2026-11-02T12:00")
    )

    assert stored(later, code).last_moment < cold
    assert is_rebuilt_alike(later)


def test_moving_a_sensor_charges_what_is_in_its_new_place(session, opened):
    code = soup(session)
    sensors.move_sensor(session, "Probe A", "Counter")
    later = opened("2026-11-02T20:00")
    keep(later, [9.0] * 48, "2026-11-02T12:10")
    cold = stored(later, code).last_moment

    sensors.move_sensor(later, "Probe A", "Fridge", at("2026-11-02T13:00"))

    assert stored(later, code).last_moment < cold
    assert is_rebuilt_alike(later)


def test_another_pace_is_another_silence_and_is_judged_again(session, opened):
    """What was a gap, counted warm throughout, is a line once an hour is usual."""
    code = soup(session)
    later = opened("2026-11-02T18:00")
    keep(later, [3.0, 3.0, 3.0, 9.0], "2026-11-02T12:00", every_s=60)
    keep(later, [3.0, 3.0, 3.0], "2026-11-02T17:00", every_s=60)
    gap = stored(later, code).last_moment

    sensors.set_interval(later, "Probe A", timedelta(hours=3))

    assert stored(later, code).last_moment > gap
    assert is_rebuilt_alike(later)


def test_where_readings_are_wanted_a_silent_place_is_unknown_at_once(session, opened):
    use_set(session, "us-food-code", accepts_unmeasured=False)
    keep(session, [3.0] * 13, "2026-11-02T10:00")
    code = soup(session)
    soon, late = opened("2026-11-02T12:10"), opened("2026-11-02T14:00")

    def status(one):
        with one.read() as unit:
            return lists.listed(one, unit.snapshots.get(code)).status

    assert lists.show(soon, code).verdict.status == status(soon) != "unknown"
    assert lists.show(late, code).verdict.status == status(late) == "unknown"
    assert any(
        "Fridge: no reading from" in line
        for line in lists.show(late, code).verdict.unknown
    )
    assert is_rebuilt_alike(late)


def test_a_kitchen_without_sensors_is_judged_as_ever(session):
    code = soup(session)

    assert stored(session, code).standing == "dated"
    assert is_rebuilt_alike(session)


def test_containers_from_before_readings_were_charged_are_linked_to_their_places(
    session, opened
):
    """The rows are made to look as the eighth revision had them."""
    code = soup(session)
    with session.database.begin() as connection:
        connection.exec_driver_sql(
            "DELETE FROM container_subject WHERE subject LIKE 'place/%'"
        )
        connection.exec_driver_sql(
            "UPDATE container SET subjects = replace(subjects, ',\"place/fridge\"', '')"
        )
    assert stored(session, code).subjects[-1] == "food/leek soup"
    migrate(session, "0009_places_of_containers")

    later = opened("2026-11-02T20:00")
    keep(later, [9.0] * 48, "2026-11-02T12:00")

    assert lists.show(later, code).verdict.status == "over"
    assert stored(later, code).last_moment == at("2026-11-02T16:00") + TICK
    assert is_rebuilt_alike(later)


def test_days_read_as_deep_cold_are_given_at_once(session, opened):
    """Food Code 3-502.12(D)(2)(e): a cook-chill bag has 7 days above 1 °C (34 °F)."""
    bag = Food("bagged soup", "soup-stew", ("milk",), pack="cook-chill")
    with session.write() as unit:
        order = Order(bag, 1, place=session.place("Fridge"))
        code = prep.prep(unit, order).codes[0]
    # Its pace is known, so that another one is no reason to judge again.
    keep(session, [0.5] * 12, "2026-11-02T10:00")
    before = stored(session, code)
    later = opened("2026-11-05T12:00")

    keep(later, [0.5] * 432, "2026-11-02T12:00")

    after = stored(later, code)
    assert after != before
    assert after.last_moment is None or after.last_moment > before.last_moment
    assert is_rebuilt_alike(later)


def test_a_place_within_its_limit_costs_no_judging(session, opened):
    soup(session)
    later = opened("2026-11-02T20:00")
    keep(later, [3.0] * 48, "2026-11-02T12:00")

    with later.read() as unit:
        assert not unit.charging._matters("fridge", at("2026-11-02T12:00"))
