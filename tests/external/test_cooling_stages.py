"""The stages that a cooling log shows are those that the authorities published.

data/guidance_records.json holds the figures as published: hours in `value`, degrees in
`condition`. Codes in °F are compared in °F, as printed, to the tenth of a degree
Celsius that a probe shows.
"""

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from lidclock.clock.cooling import stages
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.guidance.load import load_set, set_names

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
RECORDS = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))}
MADE_AT = datetime(2026, 7, 1, 12, tzinfo=UTC)
ON_COUNTER = History(made_at=MADE_AT, stays=(Stay("counter", MADE_AT),))
SOUP = Food("soup", "soup-stew")
US = [
    "us-food-code",
    "us-food-code-freeze-day-free",
    "us-food-code-new-york-city",
]
# Which records a set's stages are, and the place of the hours in the record's value.
STAGES = {
    **{name: [("us.fc.cool1", None), ("us.fc.cool2", None)] for name in US},
    "au": [("au.cool1", None), ("au.nsw.in", None), ("au.cool2", None)],
    "ca": [("ca.cool", 0), ("ca.cool", 1)],
    "ca-newfoundland": [("ca.cool", 0), ("ca.cool", 1)],
    "ie": [("ie.batch", None), ("ie.cool", None)],
    "uk-home": [("uk.cool", 1)],
    "uk-catering": [("uk.eastdevon4", None)],
    "us-home": [],
    "nz": [],
}


def shown(name):
    guidance = load_set(name)
    plan = guidance.plan_for(SOUP)
    return stages(plan, ON_COUNTER, guidance.cold_c, ZoneInfo("UTC"), MADE_AT)


def published_hours(record_id, place):
    """Hours as published; those of a text are in its condition."""
    record = RECORDS[record_id]
    value = record["value"]
    if place is not None:
        return value[place]
    if record["unit"] == "h":
        return value
    if record["unit"] == "min":
        return value / 60
    hours = re.search(r"(\d+(?:\.\d+)?) ?h\b", record["condition"])
    return float(hours[1])


def test_every_set_is_looked_at():
    assert set(STAGES) == set(set_names())


@pytest.mark.parametrize("name", STAGES)
def test_a_log_shows_the_stages_of_its_set_and_no_others(name):
    ids = [one.rule.record or one.rule.id for one in shown(name)]

    assert ids == [record_id for record_id, _ in STAGES[name]]


@pytest.mark.parametrize("name", STAGES)
def test_each_stage_is_due_after_the_published_hours(name):
    """A further stage is due at the latest after the hours of both."""
    before = 0.0
    for stage, (record_id, place) in zip(shown(name), STAGES[name], strict=True):
        hours = published_hours(record_id, place)
        before = before if stage.rule.start_c is None else stage.rule.start_within
        whole = hours + (before if stage.rule.start_c is not None else 0.0)

        assert stage.due_at == MADE_AT + timedelta(hours=whole)


@pytest.mark.parametrize("name", US)
def test_the_food_code_s_stages_end_at_its_fahrenheit(name):
    for stage in shown(name):
        printed = re.findall(r"(\d+) F\b", RECORDS[stage.rule.id]["condition"])

        assert stage.target_c == round((int(printed[-1]) - 32) / 1.8, 1)


@pytest.mark.parametrize(
    ("name", "rule_id", "end_c"),
    [
        ("au", "au.cool1", 21),
        ("au", "au.cool2", 5),
        ("ca", "ca.cool.1", 20),
        ("ca", "ca.cool.2", 4),
        ("ie", "ie.cool", 10),
    ],
)
def test_stages_elsewhere_end_at_the_published_degrees(name, rule_id, end_c):
    stage = next(one for one in shown(name) if one.rule.id == rule_id)
    record = RECORDS[stage.rule.record or stage.rule.id]

    assert stage.target_c == end_c
    assert re.search(rf"-> ?{end_c}\b", record["condition"])
