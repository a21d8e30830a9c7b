"""Whom the card lets hand food on: nobody whom the slip would refuse."""

from __future__ import annotations

import pytest

from lidclock.app import answers, meal_plan, moves, prep, temps
from lidclock.app.prep import Order
from lidclock.app.session import Fact
from lidclock.app.slip import handed
from lidclock.app.today import card_of, today
from lidclock.domain.foods import Food
from lidclock.domain.planning import CHOICES_SUBJECT, Choices
from lidclock.errors import RefusedError

from .conftest import at

SOUP = Food("tomato soup", "soup-stew", ())
CURRY = Food("pea curry", "soup-stew", ())
STEW = Food("bean stew", "soup-stew", ())


@pytest.fixture
def session(opened):
    """Thu 26 Nov 2026, 11:00."""
    return opened("2026-11-26T11:00", who="ann")


def soups(session, count=3, place="Fridge", food=SOUP):
    with session.write() as unit:
        order = Order(food, count, portion_g=300, place=session.place(place))
        return list(prep.prep(unit, order).codes)


def warm(session, place, temp_c, moment):
    session.now = at(moment)
    temps.type_reading(session, place, temp_c, anyway=True)


def shown(session):
    with session.read() as unit:
        card = card_of(unit)[0]
    return [one for one in (*card.shown, *card.more) if one.kind != "check"]


def refused(session, codes):
    return [one.refusal for one in handed(session, codes)]


def test_what_the_slip_refuses_is_to_be_used_and_not_handed_on(session):
    codes = soups(session)
    warm(session, "Fridge", 9.5, "2026-11-26T11:20")
    assert all("it was at 9.5 °C" in why for why in refused(session, codes))

    (one,) = shown(session)

    assert (one.kind, one.says) == ("use", "use tomato soup box 1, 2 and 3")
    assert list(one.codes) == codes
    assert one.before is not None
    assert one.before < at("2026-11-26T15:21")
    assert any(
        why.startswith("not to be handed on: it was at 9.5 °C") for why in one.why
    )


def test_what_stands_on_the_counter_is_to_be_used(session):
    codes = soups(session, place="Counter")
    assert all(refused(session, codes))

    (one,) = shown(session)

    assert (one.kind, list(one.codes)) == ("use", codes)


def test_what_thawed_in_a_warm_freezer_is_to_be_used(session):
    codes = soups(session)
    with session.write() as unit:
        for code in codes:
            moves.freeze(unit, code)
    warm(session, "Freezer", 9.5, "2026-11-26T11:20")
    assert all(refused(session, codes))

    (one,) = shown(session)

    assert (one.kind, list(one.codes)) == ("use", codes)


def test_yes_to_use_it_records_it_as_used(session):
    codes = soups(session)
    warm(session, "Fridge", 9.5, "2026-11-26T11:20")
    (one,) = shown(session)

    done = answers.accept(session, one.key).done

    assert [x.view.code for x in done] == codes
    assert {x.view.container.end.kind for x in done} == {"used"}
    assert shown(session) == []


def test_one_that_is_over_in_the_meantime_is_to_be_discarded(session):
    soups(session)
    warm(session, "Fridge", 9.5, "2026-11-26T11:20")
    session.now = at("2026-11-26T18:00")

    assert [one.kind for one in shown(session)] == ["discard"]


@pytest.fixture
def last_day(session):
    """Made on Thu 26 Nov, the last day is Sun 29: too late to freeze then."""
    codes = soups(session)
    session.now = at("2026-11-29T07:30")
    return codes


@pytest.fixture
def no_meal(session):
    """A kitchen without a meal that uses up."""
    with session.write() as unit:
        body = {"choices": Choices(use_up_days=()).as_dict()}
        unit.record([Fact("noted", CHOICES_SUBJECT, body)])


@pytest.mark.usefixtures("no_meal")
def test_what_the_slip_lets_pass_is_handed_on_and_no_more_is_asked(session, last_day):
    (one,) = shown(session)

    assert (one.kind, one.says) == ("hand-on", "hand on tomato soup box 1, 2 and 3")
    assert "if it is eaten here, say so on its lid" in one.why
    assert refused(session, last_day) == [""] * 3


@pytest.mark.usefixtures("no_meal")
def test_one_that_was_out_is_used_and_its_mates_are_handed_on(session, last_day):
    out(session, last_day[1])

    found = {one.kind: one for one in shown(session)}

    assert found["hand-on"].says == "hand on tomato soup box 1 and 3"
    assert found["use"].says == "use tomato soup box 2"
    assert any("it was out of the cold" in why for why in found["use"].why)


@pytest.mark.usefixtures("no_meal")
def test_yes_to_a_card_from_before_one_was_out_is_refused_in_words(session, last_day):
    (before,) = shown(session)
    today(session)
    out(session, last_day[1])

    for which in (before.key, 1):
        with pytest.raises(RefusedError) as error:
            answers.accept(session, which, to="the neighbours")
        assert error.value.fact == "that is no longer so: look at the card again"
    with session.read() as unit:
        assert all(unit.find(code).is_live for code in last_day)


def test_beside_a_meal_that_uses_up_only_what_may_be_is_named_to_hand_on(session):
    soups(session)
    curry, stew = (soups(session, 1, food=food)[0] for food in (CURRY, STEW))
    wanted = [(SOUP.name, 3)]
    meal_plan.put_down(session, at("2026-12-20T18:30"), wanted, name="soup dinner")
    session.now = at("2026-11-29T07:30")
    out(session, curry)

    (one,) = [x for x in shown(session) if x.kind == "use-up"]

    assert [why for why in one.why if "as well" in why] == [
        "ends today as well, to eat with it or hand on: bean stew",
        "ends today as well, to eat with it: pea curry",
    ]
    assert refused(session, [stew]) == [""]


def out(session, code):
    """On the counter for ten minutes, and back."""
    with session.write() as unit:
        moves.place(unit, code, session.place("Counter"))
    session.now = session.now.replace(minute=session.now.minute + 10)
    with session.write() as unit:
        moves.place(unit, code, session.place("Fridge"))
