"""All 561 published records are in a set, in another table, or left out with a reason.

data/guidance_records.json holds them. What is left out stands in docs/sources.md.
"""

import json
import re
import tomllib
from collections import Counter
from importlib.resources import files
from pathlib import Path

import pytest

from lidclock.guidance.compile import parse_source, source_names
from lidclock.guidance.tcs import tables

ROOT = Path(__file__).parents[2]
RECORDS = {
    one["id"]: one
    for one in json.loads(
        (Path(__file__).parent / "data" / "guidance_records.json").read_text("utf-8")
    )
}
DATA = files("lidclock.guidance") / "data"
SOURCES = (ROOT / "docs" / "sources.md").read_text("utf-8")


def in_sets():
    for name in source_names():
        guidance = parse_source(name)
        yield from (rule.record or rule.id for rule in guidance.rules)
        yield from guidance.counting.records


def in_tcs():
    for table in tables().values():
        for row in table.rows:
            for column in table.columns:
                yield f"us.fc.tcs.{table.id}.aw{row.name}.ph{column.name}"


def in_table(name):
    """Every text in a data file that is a record's id, read without our loaders."""
    waiting = [tomllib.loads((DATA / name).read_text("utf-8"))]
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict):
            waiting += [*value.keys(), *value.values()]
        elif isinstance(value, list):
            waiting += value
        elif value in RECORDS:
            yield value


def left_out():
    rows = SOURCES.partition("## Left out")[2].partition("\n## ")[0]
    return re.findall(r"^\| `([^`]+)` \|[^|]+\| *([^|]*?) *\|$", rows, re.M)


PLACES = {
    "sets": set(in_sets()),
    "tcs": set(in_tcs()),
    "outage": set(in_table("outage.toml")),
    "targets": set(in_table("targets.toml")),
    "allergens": set(in_table("allergens.toml")),
    "left out": {record_id for record_id, _ in left_out()},
}


def test_all_the_records_are_counted():
    placed = set().union(*PLACES.values()) & RECORDS.keys()

    assert len(RECORDS) == 561
    assert RECORDS.keys() - placed == set()


@pytest.mark.parametrize("place", PLACES)
def test_no_place_holds_a_record_that_was_never_published(place):
    assert PLACES[place] - RECORDS.keys() == set()


def test_what_is_left_out_is_used_nowhere():
    used = set().union(*(ids for name, ids in PLACES.items() if name != "left out"))

    assert PLACES["left out"] & used == set()


def test_what_is_left_out_has_its_reason():
    assert len(left_out()) == 13
    assert all(len(reason) > 10 for _, reason in left_out())


def test_every_label_of_the_records_is_mapped():
    table = SOURCES.partition("## Which set")[2].partition("\n## ")[0]
    named = set(re.findall(r"`([A-Z][A-Z0-9-]+)`", table))

    assert Counter(one["guidance_set"] for one in RECORDS.values()).keys() == named
