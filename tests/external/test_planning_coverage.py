"""Every one of the 41 checks of dates, amounts and stock stands in a test.

data/planning_checks.json holds them with their sources, data/planning_coverage.json
says where each is checked. Cases that lie in a test's own data too are the same there.
"""

import json
from pathlib import Path

import pytest

_TESTS = Path(__file__).parents[1]
_DATA = _TESTS / "external" / "data"
ROWS = json.loads((_DATA / "planning_coverage.json").read_text("utf-8"))["rows"]
CASES = {
    one["id"]: one
    for one in json.loads((_DATA / "planning_checks.json").read_text("utf-8"))["cases"]
}
COPIES = [
    _DATA / "recipe_checks.json",
    _DATA / "clock_changes.json",
    _TESTS / "golden" / "data" / "recipe_own_values.json",
]


def copied(path):
    held = json.loads(path.read_text("utf-8"))
    return held["cases"] if isinstance(held, dict) else held


def test_all_that_was_gathered_is_counted_once():
    assert len(CASES) == 41
    assert [row["id"] for row in ROWS] == list(CASES)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_what_is_checked_stands_where_it_is_said_to(row):
    assert row["word"] in (_TESTS / row["file"]).read_text("utf-8")


@pytest.mark.parametrize("case", CASES.values(), ids=lambda case: case["id"])
def test_every_case_says_where_it_is_from_and_what_was_seen(case):
    assert case["source"]
    assert case["status"]
    assert case["status"].startswith(("derived", "computed")) or case["url"]


@pytest.mark.parametrize("path", COPIES, ids=lambda path: path.stem)
def test_a_case_in_a_tests_own_data_is_the_same_case(path):
    shared = [one for one in copied(path) if one["id"] in CASES]

    assert shared
    for one in shared:
        assert one["inputs"] == CASES[one["id"]]["inputs"]
        assert one["expected"] == CASES[one["id"]]["expected"]


def test_date_marks_are_the_same_day_in_both_collections():
    """Those tests take their dates from the authorities' own examples."""
    examples = {
        one["id"]: one
        for one in json.loads((_DATA / "date_marking_examples.json").read_text("utf-8"))
    }

    for case, example in [
        ("date.day1.a", "WE05"),
        ("date.day1.c", "WE13"),
        ("date.freeze.a", "WE06"),
    ]:
        ends_on = examples[example]["expected"]["discard"]
        assert ends_on[5:] in CASES[case]["expected"]
    left = examples["WE04"]["expected"]["days_left_after_thaw"]
    assert CASES["date.freeze.c"]["recomputed"] == left
