"""`lidclock take-out`: when, from where to where, and what the clock says to it."""

from __future__ import annotations

import pytest

from lidclock.app.session import Fact, Session
from lidclock.domain.moments import read_iso, zone_of
from lidclock.domain.planning import FOOD_PLAN_SUBJECT, FoodPlan

READY = ("--ready", "Thu 18:30")


@pytest.fixture
def frozen(cook):
    """Three boxes of stew in the freezer; `cook.plan(...)` says how it is packed."""
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "3"),
        *("--portion", "350g", "--made", "today 17:10", "--place", "Freezer"),
        "--no-labels",
    )

    def plan(food="stew", **facts):
        now = read_iso(cook.now, zone_of("America/New_York"))
        session = Session.open(cook.database, now=now)
        body = {"plan": FoodPlan(**facts).as_dict()}
        with session.write() as unit:
            unit.record([Fact("noted", FOOD_PLAN_SUBJECT + food, body)])
        session.close()

    cook.plan = plan
    cook.now = "2026-11-02T17:40"
    return cook


def test_the_hour_the_reason_and_the_cost_are_told(frozen):
    frozen.plan(thick_mm=50.0, model="beef-stew")
    code = frozen.codes()[0]
    told = frozen.see("take-out", code, *READY)

    assert told.startswith(f"{code[:3]} {code[3:]} stew, in Freezer")
    assert "Take it out Wed 4 Nov 2026 " in told
    assert "to Fridge." in told
    assert "model of heat, beef-stew, brick of 50 x 82 x 82 mm." in told
    assert "look at it Thu 5 Nov 18:20" in told
    assert "not on the counter, out Thu 5 Nov" in told
    assert "Perishable food: 2 hours in all at room temperature" in told
    assert "the meal is Thu 5 Nov 18:30" in told
    assert "2-hour rule (current)" in told
    assert "moves no limit" in told


def test_it_records_nothing_and_says_what_would(frozen):
    frozen.plan(thaw_h=8.0)
    before = frozen.event_count()
    code = frozen.codes()[0]
    told = frozen.see("take-out", code, *READY)
    command = told.split("When it is out: lidclock ")[1].splitlines()[0]

    assert command == f"scan {code[:3]} {code[3:]} --thaw --ready 2026-11-05T18:30"
    assert frozen.event_count() == before
    frozen.run(*command.split(), now="2026-11-05T10:30")
    assert frozen.event_count() == before + 1
    shown = frozen.data("show", code, now="2026-11-05T10:31")
    assert shown["place"] == "Fridge"


def test_json_has_what_the_screen_has(frozen):
    frozen.plan(thick_mm=20.0, shape="bag")
    found = frozen.data("take-out", frozen.codes()[0], "--ready", "today 22:00")

    assert found["chosen"]["way"] == "cold-water"
    assert found["chosen"]["counter_h"] == pytest.approx(1.1, abs=0.2)
    assert found["chosen"]["last_moment"] > found["ready_by"]
    ways = {one["way"]: one for one in found["refused"]}
    assert ways["fridge"]["why"] == "too late"
    assert ways["counter"]["limit"]["id"] == "us.home.2h"
    assert ways["counter"]["limit"]["authority"]


def test_a_thickness_is_asked_for(frozen):
    told = frozen.see("take-out", frozen.codes()[0], *READY)

    assert "No hour can be proposed." in told
    assert "? how thick is it? `lidclock plan food stew --thick 50mm`" in told
    assert "Wed 4 Nov 20:00 (common practice, no source: the evening before)" in told


def test_no_line_of_its_own_is_wider_than_a_screen(frozen):
    frozen.plan(thick_mm=50.0)
    for words in ((), ("--to", "counter")):
        told = frozen.see("take-out", frozen.codes()[0], *READY, *words)
        own = told.split("  The hours of the model")[0].splitlines()
        assert max(map(len, own)) <= 100


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--ready", "yesterday 18:30"), "is past; give a time still to come"),
        (("--ready", "soon"), "names no hour"),
        (("--ready", "10/11 18:30"), "write the month in letters"),
        ((), "--ready"),
        ((*READY, "--to", "oven"), "oven"),
    ],
)
def test_a_bad_question_says_what_to_do(frozen, words, said):
    assert said in frozen.fail(2, "take-out", frozen.codes()[0], *words)


def test_an_unknown_code_is_refused(frozen):
    assert "is not" in frozen.fail(11, "take-out", "0000000", *READY)
