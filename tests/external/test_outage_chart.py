"""What to do with food after a power cut, as the authorities published it.

The outage records of data/guidance_records.json hold the rows of two charts of
FoodSafety.gov ("Food safety in a power outage: refrigerated food", 2010-2024; "Frozen
food and power outages", 2021), the hours that a shut door holds (FoodSafety.gov,
current), and what two others say of perishables in general: FDA consumer advice as a
county reproduces it, and Lake County CA, press release, 2018. Each record names its
address, whether it was read there (`verified`) and how near the copy is to the
authority (`source_grade`). Degrees are Fahrenheit, as published.
"""

import json
import re
from pathlib import Path

import pytest

from lidclock.guidance.outage import judge_freezer, judge_fridge
from lidclock.guidance.outage_chart import load_charts

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
RECORDS = {
    one["id"]: one
    for one in json.loads(_FILE.read_text("utf-8"))
    if one["topic"].startswith("outage")
}
CHARTS = load_charts()
LINES = (*CHARTS.fridge, *CHARTS.freezer)
ROWS = {row.id: row for line in LINES for row in line.rows.values()}
OTHERS = {one.id: one for one in (*CHARTS.holds.values(), *CHARTS.advice)}

rows = pytest.mark.parametrize("record_id", ROWS)
WHOLE = [(x, line) for line in LINES for x in sorted(line.categories)]


def above(record):
    """`above 40 F for more than 2 h` as (40, 2)."""
    found = re.search(r"above (\d+) F for more than (\d+) h", record["condition"])
    return tuple(map(int, found.groups()))


def first_word(record):
    return record["value"].split()[0]


def test_every_published_record_is_in_the_file_and_no_other():
    assert len(RECORDS) == 78
    assert len(ROWS) + len(OTHERS) == 78
    assert ROWS.keys() | OTHERS.keys() == RECORDS.keys()


@pytest.mark.parametrize("record_id", RECORDS)
def test_the_source_is_the_one_that_published_it(record_id):
    record, cited = RECORDS[record_id], (ROWS | OTHERS)[record_id].cited
    ours = cited.source

    assert (ours.authority, ours.document, cited.section, ours.year, ours.url) == tuple(
        record[key] for key in ("authority", "document", "section", "year", "url")
    )
    assert (ours.verified, ours.grade) == (record["verified"], record["source_grade"])


@rows
def test_the_decision_is_as_published(record_id):
    assert ROWS[record_id].decision == first_word(RECORDS[record_id])


@rows
def test_the_threshold_is_as_published(record_id):
    record, row = RECORDS[record_id], ROWS[record_id]
    longer = re.search(r"after >(\d+) h above (\d+) F", record["value"])
    if longer:
        threshold = int(longer[2]), int(longer[1])
    elif record_id.endswith(".ice"):
        threshold = int(re.search(r"<=(\d+) F", record["condition"])[1]), row.hours
    else:
        threshold = above(record)

    assert (row.above_f, row.hours) == threshold


@rows
def test_what_the_row_adds_is_as_published(record_id):
    value, row = RECORDS[record_id]["value"], ROWS[record_id]
    signs = value.partition(" unless ")[2].split("/")

    assert all(sign in row.unless for sign in signs)
    assert bool(row.unless) == (" unless " in value)
    assert bool(row.quality) == ("quality loss" in value)


@pytest.mark.parametrize("record_id", OTHERS)
def test_the_hours_are_as_published(record_id):
    record = RECORDS[record_id]

    assert (OTHERS[record_id].hours, "h") == (record["value"], record["unit"])


@pytest.mark.parametrize("one", CHARTS.advice, ids=lambda one: one.id)
def test_the_degrees_of_general_advice_are_as_published(one):
    condition = RECORDS[one.id]["condition"]

    assert re.search(r"(\d+) F", condition)[1] == str(one.above_f)


def in_chart(kind):
    """Each category that a line of that chart names, with the line."""
    lines = CHARTS.fridge if kind == "fridge" else CHARTS.freezer
    found = [(name, line) for name, line in WHOLE if line in lines]
    return pytest.mark.parametrize(
        ("category", "line"), found, ids=[name for name, _ in found]
    )


@in_chart("fridge")
def test_too_warm_for_long_gets_the_published_decision(category, line):
    """Twelve hours without a reading are worse than any row's threshold."""
    judged = judge_fridge(category, 12, None)

    assert judged.record == line.rows["fridge"].id
    assert judged.decision == first_word(RECORDS[judged.record])


@in_chart("freezer")
@pytest.mark.parametrize("found", ["icy", "warm"])
def test_what_was_found_gets_the_published_decision(category, line, found):
    judged = judge_freezer(category, 60, True, found)

    assert judged.record == line.rows[found].id
    assert judged.decision == first_word(RECORDS[judged.record])
