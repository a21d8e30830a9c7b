"""Every figure in the shipped US sets equals the figure as its authority published it.

data/guidance_records.json holds the figures as published in the cited documents:
authority, document, section, year, the address where each was read, and how far it was
checked (`verified`; `primary` is the authority's own text or a state's adoption of it,
`mirror` a copy elsewhere, `secondary` a report, `memory` nothing seen). Values are as
printed there, in days, months, hours or degrees Fahrenheit. The sets give whole or
rounded degrees Celsius: they must lie within half a degree of the exact conversion.
"""

import json
import re
import tomllib
from importlib.resources import files
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
COLD = {
    "us-home": RECORDS["us.home.danger"]["value"][0],
    "us-food-code": RECORDS["us.fc.cold_hold"]["value"],
}
HOT = {
    "us-home": RECORDS["us.home.danger"]["value"][1],
    "us-food-code": RECORDS["us.fc.hot_hold"]["value"],
}
REHEAT = {"us-home": "us.home.reheat", "us-food-code": "us.fc.reheat"}


def record_of(rule):
    return RECORDS[SAME_FIGURE.get(rule.id, rule.id)]


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def degrees_in(record_id):
    """The temperatures in the condition of a record, in °F, as they are printed."""
    return [int(x) for x in re.findall(r"(\d+) F\b", RECORDS[record_id]["condition"])]


def rule_called(rule_id):
    return next(rule for _, rule in RULES if rule.id == rule_id)


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
    above_f = degrees_in("us.home.1h")[0] if rule.id == "us.home.1h" else COLD[name]

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


@pytest.mark.parametrize(
    ("record_id", "degrees"),
    [
        *(("us.fc.cool1", [135, 70]), ("us.fc.cool2", [135, 41])),
        *(("us.home.1h", [90]), ("us.home.soup.fridge", [40])),
    ],
)
def test_the_published_conditions_name_these_temperatures(record_id, degrees):
    assert degrees_in(record_id) == degrees


def test_the_first_stage_of_cooling_ends_at_the_published_temperature():
    end_f = degrees_in("us.fc.cool1")[1]

    assert rule_called("us.fc.cool1").below_c == pytest.approx(celsius(end_f), abs=0.5)


def test_the_second_stage_of_cooling_ends_at_the_cold_limit_of_its_set():
    """It names no temperature of its own, and so ends at `cold_c`."""
    end_f = degrees_in("us.fc.cool2")[1]

    assert rule_called("us.fc.cool2").below_c is None
    assert SETS["us-food-code"].cold_c == pytest.approx(celsius(end_f), abs=0.5)


@of_kind("exempt")
def test_an_exemption_is_one_as_published(rule):
    assert record_of(rule)["value"] is True


@of_kind("inherit")
def test_a_mixture_takes_the_earliest_date_as_published(rule):
    assert record_of(rule)["value"] == "min(component dates)"


@of_kind("maker-date")
def test_the_date_of_the_maker_is_a_cap_as_published(rule):
    assert "capped by maker use-by" in record_of(rule)["condition"]


def ids_written_in(name):
    """The rule ids in a data file, read without the loader."""
    text = (
        files("lidclock.guidance").joinpath("data", f"{name}.toml").read_text("utf-8")
    )
    return [rule["id"] for rule in tomllib.loads(text)["rule"]]


@pytest.mark.parametrize("name", SETS)
def test_every_rule_in_the_file_is_checked_here(name):
    checked = [rule.id for rule in SETS[name].rules]

    assert sorted(ids_written_in(name)) == sorted(checked)


@pytest.mark.parametrize("name", SETS)
def test_every_rule_in_the_file_has_its_record(name):
    named = {SAME_FIGURE.get(rule_id, rule_id) for rule_id in ids_written_in(name)}

    assert named - RECORDS.keys() == set()


def test_every_kind_of_rule_is_compared_by_its_value():
    assert {rule.kind for _, rule in RULES} == {
        *("day-count", "quality", "elapsed", "exposure", "process"),
        *("exempt", "inherit", "maker-date"),
    }


def test_every_record_is_one_that_a_rule_or_a_temperature_here_needs():
    limits = {"us.fc.cold_hold", "us.fc.hot_hold", "us.home.danger", *REHEAT.values()}
    named = {record_of(rule)["id"] for _, rule in RULES}

    assert RECORDS.keys() - named - limits == set()
