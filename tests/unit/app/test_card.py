"""The card of a kitchen on a real database: what it proposes, and why."""

from __future__ import annotations

from datetime import timedelta

import pytest
from scipy.stats import poisson

from lidclock.app import answers, moves, prep
from lidclock.app.prep import Order
from lidclock.app.session import Fact
from lidclock.app.today import card_of, today
from lidclock.domain.foods import Food
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    Choices,
    FoodPlan,
    Item,
    Meal,
)
from lidclock.errors import InputError, RefusedError

from .conftest import ZONE, at

DAY = timedelta(days=1)
DOUGH = Food("bun dough", "yeast-dough-raw", ("wheat",), house_days=6)
FILLING = Food("mushroom filling", "cooked-vegetables", ("soy",))
STEW = Food("stew", "soup-stew", ())
SALAD = Food("egg salad", "egg-salad", ("egg",))


@pytest.fixture
def session(opened):
    return opened("2026-10-31T17:40", who="ann")


def boxes(session, food, count=1, place="Fridge", made=None):
    where = place and session.place(place)
    with session.write() as unit:
        order = Order(food, count, portion_g=300, place=where, made_at=made)
        return prep.prep(unit, order).codes


def plan(session, food, **facts):
    body = {"plan": FoodPlan(**facts).as_dict()}
    with session.write() as unit:
        unit.record([Fact("noted", FOOD_PLAN_SUBJECT + food.name, body)])


def choose(session, **choices):
    with session.write() as unit:
        body = {"choices": Choices(**choices).as_dict()}
        unit.record([Fact("noted", CHOICES_SUBJECT, body)])


def meal(session, begins, *items, name="", rule="", number=1):
    wanted = tuple(Item(food.name, portions) for food, portions in items)
    local = at(begins).astimezone(ZONE).replace(tzinfo=None)
    one = Meal(f"{number:036}", local, ZONE.key, wanted, name, rule)
    with session.write() as unit:
        unit.record([Fact("noted", MEAL_SUBJECT + one.id, {"meal": one.as_dict()})])


def eat_one_a_day(session, food, days):
    """A record: one portion every noon, out of boxes that were made every other day."""
    now = session.now
    for day in range(days, 0, -1):
        session.now = now - day * DAY
        (code,) = boxes(session, food, made=session.now - timedelta(hours=1))
        with session.write() as unit:
            moves.use(unit, code, anyway=True)
    session.now = now


def card(session):
    with session.read() as unit:
        return card_of(unit)[0]


def shown(session, kind=None):
    found = card(session)
    every = [*found.shown, *found.more]
    return [one for one in every if kind in (None, one.kind)]


def only(session, kind):
    (one,) = shown(session, kind)
    return one


def test_what_will_hardly_be_eaten_is_to_be_frozen_with_the_odds(session):
    """Sat 17:40 to the end of Thu 5 Nov are 126 h 20 min and, clocks going back, one
    hour more: 5.3 days of 24 hours, so 5.3 portions at one a day.
    """
    eat_one_a_day(session, DOUGH, 28)
    codes = boxes(session, DOUGH, 6)
    choose(session, worth=3, freezing=1)
    mean = (at("2026-11-06T00:00") - session.now) / DAY

    one = only(session, "freeze")

    odds = [poisson.sf(portions - 1, mean) for portions in range(1, 7)]
    stay = sum(chance >= 2 / 3 for chance in odds)
    assert stay == 4
    assert one.says == "keep 4, freeze 2 tonight: bun dough box 5 and 6"
    assert list(one.codes) == codes[4:]
    assert f"odds that portion 5 of 6 is eaten in time: {odds[4]:.0%}" in one.why
    assert one.before == at("2026-11-05T00:00")
    lost = sum(1 - chance for chance in (odds[4], odds[4]))
    assert one.loss.portions == pytest.approx(lost, rel=1e-6)


def test_yes_freezes_them_and_their_labels_are_wrong_then(session):
    eat_one_a_day(session, DOUGH, 28)
    codes = boxes(session, DOUGH, 6)
    today(session)

    said = answers.accept(session, 1)

    assert [done.view.container.place for done in said.done] == ["Freezer"] * 2
    assert [done.view.verdict.days_left for done in said.done] == [5, 5]
    assert [done.view.code for done in said.done] == codes[4:]
    assert shown(session, "freeze") == []


def test_without_a_record_freezing_waits_for_its_last_chance(session):
    """Made on Sat 31 Oct, the last day is Thu 5: on the card of Wed 4 it is time."""
    boxes(session, DOUGH, 2)

    session.now = at("2026-11-03T07:30")
    assert shown(session, "freeze") == []
    session.now = at("2026-11-04T07:30")
    one = only(session, "freeze")

    assert one.says == "freeze 2 today: bun dough box 1 and 2"
    assert "nobody recorded how much of it is eaten" in one.why[0]


def test_what_freezes_badly_is_never_proposed_for_the_freezer(session):
    boxes(session, SALAD, 2)
    session.now = at("2026-11-02T07:30")
    assert "freeze" not in {one.kind for one in shown(session)}

    session.now = at("2026-11-03T07:30")
    choose(session, use_up_days=())
    assert only(session, "hand-on").why[1].startswith("not for the freezer: ")


def test_meals_come_before_the_freezer(session):
    boxes(session, DOUGH, 2)
    meal(session, "2026-11-04T18:30", (DOUGH, 2), name="buns")
    session.now = at("2026-11-04T07:30")

    (one,) = shown(session)

    assert (one.kind, one.says) == ("use", "use bun dough box 1 and 2 for buns")


def test_the_dish_that_this_kitchen_eats_saves_what_ends_today(session):
    (filling,) = boxes(session, FILLING)
    dough = boxes(session, DOUGH, 2)
    plan(session, DOUGH, temper_h=0.75)
    meal(session, "2026-11-20T18:30", (DOUGH, 1), (FILLING, 1), name="bun dinner")
    session.now = at("2026-11-03T07:30")

    (one,) = shown(session)

    assert one.kind == "use-up"
    assert one.says == "bun dinner: bun dough box 1, mushroom filling"
    assert one.codes == (dough[0], filling)
    (step,) = one.steps
    assert (step.code, step.to, step.at) == (
        dough[0],
        "Counter",
        at("2026-11-03T17:45"),
    )


def test_saying_yes_to_it_puts_the_meal_and_each_step_on_the_list(session):
    boxes(session, FILLING)
    dough = boxes(session, DOUGH, 2)
    plan(session, DOUGH, temper_h=0.75)
    meal(session, "2026-11-20T18:30", (DOUGH, 1), (FILLING, 1), name="bun dinner")
    session.now = at("2026-11-03T07:30")
    today(session)

    answers.accept(session, 1)

    found = card(session)
    assert found.shown == ()
    assert [(one.kind, one.at) for one in found.agreed] == [
        ("take-out", at("2026-11-03T17:45")),
        ("use", at("2026-11-03T18:30")),
    ]
    session.now = at("2026-11-03T17:40")
    today(session)
    (done,) = answers.accept(session, 1).done
    assert (done.view.code, done.view.container.place) == (dough[0], "Counter")
    session.now = at("2026-11-03T18:35")
    today(session)
    assert len(answers.accept(session, 1).done) == 2
    assert shown(session) == []


def test_what_would_pass_two_hours_on_the_counter_stays_cold(session):
    boxes(session, STEW)
    plan(session, STEW, temper_h=3)
    meal(session, "2026-11-01T18:30", (STEW, 1))
    session.now = at("2026-11-01T07:30")

    one = only(session, "use")

    assert one.steps == ()
    assert any(why.startswith("stew stays cold until then: ") for why in one.why)


def test_a_frozen_box_comes_out_in_time_for_its_meal(session):
    """Eight hours by the kitchen's own word, and clocks go back at 02:00: 23:30."""
    boxes(session, DOUGH, place="Freezer")
    plan(session, DOUGH, thaw_h=8)
    meal(session, "2026-11-01T06:30", (DOUGH, 1), name="breakfast")

    one = only(session, "take-out")

    assert one.at == at("2026-10-31T23:30")
    (step,) = one.steps
    assert (step.to, step.ready_at) == ("Fridge", at("2026-11-01T06:30"))
    assert "8 h, this kitchen's own hours" in one.why


def test_a_meal_that_is_short_says_how_many_to_make(session):
    boxes(session, STEW)
    meal(session, "2026-11-01T18:30", (STEW, 3), name="dinner")

    one = only(session, "make")

    assert one.says == "make 2 x stew"
    assert one.why == ("dinner Sun 1 Nov 18:30 is short of 2 of 3",)


def test_what_nobody_eats_and_nobody_may_freeze_is_handed_on_to_somebody(session):
    choose(session, use_up_days=())
    (code,) = boxes(session, FILLING)
    session.now = at("2026-11-03T07:30")
    assert only(session, "hand-on").codes == (code,)
    today(session)

    with pytest.raises(InputError, match="say who takes it"):
        answers.accept(session, 1)
    (done,) = answers.accept(session, 1, to="the neighbours").done
    assert done.view.container.end.kind == "given"


def test_harm_comes_before_money(session):
    eat_one_a_day(session, DOUGH, 28)
    boxes(session, DOUGH, 6)
    boxes(session, STEW, made=at("2026-10-20T12:00"))

    assert [one.kind for one in shown(session)] == ["discard", "freeze"]


def test_what_is_past_its_day_cannot_be_declined_away(session, opened):
    """A no holds until the next card, and the food is still there then."""
    boxes(session, STEW, made=at("2026-10-20T12:00"))
    today(session)
    answers.decline(session, 1, "not now")

    assert shown(session) == []
    assert [one.kind for one in shown(opened("2026-11-01T07:29"))] == []
    assert [one.kind for one in shown(opened("2026-11-01T07:30"))] == ["discard"]


def test_a_yes_that_cannot_be_done_records_nothing(session):
    boxes(session, STEW, 2, made=at("2026-10-20T12:00"))
    today(session)

    with session.read() as unit:
        before = len(list(unit.ledger.all()))
    with pytest.raises(InputError, match="is in the future"):
        answers.accept(session, 1, at=session.now + DAY)
    with pytest.raises(InputError, match="still to come"):
        answers.put_off(session, 1, session.now - DAY)
    with pytest.raises(InputError, match="200 letters"):
        answers.decline(session, 1, "x" * 201)
    with session.read() as unit:
        assert len(list(unit.ledger.all())) == before


def test_another_device_has_numbers_of_its_own(session):
    boxes(session, STEW, made=at("2026-10-20T12:00"))
    today(session)
    session.device = "phone"

    with pytest.raises(RefusedError, match="no card was shown here"):
        answers.accept(session, 1)


def test_a_food_that_meals_eat_up_in_time_is_not_frozen(session):
    """Two boxes end on Mon 2 Nov; a meal a day eats one on Sunday and one on Monday."""
    kimchi = Food("kimchi", "soup-stew", (), house_days=3)
    boxes(session, kimchi, 2)
    meal(session, "2026-11-01T18:30", (kimchi, 1), rule="FREQ=DAILY")
    session.now = at("2026-11-01T07:30")

    assert shown(session, "freeze") == []
    assert only(session, "use").says == "use kimchi box 1"


def test_a_meal_without_a_name_is_told_by_what_else_is_eaten(session):
    """The stew is there and the salad is not: it is for the two of them."""
    boxes(session, STEW)
    meal(session, "2026-11-01T18:30", (STEW, 1), (SALAD, 1))
    session.now = at("2026-11-01T07:30")

    assert only(session, "use").says == "use stew for stew and egg salad"


def test_what_ends_in_more_than_a_week_can_wait(session):
    eat_one_a_day(session, DOUGH, 28)
    kimchi = Food("kimchi", "yeast-dough-raw", (), house_days=9)
    eat_one_a_day(session, kimchi, 28)
    boxes(session, kimchi, 30)

    assert shown(session, "freeze") == []
    session.now += 2 * DAY
    assert "kimchi" in only(session, "freeze").says


def test_what_nobody_put_anywhere_is_eaten_at_no_meal(session):
    boxes(session, STEW, place=None)
    meal(session, "2026-10-31T18:30", (STEW, 1))

    assert {one.kind for one in shown(session)} == {"check", "make"}


def test_what_lies_in_a_place_that_nobody_reads_any_more_is_eaten_at_no_meal(session):
    """Its standing is kept, but since the silence nobody knows how it stands."""
    boxes(session, STEW)
    meal(session, "2026-10-31T18:30", (STEW, 1))
    assert [one.kind for one in shown(session)] == ["use"]

    session.__dict__["silent"] = frozenset({"fridge"})

    assert [one.kind for one in shown(session)] == ["make"]


def test_what_has_no_day_left_after_thawing_is_to_be_discarded(session):
    """Four days at most: frozen on day 4, and the day of thawing is the next."""
    session.now = at("2026-10-28T12:00")
    (code,) = boxes(session, STEW)
    session.now = at("2026-10-31T17:40")
    with session.write() as unit:
        moves.freeze(unit, code, anyway=True)

    one = only(session, "discard")

    assert one.codes == (code,)
    assert "no day is left after thawing" in one.why
