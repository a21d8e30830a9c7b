"""The what-if contract: one JSON document in, one verdict or one clear line out."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.app.assess import assess
from lidclock.errors import InputError

STATUSES = ("keep", "soon", "last-day", "over", "paused", "unknown", "ended")
NOW = datetime(2026, 11, 25, tzinfo=UTC)
FROZEN_AND_THAWED = [
    {"at": "2025-10-01T09:00", "did": "made"},
    {"at": "2025-10-01T10:00", "did": "placed", "state": "fridge"},
    {"at": "2025-10-03T08:00", "did": "placed", "state": "freezer"},
    {"at": "2025-10-10T08:00", "did": "placed", "state": "fridge"},
]


def document(**changes: Any) -> dict[str, Any]:
    return {
        "guidance": "us-food-code",
        "zone": "America/New_York",
        "as_of": "2025-10-12T12:00",
        "food": {"category": "cooked-meat-poultry"},
        "history": FROZEN_AND_THAWED,
        **changes,
    }


def answer(**changes: Any) -> dict[str, Any]:
    return assess(json.dumps(document(**changes)), NOW)


def refusal(text: str) -> str:
    with pytest.raises(InputError) as caught:
        assess(text, NOW)
    return str(caught.value)


def test_frozen_time_is_not_charged_but_both_its_edges_are():
    """Days 1 to 3 are 1-3 Oct, the day of thawing is day 4: day 7 is 13 Oct."""
    assert answer()["last_day"] == "2025-10-13"


def test_last_moment_is_the_midnight_that_ends_the_day_with_its_offset():
    assert answer()["last_moment"] == "2025-10-14T00:00:00-04:00"


def test_binding_names_the_first_of_the_limits():
    verdict = answer()

    assert verdict["binding"] == verdict["limits"][0]["id"] == "us.fc.dm.days"


def test_every_limit_carries_its_source_and_its_arithmetic():
    limit = answer()["limits"][0]

    assert {"authority", "document", "section", "year", "verified"} <= limit.keys()
    assert limit["why"][0] == "day 1 is Wed 1 Oct 2025 (made)"


def test_while_frozen_there_is_no_last_day_but_days_are_left():
    verdict = answer(history=FROZEN_AND_THAWED[:3])

    assert (verdict["status"], verdict["last_day"]) == ("paused", None)
    assert verdict["days_left"] == 4


def test_the_gap_before_the_first_place_counts_as_counter_time():
    history = [FROZEN_AND_THAWED[0], {**FROZEN_AND_THAWED[1], "at": "2025-10-01T13:01"}]

    verdict = answer(history=history)

    assert verdict["status"] == "over"
    assert verdict["binding"] == "us.fc.tphc4"


@pytest.mark.parametrize(
    ("placed", "status"), [("11:00:00", "keep"), ("11:00:01", "over")]
)
def test_exactly_two_hours_is_within_a_two_hour_limit(placed, status):
    history = [
        {"at": "2025-10-01T09:00", "did": "made"},
        {"at": f"2025-10-01T{placed}", "did": "placed", "state": "fridge"},
    ]

    verdict = answer(guidance="us-home", history=history, as_of="2025-10-01T12:00")

    assert verdict["status"] == status


def test_an_unmeasured_fridge_and_a_missing_cooling_log_leave_the_last_day():
    verdict = answer()

    assert verdict["last_day"] is not None
    assert any("fridge temperature" in line for line in verdict["unknown"])
    assert any("cooling" in line for line in verdict["unknown"])


def test_a_mixture_ends_with_its_oldest_part():
    part = {
        "food": {"category": "egg-salad"},
        "history": [
            {"at": "2025-09-29T09:00", "did": "made"},
            {"at": "2025-09-29T09:00", "did": "placed", "state": "fridge"},
        ],
    }

    verdict = answer(components=[part])

    assert verdict["last_day"] == "2025-10-11"
    assert verdict["limits"][0]["via"] == "egg-salad"


def test_no_figure_of_an_authority_means_unknown_and_says_what_settles_it():
    verdict = answer(food={"category": "yeast-dough-raw"})

    assert (verdict["status"], verdict["last_day"]) == ("unknown", None)
    assert "house rule" in verdict["unknown"][0]


def test_a_house_rule_is_said_to_be_one():
    verdict = answer(food={"category": "yeast-dough-raw", "house_days": 6})

    assert verdict["house_rule"] is True
    assert verdict["limits"][0]["verified"] is False


def test_an_unverified_figure_is_shown_as_unverified():
    verdict = answer(food={"category": "cooked-meat-poultry", "pack": "vacuum"})

    by_id = {limit["id"]: limit for limit in verdict["limits"]}
    assert by_id["us.fc.rop48"]["verified"] is False


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"guidance": "nowhere"}, "guidance: 'nowhere' is not one of"),
        ({"zone": "Mars/Olympus"}, "zone: unknown time zone"),
        ({"food": {"category": "stew"}}, "food.category: no food category 'stew'"),
        ({"food": {}}, "food.category: expected text"),
        ({"history": {}}, "history: expected a list"),
        ({"extra": 1}, "document: unknown key 'extra'"),
        ({"as_of": "2025-10-02T00:00"}, "history[2].at: 2025-10-03T08:00 is later"),
        ({"maker_use_by": "03/04/2026"}, "maker_use_by: '03/04/2026' is not an ISO"),
        (
            {"history": [{"at": "2025-03-09T02:30", "did": "made"}]},
            "history[0].at: 2025-03-09 02:30 does not exist",
        ),
        (
            {"history": [{"at": "2025-10-01T09:00", "did": "eaten"}]},
            "history[0].did: 'eaten' is not one of",
        ),
        (
            {"history": [{"at": "2025-10-01T09:00", "did": "placed"}]},
            "history[0].state: expected text",
        ),
        (
            {"history": [{"at": "0001-01-01T00:00", "did": "made"}]},
            "history[0].at: the year 1 cannot be right",
        ),
        ({"maker_use_by": 0}, "maker_use_by: expected text"),
        ({"components": False}, "components: expected a list"),
        (
            {
                "history": [
                    *FROZEN_AND_THAWED,
                    {"at": "2025-09-30T09:00", "did": "used"},
                ]
            },
            "history[4].at: that is before it was made",
        ),
        ({"components": [{"food": 3, "history": []}]}, "components[0].food: expected"),
    ],
)
def test_malformed_input_is_named_by_its_place(changes, says):
    assert refusal(json.dumps(document(**changes))).startswith(says)


def test_what_is_no_json_is_said_to_be_none():
    assert refusal("{").startswith("not a JSON document")


def test_a_key_that_stands_twice_is_refused():
    assert "the key 'zone' stands twice" in refusal('{"zone": "UTC", "zone": "UTC"}')


def test_a_part_made_after_its_mixture_is_refused():
    part = {
        "food": {"category": "egg-salad"},
        "history": [{"at": "2025-10-02T09:00", "did": "made"}],
    }

    told = refusal(json.dumps(document(components=[part])))

    assert told == "components[0].history: it was made after the mixture it is in"


def test_an_opened_pack_is_a_makers_unless_it_is_said_otherwise():
    """Opened on 6 Oct as day 1 of 5 to 7 days in the fridge: until 12 Oct."""
    history = [
        {"at": "2025-10-06T09:00", "did": "opened"},
        {"at": "2025-10-06T09:00", "did": "placed", "state": "fridge"},
    ]
    food = {"category": "tomato-sauce"}

    assert answer(guidance="us-home", food=food, history=history)["last_day"] == (
        "2025-10-12"
    )


def test_components_nested_without_end_are_refused():
    part = document()
    del part["guidance"], part["zone"], part["as_of"]
    for _ in range(30):
        part = {**part, "components": [part]}

    assert "deep" in refusal(json.dumps(document(components=[part])))


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["at", "did", "state", "x"]), inner, max_size=3
        )
    ),
    max_leaves=6,
)


@given(st.sampled_from(sorted(document())), ANYTHING)
def test_whatever_stands_at_any_key_gives_a_verdict_or_one_line(key, value):
    try:
        outcome = answer(**{key: value})["status"]
    except InputError as error:
        outcome = str(error)

    is_line = outcome.count("\n") == 0 and len(outcome) > 10
    assert is_line or outcome in STATUSES


@given(st.text())
def test_whatever_text_comes_in_is_answered_or_refused_in_one_line(text):
    assert "\n" not in refusal(text)


def test_readings_charge_warm_hours_to_the_summed_limit():
    """Food Code 3-501.19: four hours above 5 °C. 6.5 °C from 06:00 to 08:00 on 2 Oct,
    5 °C crossed halfway up from 3.5 an hour before and down an hour after: 3 h.
    """
    asked = {
        "history": FROZEN_AND_THAWED[:2],
        "as_of": "2025-10-02T12:00",
        "readings": [
            *([f"2025-10-02T{hour:02}:00", 3.5] for hour in range(1, 6)),
            *(["2025-10-02T06:00", 6.5], ["2025-10-02T07:00", 6.5]),
            *(["2025-10-02T08:00", 6.5], ["2025-10-02T09:00", 3.5]),
            ["2025-10-02T10:00", 3.5],
        ],
    }
    (limit,) = [one for one in answer(**asked)["limits"] if one["id"] == "us.fc.tphc4"]

    assert limit["last_moment"] is None
    # 09:00 to 10:00 on 1 Oct, before the first place, is counter time.
    assert "4 h used so far" in limit["why"]
    assert any(
        line.startswith(
            "3 h above 5 °C in fridge, at most 6.5 °C: Thu 2 Oct 2025 05:30 "
        )
        for line in limit["why"]
    )


def test_a_place_that_stays_warm_ends_it():
    asked = {
        "history": FROZEN_AND_THAWED[:2],
        "as_of": "2025-10-02T12:00",
        "readings": [[f"2025-10-02T{hour:02}:00", 6.5] for hour in range(6, 12)],
    }

    verdict = answer(**asked)

    assert (verdict["status"], verdict["binding"]) == ("over", "us.fc.tphc4")
    # An hour was used up before the first place: three are left from 06:00.
    assert verdict["last_moment"] == "2025-10-02T09:00:00-04:00"


def test_cold_readings_change_no_date_and_settle_the_question():
    readings = [[f"2025-10-02T{hour:02}:00", 3.0] for hour in range(12)]
    asked = {"history": FROZEN_AND_THAWED[:2], "as_of": "2025-10-02T11:00"}

    bare, cold = answer(**asked), answer(**asked, readings=readings)

    assert cold["last_day"] == bare["last_day"]
    assert cold["status"] == bare["status"]


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        ("warm", "readings: expected a list"),
        ([6.5], r"readings\[0\]: expected a time and a temperature in °C"),
        ([["2025-10-02T06:00"]], r"readings\[0\]: expected a time and"),
        ([["2025-10-02T06:00", None]], r"readings\[0\]: expected a temperature"),
        ([["2025-10-02T06:00", "6"]], r"readings\[0\]: expected a number"),
        ([["2025-10-02T06:00", 500]], r"readings\[0\]: .*200"),
        ([["yesterday", 6.5]], r"readings\[0\]: "),
        ([["2026-10-02T06:00", 6.5]], "is later than as_of"),
        (
            [["2025-10-02T06:00", 6.5], ["2025-10-02T06:00", 3]],
            "was 6.5 °C already; keep one",
        ),
    ],
)
def test_readings_that_are_none_are_refused_with_their_place(readings, said):

    assert re.search(said, refusal(json.dumps(document(readings=readings))))
