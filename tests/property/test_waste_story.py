"""Random acts on a real database: the report closes, and agrees with the lists."""

import random
from datetime import UTC, datetime, timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidclock.app import corrections, moves, portions, prep, setup
from lidclock.app.prep import Input, Order
from lidclock.app.session import Session
from lidclock.app.waste import waste_report
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.moments import local_date
from lidclock.errors import LidclockError
from lidclock.plan.amounts import NOTHING

START = datetime(2026, 10, 20, 12, tzinfo=UTC)
STEPS = 45
FOODS = (
    Food("stew", "soup-stew", (), portion_g=330.0),
    Food("rice", "cooked-rice", ()),
    Food("cheese", "hard-cheese", ("milk",), made_by="maker"),
)


def act(unit, chance, now):
    """One thing that somebody may do, refused or not."""
    pick = chance.choice
    code = pick([*(x.code for x in unit.snapshots.find(live=False)), "4F7K2M0"])
    at = pick([None, None, now - timedelta(minutes=pick([1, 90, 3000]))])
    anyway, mass_g = pick([True, True, False]), pick([7.3, 50.0, 500.0])
    place = pick([None, *unit.session.places])
    inputs = pick([(), (), (Input(code, pick([None, 20.1])),)])
    order = Order(
        *(pick(FOODS[:2]), pick([1, 2, 3])),
        portion_g=pick([None, 251.7]),
        made_at=at,
        inputs=inputs,
        place=place,
        anyway=True,
    )
    shared = {"at": at, "anyway": anyway}
    return pick(
        [
            lambda: prep.prep(unit, order),
            lambda: prep.prep(unit, order),
            lambda: prep.open_pack(unit, FOODS[2], mass_g=pick([None, 340.0])),
            lambda: prep.adopt(unit, FOODS[0], mass_g=pick([None, 400.0]), made_at=at),
            lambda: moves.freeze(unit, code, **shared),
            lambda: moves.place(unit, code, unit.session.places[0], **shared),
            lambda: moves.use(unit, code, **shared),
            lambda: moves.give(unit, code, "neighbour", **shared),
            lambda: moves.discard(unit, code, pick(["", "mystery"]), **shared),
            lambda: moves.take(unit, code, mass_g, **shared),
            lambda: moves.missing(unit, code, at=at),
            lambda: portions.split(unit, code, [mass_g, 20.0], at=at),
            lambda: portions.combine(
                unit, [code, *unit.snapshots.codes()[:2]], food=pick(["stew", None])
            ),
            lambda: corrections.undo(unit),
            lambda: corrections.correct_container(
                unit, code, corrections.Change(mass_g=mass_g)
            ),
        ]
    )


def play(path, chance):
    setup.init_kitchen(path, Kitchen("", "Story", "America/New_York"))
    session, now = Session.open(path, now=START), START
    for _ in range(STEPS):
        now += timedelta(minutes=chance.choice([1, 5, 30, 200, 2000]))
        session.now = now
        try:
            with session.write() as unit:
                act(unit, chance, now)()
        except LidclockError:
            continue
    return session


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32), days=st.integers(0, 40), back=st.integers(0, 20))
def test_every_food_and_every_period_closes(tmp_path_factory, seed, days, back):
    folder = tmp_path_factory.mktemp("story")
    session = play(folder / "kitchen.db", random.Random(seed))
    today = local_date(session.now, session.kitchen.zone)
    last_on = today - timedelta(days=back)

    found = waste_report(session, since=last_on - timedelta(days=days), until=last_on)
    whole = waste_report(session, since=today - timedelta(days=90))
    with session.read() as unit:
        live = [one for one in unit.snapshots.find() if one.is_live]
    session.close()

    assert [x.food for x in found.foods if x.difference != NOTHING] == []
    assert found.whole.difference == NOTHING
    assert whole.whole.closing.mass == sum(round((x.mass_g or 0) * 10) for x in live)
    assert whole.whole.closing.unweighed == sum(x.mass_g is None for x in live)
    assert sum(x.mass for x in whole.whole.causes.values()) == (
        whole.whole.of("wasted").mass
    )
    assert sum(one.wasted.mass for one in found.weeks) == found.whole.of("wasted").mass
