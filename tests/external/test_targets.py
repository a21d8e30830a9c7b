"""Every target to look up equals the figure as its authority published it.

data/guidance_records.json holds the figures as published in the cited documents:
authority, document, section, year, the address where each was read, and how far it was
checked (`verified`; `primary` is the authority's own text or a state's adoption of it,
`mirror` a copy elsewhere, `secondary` a report, `computed` from physics, `memory`
nothing seen). Degrees Fahrenheit are as printed there; ours in Celsius are their
conversion, rounded to 0.1 degree.
"""

import json
import re
from pathlib import Path

import pytest

from lidclock.guidance.targets import labels, load_targets
from lidclock.guidance.thermometer import boiling_point_c

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
TOPICS = {
    *("cooking", "reheating", "holding", "thawing", "cooling", "equipment", "rop"),
    *("time_only", "time_out", "freezing", "refreeze", "danger_zone", "labelling"),
    *("caution", "disposition", "cheese_moisture"),
}
# What of date marking is no limit of a set, but a duty, an older edition, one state.
DUTIES = {
    *("us.fc.dm.trigger", "us.fc.dm.methods", "us.fc.dm.freeze", "us.old.dm.45F"),
    *("us.fc.dm.exempt.portions", "us.fc.dm.rop_excluded"),
    *("us.old.dm.freeze_mark", "us.mn.dm.unlabelled_frozen"),
}
RECORDS = {
    one["id"]: one
    for one in json.loads(_FILE.read_text("utf-8"))
    if one["topic"] in TOPICS or one["id"] in DUTIES
}
TARGETS = {one.id: one for one in load_targets()}

# Which of our figures a published unit is compared with.
UNITS = {
    "F": "temp_f",
    "C": "temp_c",
    "s": "seconds",
    "min": "minutes",
    "h": "hours",
    "day": "days",
    "% max moisture": "moisture_pct",
    "aw": "aw",
    "pH": "ph",
    "% aqueous min": "salt_pct",
    "C +/-": "tolerance_c",
    "F +/-": "tolerance_f",
    "h per 5 lb": "hours_per_5_lb",
    "min water change": "water_change_minutes",
    "min max interval": "interval_minutes",
    "per day min": "per_day",
    "times": "times",
    "mm x-height min": "x_height_mm",
}
# Published as a bare "max", without saying of what.
BARE = {"uk.vp.ctrl.pH": "ph", "uk.vp.ctrl.aw": "aw"}
STAGES = {"us.me.cool_old", "ca.cool"}
ACTIONS = {
    "use or return to <=5 C": "use-or-chill",
    "use at once, do not re-chill": "use-at-once",
    "throw away": "discard",
}
# What was published in words, and the words of ours that must say it.
WORDED = {
    "us.fc.dm.freeze": "paused",
    "us.fc.dm.rop_excluded": "3-502.12",
    "us.fc.thaw.1": "refrigerator",
    "us.fc.thaw.2": "running water",
    "us.fc.thaw.3": "cooking",
    "us.fc.thaw.4": "to order",
    "us.fc.thaw.ropfish": "open the pack first",
    "us.fc.reheat.order": "any temperature",
    "us.fc.cc.frozen": "no limit",
    "us.fc.cc.monitor": "electronic",
    "us.fc.therm.place": "warmest part of a cold one, in the coolest part of a hot one",
    "us.home.flour": "never eaten raw",
    "us.home.refreeze": "may be frozen again raw",
    "uk.freeze.useby": "before midnight of that day",
    "uk.vp.meat": "out of scope",
    "eu.useby": "a use-by date in place of best before",
    "eu.bbd": "day, month, year in this order",
    "eu.frozenon": "day, month and year, after the words frozen on",
    "eu.852": "no numbers",
    "eu.37": "EN 12830, EN 13485 and EN 13486",
    "codex.cxc1": "no storage times and no temperatures",
}
SETS = {
    "US-FC": "us-food-code",
    "US-HOME": "us-home",
    "UK-HOME": "uk-home",
    "UK-SCOT": "uk-home",
    "UK-FB": "uk-catering",
    "AU-HOME": "au",
    "AU-FB": "au",
    "CA-FB": "ca",
    "IE-FB": "ie",
    "EU": "eu",
    "WHO": "who",
    "CODEX": "codex",
    "US-NYC": "us-new-york-city",
    "US-WA": "us-washington",
    "US-WA-CC": "us-washington",
    "US-FC-WI": "us-wisconsin",
    "US-MN": "us-minnesota",
    "US-MN-2014": "us-minnesota",
    "US-FC-OLD": "us-older-editions",
    "US-FC-2009": "us-older-editions",
    "US-FC-2013": "us-older-editions",
}


def unit_of(record):
    return BARE.get(record["id"]) or UNITS.get(record["unit"])


def of(ids):
    """The records with these ids as parameters, each under its own id."""
    listed = list(ids)
    return pytest.mark.parametrize(
        "record", [RECORDS[one] for one in listed], ids=listed
    )


NUMBERS = [
    key
    for key, one in RECORDS.items()
    if unit_of(one) and key not in STAGES and key not in WORDED
]
PAIRS = [key for key, one in RECORDS.items() if one["unit"] == "C,min"]
FLAGS = [key for key, one in RECORDS.items() if one["unit"] == "bool"]
LISTS = [
    key
    for key, one in RECORDS.items()
    if one["unit"] == "enum" and isinstance(one["value"], list)
]
BANDS = [key for key, one in RECORDS.items() if one["value"] in list(ACTIONS)]
CHEESES = [key for key, one in RECORDS.items() if one["topic"] == "cheese_moisture"]
HELD = [
    key
    for key, one in RECORDS.items()
    if re.match(r"at \d+ [FC]\b", one["condition"])
    and one["topic"] in ("cooking", "rop")
    and one["unit"] in ("min", "s")
]
BOILING = [key for key in RECORDS if key.startswith("us.boil.")]


def ends(value):
    return tuple(value) if isinstance(value, list) else (value,)


def celsius(fahrenheit):
    return round((fahrenheit - 32) / 1.8, 1)


def figure(record, key):
    """Our numbers for a record under `key`."""
    found = TARGETS[record["id"]].figure(key)
    assert found is not None, f"{record['id']} has no {key}"
    return found.ends


def test_there_is_one_target_for_each_published_record():
    assert len(RECORDS) == 221
    assert TARGETS.keys() == RECORDS.keys()


def test_every_record_is_compared_by_its_value():
    compared = {*NUMBERS, *PAIRS, *FLAGS, *LISTS, *BANDS, *STAGES, *WORDED}

    assert compared == RECORDS.keys()


@of(RECORDS)
def test_the_source_is_the_one_that_published_it(record):
    one = TARGETS[record["id"]]
    source = one.source
    document = record["document"]
    if record["id"] == "us.home.1h":  # printed as "same": as in the rule before it
        document = RECORDS["us.home.2h"]["document"]

    assert (source.authority, source.document) == (record["authority"], document)
    assert (one.topic, one.section) == (record["topic"], record["section"] or "-")
    assert (source.year, source.url) == (record["year"], record["url"])
    assert (source.verified, source.grade) == (
        record["verified"],
        record["source_grade"],
    )


@of(key for key in RECORDS if RECORDS[key]["guidance_set"] in SETS)
def test_a_target_stands_under_whoever_gave_it(record):
    one = TARGETS[record["id"]]
    expected = SETS[record["guidance_set"]]
    if record["source_grade"] == "computed":
        expected = "physics"  # computed from physics, by no authority

    assert one.set == expected


def test_only_records_from_logging_habits_stand_elsewhere():
    others = {key for key, one in RECORDS.items() if one["guidance_set"] not in SETS}

    assert others == {"eq.log.tda", "eq.log.school", "eq.ddl"}
    assert {TARGETS[key].set for key in others} <= labels().keys() - {*SETS.values()}


@of(NUMBERS)
def test_a_number_is_as_published(record):
    assert figure(record, unit_of(record)) == ends(record["value"])


@of(sorted(STAGES))
def test_two_stages_of_cooling_are_as_published(record):
    assert figure(record, "stage_hours") == tuple(record["value"])


@of(PAIRS)
def test_a_temperature_with_its_minutes_is_as_published(record):
    degrees, minutes = record["value"]

    assert figure(record, "temp_c") == (degrees,)
    assert figure(record, "minutes") == (minutes,)


@of(HELD)
def test_a_hold_is_at_the_published_temperature(record):
    degrees, scale = re.match(r"at (\d+) ([FC])", record["condition"]).groups()

    assert figure(record, f"temp_{scale.lower()}") == (int(degrees),)


def test_all_holds_of_the_tables_are_compared():
    assert len(HELD) == 4 + 1 + 1 + 2 + 17 + 21


@pytest.mark.parametrize(
    ("target_id", "key", "printed"),
    [
        ("us.fc.reheat", "seconds", "15 s"),
        ("us.fc.reheat.mw", "minutes", "covered 2 min"),
        ("us.fc.cook.mw", "minutes", "covered 2 min"),
        ("ca.on.poultry82", "seconds", "15 s"),
        ("us.fc.tphc4_70", "temp_f", "<=70 F"),
        ("us.fc.tphc6", "temp_f", ">70 F"),
        ("us.nyc.tphc_cold", "temp_f", ">70 F"),
        ("us.fc.cc.41_7", "temp_f", "<=41 F"),
        ("us.fc.cc.34_30", "temp_f", "to 34 F"),
        ("us.fc09.cc.41_72", "temp_f", "at 41 F"),
        ("us.fc.rop.cheese", "temp_f", "<=41 F"),
        ("us.fc.thaw.1", "temp_f", "<=41 F"),
        ("us.fc.thaw.2", "temp_f", "water <=70 F"),
        ("us.fc.thaw.2", "hours", "more than 4 h"),
        ("us.home.1h", "above_f", "above 90 F"),
        ("us.nyc.tphc_hot", "from_f", "140 F"),
        ("us.fc.cool_amb", "to_f", "to 41 F"),
        ("us.fc.cool_rcv", "to_f", "to 41 F"),
        ("us.fc.cc.monitor", "per_day", "twice daily"),
    ],
)
def test_a_condition_of_a_target_is_as_published(target_id, key, printed):
    record = RECORDS[target_id]
    number = 2 if "twice" in printed else int(re.search(r"\d+", printed)[0])

    assert printed in f"{record['food']} {record['value']} {record['condition']}"
    assert figure(record, key) == (number,)


@pytest.mark.parametrize(
    ("target_id", "scale"),
    [
        ("us.fc.cool1", "f"),
        ("us.fc.cool2", "f"),
        ("au.cool1", "c"),
        ("au.cool2", "c"),
        ("ie.cool", "c"),
    ],
)
def test_cooling_runs_from_and_to_the_published_degrees(target_id, scale):
    record = RECORDS[target_id]
    printed = re.search(r"(\d+)(?: F)? ?-> ?(\d+)", record["condition"]).groups()

    assert figure(record, f"from_{scale}") == (int(printed[0]),)
    assert figure(record, f"to_{scale}") == (int(printed[1]),)


@pytest.mark.parametrize(
    ("target_id", "scale"), [("us.me.cool_old", "f"), ("ca.cool", "c")]
)
def test_two_stages_run_from_and_to_the_published_degrees(target_id, scale):
    record = RECORDS[target_id]
    printed = re.findall(r"(\d+)->(\d+) [FC]", record["condition"])

    assert figure(record, f"from_{scale}") == (int(printed[0][0]),)
    assert figure(record, f"to_{scale}") == (int(printed[-1][1]),)


@of(BANDS)
def test_a_band_of_hours_asks_for_what_was_published(record):
    low, high = re.match(r"total (\d+)-(\w+) h", record["condition"]).groups()
    hours = TARGETS[record["id"]].figure("hours")

    assert TARGETS[record["id"]].action == ACTIONS[record["value"]]
    assert hours.low == int(low)
    assert hours.high == (None if high == "None" else int(high))


@of(FLAGS)
def test_yes_and_no_are_as_published(record):
    one = TARGETS[record["id"]]
    ours = one.exempt if record["condition"] == "exempt" else one.allowed

    assert ours is record["value"]


@of(LISTS)
def test_a_list_has_as_many_parts_as_published(record):
    assert len(TARGETS[record["id"]].options) == len(record["value"])


@of(WORDED)
def test_what_was_published_in_words_is_said(record):
    assert WORDED[record["id"]] in TARGETS[record["id"]].says


@of(WORDED)
def test_numbers_within_published_words_are_said(record):
    printed = re.findall(r"\d+", str(record["value"]))
    ours = re.findall(r"\d+", TARGETS[record["id"]].says)

    assert set(printed) <= set(ours)


@of(CHEESES)
def test_the_class_of_a_cheese_follows_the_published_lines(record):
    """Hard up to 39 %, semi-soft up to 50 %; above that it may depend on the cheese."""
    ours = TARGETS[record["id"]].moisture_class
    printed = record["condition"].removeprefix("class by 39/50 rule: ")
    allowed = {
        "hard (exempt)": {"hard"},
        "semi-soft (exempt)": {"semi-soft"},
        "soft / depends on actual moisture (date mark)": {"soft", "depends"},
    }

    assert ours in allowed[printed]


def test_a_cheese_that_straddles_the_line_depends_on_its_moisture():
    depends = {key for key in CHEESES if TARGETS[key].moisture_class == "depends"}

    assert depends == {"us.cfr133.low-moisture_mozzarella"}


@of(key for key in RECORDS if RECORDS[key]["unit"] == "F" and key not in WORDED)
def test_celsius_is_the_conversion_of_what_was_published(record):
    expected = tuple(map(celsius, ends(record["value"])))

    assert figure(record, "temp_c") == expected


@of(BOILING)
def test_the_computed_boiling_point_rounds_to_the_published_one(record):
    feet = int(re.fullmatch(r"altitude (\d+) ft", record["condition"])[1])
    fahrenheit = boiling_point_c(feet * 0.3048) * 1.8 + 32

    assert round(fahrenheit, 1) == record["value"]
    assert figure(record, "altitude_ft") == (feet,)


def test_all_eleven_altitudes_are_compared():
    assert len(BOILING) == 11
