"""Every figure in the shipped US sets equals the figure as its authority published it.

data/guidance_records.json holds the published records: authority, document, section,
year, the address where it was read, and how far it was checked (`verified`; `primary`
is the authority's own text or a state's adoption of it, `mirror` a copy elsewhere,
`secondary` a report, `memory` nothing seen). Values are as printed there, in days,
months, hours or degrees Fahrenheit. Temperatures are compared after conversion, to
within the half degree that the authorities round by.
"""

import json
from pathlib import Path

import pytest

from lidclock.guidance.load import load_set

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
RECORDS = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))}
SETS = {name: load_set(name) for name in ("us-home", "us-food-code")}
RULES = [(name, rule) for name, guidance in SETS.items() for rule in guidance.rules]


def of_kind(*kinds):
    """The rules of these kinds as parameters, each under its own id."""
    found = [rule for _, rule in RULES if rule.kind in kinds or not kinds]
    return pytest.mark.parametrize("rule", found, ids=[rule.id for rule in found])


# Rules that apply a published figure to a further case stand under a longer id.
SAME_FIGURE = {
    "us.home.left.fridge.sauce": "us.home.left.fridge",
    "us.home.can_high.fridge.pickles": "us.home.can_high.fridge",
    "us.home.inherit": "us.fc.dm.combine",
    "us.home.maker-date": "us.fc.dm.opened",
    "us.fc.dm.opened.maker-date": "us.fc.dm.opened",
}
EXPOSURES = [(name, rule) for name, rule in RULES if rule.kind == "exposure"]
COLD = {"us-home": 40.0, "us-food-code": RECORDS["us.fc.cold_hold"]["value"]}
HOT = {
    "us-home": RECORDS["us.home.danger"]["value"][1],
    "us-food-code": RECORDS["us.fc.hot_hold"]["value"],
}
REHEAT = {"us-home": "us.home.reheat", "us-food-code": "us.fc.reheat"}


def record_of(rule):
    return RECORDS[SAME_FIGURE.get(rule.id, rule.id)]


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


@of_kind()
def test_the_source_is_the_one_that_published_it(rule):
    record, source = record_of(rule), rule.source
    section = record["section"]
    if section == "row":
        section = f"row: {record['food']}"

    assert (source.authority, source.document) == (
        record["authority"],
        record["document"],
    )
    assert (rule.section, source.year) == (section, str(record["year"]))
    assert (source.url, source.verified, source.grade) == (
        record["url"],
        record["verified"],
        record["source_grade"],
    )


@of_kind("day-count", "quality")
def test_days_and_months_are_as_published(rule):
    record = record_of(rule)
    value = record["value"]
    low, high = value if isinstance(value, list) else (value, value)
    unit = "day" if rule.kind == "day-count" else "month"

    assert (rule.low, rule.high) == (low, high)
    assert record["unit"] == unit


@of_kind("elapsed", "exposure", "process")
def test_hours_are_as_published(rule):
    record = record_of(rule)

    assert (rule.hours, record["unit"]) == (record["value"], "h")


@pytest.mark.parametrize(("name", "rule"), EXPOSURES, ids=lambda x: getattr(x, "id", x))
def test_allowances_begin_above_the_published_temperature(name, rule):
    """90 °F for the one-hour rule, the cold limit of the set for the others."""
    above_f = 90.0 if rule.id == "us.home.1h" else COLD[name]

    assert rule.above_c == pytest.approx(celsius(above_f), abs=0.5)


@pytest.mark.parametrize(("name", "rule"), EXPOSURES, ids=lambda x: getattr(x, "id", x))
def test_a_hot_hold_and_a_reheating_count_from_the_published_temperature(name, rule):
    assert rule.below_c == pytest.approx(celsius(HOT[name]), abs=0.5)
    assert rule.kill_c == pytest.approx(
        celsius(RECORDS[REHEAT[name]]["value"]), abs=0.5
    )


@pytest.mark.parametrize("name", SETS)
def test_the_cold_limit_is_the_published_one(name):
    assert SETS[name].cold_c == pytest.approx(celsius(COLD[name]), abs=0.5)


def test_the_first_stage_of_cooling_ends_at_70_fahrenheit():
    stage = next(rule for _, rule in RULES if rule.id == "us.fc.cool1")

    assert "70 F" in RECORDS["us.fc.cool1"]["condition"]
    assert stage.below_c == pytest.approx(celsius(70), abs=0.5)


def test_the_forty_fahrenheit_of_the_home_charts_is_in_their_condition():
    assert "40 F" in RECORDS["us.home.soup.fridge"]["condition"]


def test_no_rule_stands_without_its_record():
    assert [rule.id for _, rule in RULES if record_of(rule) is None] == []
    assert len(RULES) == len({rule.id for _, rule in RULES})
