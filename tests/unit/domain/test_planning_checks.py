"""What a meal or a choice may say: bounds, and hostile bodies refused in words."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from lidclock.domain.events import Event
from lidclock.domain.planning import CHOICES_SUBJECT, FOOD_PLAN_SUBJECT, MEAL_SUBJECT
from lidclock.domain.planning_checks import refuse_bad_planning
from lidclock.errors import InputError

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
MEAL = {
    "begins": "2026-11-05T18:30",
    "zone": "America/New_York",
    "items": [["buns", 2], ["radish", None]],
    "name": "",
    "rule": "FREQ=WEEKLY",
    "without": ["2026-11-12"],
    "eaters": 4,
    "spread": 1.5,
}
CHOICES = {"card_hours": ["07:30"], "worth": 3, "short": None, "use_up_days": [0, 6]}
PLAN = {"worth": 3, "thaw_h": 8, "thick_mm": 50, "shape": "tub", "model": ""}
NAN, INF = float("nan"), float("inf")


def event(subject, body, kind="noted", name="e1"):
    return Event(name, kind, subject, NOON, NOON, "UTC", body=body)


def meal_event(**changes):
    facts = {**MEAL, **changes}
    return event(f"{MEAL_SUBJECT}m1", {"meal": facts})


def test_what_the_program_writes_passes():
    refuse_bad_planning(
        [
            meal_event(),
            event(f"{MEAL_SUBJECT}m2", {"meal": None}, name="e2"),
            event(CHOICES_SUBJECT, {"choices": CHOICES}, name="e3"),
            event(CHOICES_SUBJECT, {"choices": {}}, name="e4"),
            event(f"{FOOD_PLAN_SUBJECT}buns", {"plan": PLAN}, name="e5"),
        ]
    )


@pytest.mark.parametrize(
    "change",
    [
        {"begins": "2026-11-05T18:30+01:00"},
        {"begins": "1066-10-14T09:00"},
        {"begins": "soon"},
        {"begins": "2026-11-05T18:30:30"},
        {"begins": 5},
        {"zone": "Mars/Base"},
        {"zone": 3},
        {"zone": "../../etc/passwd"},
        {"items": []},
        {"items": "ab"},
        {"items": [["buns"]]},
        {"items": [["buns", 0]]},
        {"items": [["buns", -1]]},
        {"items": [["buns", 10_001]]},
        {"items": [["buns", True]]},
        {"items": [["buns", 1.5]]},
        {"items": [["", 1]]},
        {"items": [["  ", 1]]},
        {"items": [[None, 1]]},
        {"items": [["buns", 1], ["BUNS", 1]]},
        {"items": [["a" * 201, 1]]},
        {"items": [[f"food {n}", 1] for n in range(51)]},
        {"name": None},
        {"name": "a" * 201},
        {"rule": None},
        {"rule": "FREQ=HOURLY"},
        {"rule": "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"},
        {"rule": "FREQ=DAILY;UNTIL=20200101"},
        {"rule": "F" * 2000},
        {"without": "2026-11-12"},
        {"without": ["12 Nov"]},
        {"without": ["2026-11-12"] * 1001},
        {"eaters": 0},
        {"eaters": 10_001},
        {"eaters": 4.0},
        {"eaters": True},
        {"eaters": "4"},
        {"eaters": 10**400},
        {"spread": -0.1},
        {"spread": NAN},
        {"spread": INF},
        {"spread": 10**400},
        {"spread": "1"},
        {"colour": "red"},
    ],
    ids=repr,
)
def test_a_meal_that_cannot_be_right_is_refused_with_its_subject(change):
    with pytest.raises(InputError, match=r"^meal/m1"):
        refuse_bad_planning([meal_event(**change)])


@pytest.mark.parametrize("missing", sorted(MEAL))
def test_a_meal_that_lacks_a_part_is_refused(missing):
    facts = {key: value for key, value in MEAL.items() if key != missing}

    with pytest.raises(InputError, match=f"lacks '{missing}'"):
        refuse_bad_planning([event(f"{MEAL_SUBJECT}m1", {"meal": facts})])


@pytest.mark.parametrize("facts", [5, "meal", ["meal"], True, 0, "", []], ids=repr)
def test_a_meal_that_is_no_object_is_refused(facts):
    with pytest.raises(InputError, match="expected an object"):
        refuse_bad_planning([event(f"{MEAL_SUBJECT}m1", {"meal": facts})])


@pytest.mark.parametrize(
    "choices",
    [
        None,
        5,
        [],
        {"card_hours": []},
        {"card_hours": "07:30"},
        {"card_hours": ["07:30", "07:30"]},
        {"card_hours": [f"{h:02}:00" for h in range(13)]},
        {"card_hours": ["07:30+01:00"]},
        {"card_hours": [7]},
        {"card_hours": None},
        {"most_shown": 0},
        {"most_shown": 21},
        {"most_shown": None},
        {"money": "a" * 9},
        {"money": 5},
        {"worth": -0.01},
        {"worth": NAN},
        {"worth": INF},
        {"worth": None},
        {"worth": "3"},
        {"worth": 1_000_000.5},
        {"freezing": None},
        {"short": -1},
        {"service": 0.4},
        {"service": 1},
        {"service": NAN},
        {"service": None},
        {"cover_days": 0},
        {"cover_days": 61},
        {"cover_days": 2.5},
        {"use_up_days": [7]},
        {"use_up_days": [1, 1]},
        {"use_up_days": [True]},
        {"use_up_days": "12"},
        {"use_up_days": None},
        {"use_up_at": "25:00"},
        {"use_up_at": None},
        {"foods": {}},
        {"other": 1},
    ],
    ids=repr,
)
def test_choices_that_cannot_be_right_are_refused(choices):
    with pytest.raises(InputError, match=r"^plan/kitchen"):
        refuse_bad_planning([event(CHOICES_SUBJECT, {"choices": choices})])


@pytest.mark.parametrize(
    "plan",
    [
        None,
        "tub",
        {"worth": -1},
        {"worth": NAN},
        {"thaw_h": 0},
        {"thaw_h": 241},
        {"thick_mm": 0},
        {"thick_mm": INF},
        {"shape": "sphere"},
        {"shape": None},
        {"shape": ["tub"]},
        {"model": 5},
        {"other": 1},
    ],
    ids=repr,
)
def test_what_cannot_be_right_of_a_food_is_refused(plan):
    with pytest.raises(InputError, match=r"^plan/food/buns"):
        refuse_bad_planning([event(f"{FOOD_PLAN_SUBJECT}buns", {"plan": plan})])


@pytest.mark.parametrize("subject", [MEAL_SUBJECT, f"{MEAL_SUBJECT}{'m' * 201}"])
def test_a_meal_without_a_sensible_id_is_refused(subject):
    with pytest.raises(InputError, match="characters"):
        refuse_bad_planning([event(subject, {"meal": MEAL})])


def test_a_correction_is_checked_together_with_what_it_corrects():
    """Alone it says nothing wrong: only the two together have a bad body."""
    fix = {"event": "e1", "set": {"meal": "nothing"}}
    correction = event(f"{MEAL_SUBJECT}m1", fix, "corrected", "e2")
    refuse_bad_planning([correction])

    with pytest.raises(InputError, match="expected an object"):
        refuse_bad_planning([meal_event(), correction])


def test_a_bad_meal_that_was_taken_back_is_let_be():
    void = event(f"{MEAL_SUBJECT}m1", {"event": "e1", "void": True}, "corrected", "e2")

    refuse_bad_planning([meal_event(eaters=0), void])


def test_events_of_other_subjects_are_none_of_its_business():
    refuse_bad_planning([event("food/stew", {"meal": 5}), event("plan/week", {})])
