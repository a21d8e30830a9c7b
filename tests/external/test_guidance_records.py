"""Every figure in the shipped sets equals the figure as its authority published it.

data/guidance_records.json holds the figures as published in the cited documents:
authority, document, section, year, the address where each was read, and how far it was
checked (`verified`; `primary` is the authority's own text or a state's adoption of it,
`mirror` a copy elsewhere, `secondary` a report, `memory` nothing seen). Values are as
printed there, in days, months, hours or degrees. The sets give whole or rounded degrees
Celsius: they must lie within half a degree of the exact conversion.
"""

import calendar
import json
import re
from math import floor
from pathlib import Path

import pytest

from lidclock.guidance.load import load_set, set_names

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
RECORDS = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))}
SETS = {name: load_set(name) for name in set_names()}
RULES = list({rule: name for name in SETS for rule in SETS[name].rules}.items())

# Cold limit, hot-hold limit and reheating of each set, as records with their unit.
COLD = {
    "us-home": ("us.home.danger", 0),
    "us-food-code": ("us.fc.cold_hold", None),
    "uk-home": ("uk.home.fridge", 1),
    "uk-catering": ("uk.cold.law", None),
    "au": ("au.cold", None),
    "nz": ("who.cold", None),
    "ca": ("ca.cold", None),
    "ie": ("ie.cold", 1),
}
HOT = {
    "us-home": ("us.home.danger", 1),
    "us-food-code": ("us.fc.hot_hold", None),
    "us-food-code-new-york-city": ("us.nyc.hot140", None),
    "uk-home": ("uk.hot", None),
    "uk-catering": ("uk.hot", None),
    "au": ("au.hot", None),
    "nz": ("who.hot", None),
    "ca": ("ca.hot", None),
    "ie": ("ie.cool", None),
}
REHEAT = {
    "us-home": ("us.home.reheat", None),
    "us-food-code": ("us.fc.reheat", None),
    "uk-home": ("uk.scot.reheat82", None),
    "uk-catering": ("uk.scot.reheat82", None),
}
# Published in words: "63 -> 10 C", "reheat to piping hot, 75 C", and so on.
WORDED = {
    ("ie.cool", "hot"): 63,
    ("nz", "reheat"): ("nz.hot", 75),
    ("ca", "reheat"): ("ca.on.poultry82", 74),
    ("ie", "reheat"): ("ie.batch", 70),
}
_ROOT = {
    "us-food-code-new-york-city": "us-food-code",
    "us-food-code-freeze-day-free": "us-food-code",
    "ca-newfoundland": "ca",
}


def of_kind(*kinds):
    """The rules of these kinds as parameters, each under its own id."""
    found = [(rule, name) for rule, name in RULES if rule.kind in kinds or not kinds]
    return pytest.mark.parametrize(
        "rule",
        [rule for rule, _ in found],
        ids=[f"{name}-{rule.id}" for rule, name in found],
    )


def exposures(key):
    """The exposure rules that give `key`, each with the set that it stands in."""
    found = [
        (rule, name)
        for rule, name in RULES
        if rule.kind == "exposure" and getattr(rule, key) is not None
    ]
    return pytest.mark.parametrize(
        ("rule", "name"), found, ids=[f"{name}-{rule.id}" for rule, name in found]
    )


def record_of(rule):
    """The published record that a rule takes; some apply one to a further case."""
    return RECORDS[rule.record or rule.id]


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def degrees_of(record_id, place=None):
    """A published temperature in °C."""
    record = RECORDS[record_id]
    value = record["value"] if place is None else record["value"][place]
    return celsius(value) if record["unit"] == "F" else value


def ends(value):
    return value if isinstance(value, list) else [value, value]


def shortest(months):
    """The fewest days that so many months in a row have, from the calendar itself."""
    lengths = [calendar.monthrange(2025, month)[1] for month in range(1, 13)] * 2
    return min(sum(lengths[i : i + months]) for i in range(12))


def test_all_the_published_records_are_here():
    assert len(RECORDS) == 561


@of_kind()
def test_the_source_is_the_one_that_published_it(rule):
    record, source = record_of(rule), rule.source
    section, document = record["section"], record["document"]
    if section == "row":
        section = f"row: {record['food']}"
    if document == "same":  # as the record before it, of the two-hour rule
        document = RECORDS["us.home.2h"]["document"]

    assert (source.authority, source.document) == (record["authority"], document)
    assert rule.section == (section or "-")
    assert source.year == (str(record["year"]) or "n.d.")
    assert (source.url, source.verified, source.grade) == (
        record["url"] or "no address",
        record["verified"],
        record["source_grade"],
    )


@of_kind("day-count", "quality")
def test_days_and_months_are_as_published(rule):
    record = record_of(rule)
    low, high = ends(record["value"])
    unit = record["unit"].split()[0]
    if record["id"] == "au.qld.frz":  # one record for a table, in words
        low, high = queensland()[rule.id.removeprefix("au.qld.frz.").replace("-", " ")]
    if rule.kind == "day-count" and unit == "month":
        low, high = shortest(low), shortest(high)

    assert unit in (("month",) if rule.kind == "quality" else ("day", "month"))
    assert (rule.low, rule.high) == (floor(low), floor(high))


def queensland():
    """`bacon 1; raw sausage 1-2; ...` as {"bacon": (1, 1), ...}."""
    rows = {}
    for row in RECORDS["au.qld.frz"]["food"].split(";"):
        name, figure = row.strip().rsplit(" ", 1)
        low, _, high = figure.partition("-")
        rows[name] = (int(low), int(high or low))
    return rows


def test_the_freezer_months_of_queensland_are_as_published():
    ours = {
        rule.id.removeprefix("au.qld.frz.").replace("-", " "): (rule.low, rule.high)
        for rule in SETS["au"].rules
        if rule.record == "au.qld.frz"
    }
    published = queensland()

    # Duck has no category of its own: it falls under poultry pieces, which is longer.
    assert ours == {name: published[name] for name in published if name != "duck"}


@of_kind("elapsed", "exposure", "process", "chill")
def test_hours_are_as_published(rule):
    record = record_of(rule)
    low, high = ends(record["value"])
    if record["id"] == "ca.cool":
        low = high = record["value"][0 if rule.start_c is None else 1]
    if record["id"] == "ie.batch":
        low = high = int(re.search(r"within (\d+) h", record["condition"])[1])
    if record["id"] == "uk.eastdevon4":
        printed = re.search(r"not out more than ([\d.]+) h", record["condition"])[1]
        low = high = float(printed)
    if record["id"] == "au.24h.4":
        low = high = int(re.search(r"total (\d+)-None h", record["condition"])[1])

    assert (rule.low_hours or rule.hours, rule.hours) == (low, high)


def test_the_hours_after_which_cold_stops_nothing_are_as_published():
    rule = next(x for x in SETS["au"].rules if x.id == "au.24h.4")
    published = RECORDS["au.24h.2"]["condition"]

    assert rule.rechill_hours == int(re.search(r"total (\d+)-4 h", published)[1])


@exposures("above_c")
def test_allowances_begin_above_the_published_temperature(rule, name):
    """90 °F for the one-hour rule, the cold limit of the set for the others."""
    if rule.id == "us.home.1h":
        above = celsius(int(re.search(r"(\d+) F", record_of(rule)["condition"])[1]))
    else:
        above = degrees_of(*COLD[_ROOT.get(name, name)])

    assert rule.above_c == pytest.approx(above, abs=0.5)


@exposures("below_c")
def test_a_hot_hold_counts_from_the_published_temperature(rule, name):
    key = name if rule.id == "us.nyc.tphc_hot" else _ROOT.get(name, name)
    record_id, place = HOT[key]
    if (record_id, "hot") in WORDED:
        hot = WORDED[(record_id, "hot")]

        assert RECORDS[record_id]["condition"].startswith(f"{hot} ->")
    else:
        hot = degrees_of(record_id, place)

    assert rule.below_c == pytest.approx(hot, abs=0.5)
    # Food Code 3-501.16(A)(1) prints 57 °C beside 135 °F, which is 57.2 °C: stricter.
    assert rule.below_c >= round(hot, 1)


@exposures("kill_c")
def test_a_reheating_counts_from_the_published_temperature(rule, name):
    root = _ROOT.get(name, name)
    if (root, "reheat") in WORDED:
        record_id, reheat = WORDED[(root, "reheat")]

        assert f"{reheat} C" in RECORDS[record_id]["condition"]
    else:
        reheat = degrees_of(*REHEAT[root])

    assert rule.kill_c == pytest.approx(reheat, abs=0.5)


@pytest.mark.parametrize("name", SETS)
def test_the_cold_limit_is_the_published_one(name):
    published = degrees_of(*COLD[_ROOT.get(name, name)])

    assert SETS[name].cold_c == pytest.approx(published, abs=0.5)


@pytest.mark.parametrize(
    ("rule_id", "name", "from_to"),
    [
        ("us.fc.cool1", "us-food-code", (135, 70)),
        ("us.fc.cool2", "us-food-code", (135, 41)),
    ],
)
def test_the_stages_of_cooling_end_where_the_food_code_says(rule_id, name, from_to):
    rule = next(x for x in SETS[name].rules if x.id == rule_id)
    printed = re.findall(r"(\d+) F\b", RECORDS[rule_id]["condition"])
    end_c = SETS[name].cold_c if rule.below_c is None else rule.below_c

    assert tuple(map(int, printed)) == from_to
    assert end_c == pytest.approx(celsius(from_to[1]), abs=0.5)


@pytest.mark.parametrize(
    ("rule_id", "name", "start_c", "end_c"),
    [
        ("au.cool1", "au", None, 21),
        ("au.cool2", "au", 21, 5),
        ("ca.cool.1", "ca", None, 20),
        ("ca.cool.2", "ca", 20, 4),
        ("ie.cool", "ie", None, 10),
    ],
)
def test_the_stages_of_cooling_elsewhere_are_as_published(
    rule_id, name, start_c, end_c
):
    rule = next(x for x in SETS[name].rules if x.id == rule_id)
    printed = record_of(rule)["condition"]
    ours = SETS[name].cold_c if rule.below_c is None else rule.below_c

    assert (rule.start_c, ours) == (start_c, end_c)
    assert re.search(rf"-> ?{end_c}\b", printed)


def test_a_further_stage_is_published_as_further():
    """Australia's second stage is not lengthened by a fast first one."""
    assert "FURTHER 4 h" in RECORDS["au.cool2"]["condition"]
    assert "TOTAL" in RECORDS["us.fc.cool2"]["condition"]


def test_the_six_hours_have_the_published_ceiling():
    rule = next(x for x in SETS["us-food-code"].rules if x.id == "us.fc.tphc6")

    assert rule.ceiling_c == pytest.approx(degrees_of("us.fc.tphc6.max"), abs=0.1)


def test_deep_chilled_days_are_those_at_34_degrees_fahrenheit():
    rule = next(x for x in SETS["us-food-code"].rules if x.id == "us.fc.cc.41_7")

    assert "34 F" in record_of(rule)["condition"]
    assert rule.above_c == pytest.approx(celsius(34), abs=0.1)


@pytest.mark.parametrize(
    ("rule_id", "name", "ph_record", "aw_record"),
    [
        (
            *("us.fc.rop30.barrier", "us-food-code"),
            *("us.fc.rop.barrier.pH", "us.fc.rop.barrier.aw"),
        ),
        ("uk.vp10", "uk-catering", "uk.vp.ctrl.pH", "uk.vp.ctrl.aw"),
    ],
)
def test_acidity_and_dryness_count_as_published(rule_id, name, ph_record, aw_record):
    rule = next(x for x in SETS[name].rules if x.id == rule_id)

    assert rule.barrier_ph == RECORDS[ph_record]["value"]
    assert rule.barrier_aw == RECORDS[aw_record]["value"]


@pytest.mark.parametrize(
    ("name", "record_id"), [("uk-home", "uk.thaw24"), ("au", "au.nsw.thaw")]
)
def test_the_fresh_hours_after_thawing_are_as_published(name, record_id):
    record = RECORDS[record_id]

    assert (SETS[name].counting.fresh_hours, "h") == (record["value"], record["unit"])


def test_the_fresh_hours_bind_in_both_british_sets():
    assert SETS["uk-catering"].counting.fresh_hours == RECORDS["uk.thaw24"]["value"]


@pytest.mark.parametrize(
    ("name", "record_id", "words"),
    [
        ("uk-home", "uk.home.reheat1", "reheat once only"),
        ("au", "au.nsw.rice", "reheat once at most"),
        ("nz", "nz.hot", "once"),
    ],
)
def test_one_reheating_is_as_published(name, record_id, words):
    assert words in RECORDS[record_id]["condition"]
    assert SETS[name].counting.reheats == 1


@of_kind("exempt")
def test_an_exemption_is_one_as_published(rule):
    assert record_of(rule)["value"] is True


@of_kind("on-pack")
def test_what_is_left_to_the_pack_is_left_as_published(rule):
    assert "use-by" in str(record_of(rule)["value"])


@of_kind("freezes-badly")
def test_what_freezes_badly_is_told_as_published(rule):
    assert "not freeze" in str(record_of(rule)["value"])


@of_kind("inherit")
def test_a_mixture_takes_the_earliest_date_as_published(rule):
    assert record_of(rule)["value"] == "min(component dates)"


@of_kind("maker-date")
def test_the_date_of_the_maker_is_a_cap_as_published(rule):
    record = record_of(rule)

    assert "capped by maker use-by" in record["condition"] or (
        "unsafe after it" in record["value"]
    )


def test_every_kind_of_rule_is_compared_by_its_value():
    assert {rule.kind for rule, _ in RULES} == {
        *("day-count", "quality", "elapsed", "exposure", "process", "chill"),
        *("exempt", "on-pack", "freezes-badly", "inherit", "maker-date"),
    }
