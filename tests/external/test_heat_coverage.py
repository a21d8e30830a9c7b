"""Every case on cooling, power cuts and probes is checked, or left out with a reason.

24 cases: 17 published, 7 our own values, which prove nothing. Those of section 8 stay
beside the published equation in test_cooling_estimate.py, marked as ours in its data;
the others are in tests/golden.
"""

import json
from collections import Counter
from pathlib import Path

import pytest

_TESTS = Path(__file__).parents[1]
_DATA = _TESTS / "external" / "data"
ROWS = json.loads((_DATA / "heat_coverage.json").read_text("utf-8"))["rows"]
CHECKED = [row for row in ROWS if "file" in row]
LEFT_OUT = {row["id"]: row["left_out"] for row in ROWS if "left_out" in row}
# Values that stand beside the others only to compare a formula, or were counted above.
NOT_COUNTED = {"ENTH-1"}


def cases_of(name):
    return [one["id"] for one in json.loads((_DATA / name).read_text("utf-8"))["cases"]]


def test_all_that_was_collected_is_counted():
    kinds = Counter((row["section"], row["kind"]) for row in ROWS)

    assert len({row["id"] for row in ROWS}) == len(ROWS) == 24
    assert kinds == {
        (6, "published"): 10,
        (7, "published"): 6,
        (7, "own"): 1,
        (8, "published"): 1,
        (8, "own"): 6,
    }


def test_three_are_left_out_with_a_reason():
    assert LEFT_OUT.keys() == {"EXP-NDSU-10IN", "EXP-DICK-SQUARE", "DRY-ICE"}
    assert all(len(reason.split()) > 5 for reason in LEFT_OUT.values())
    assert len(CHECKED) + len(LEFT_OUT) == len(ROWS)


@pytest.mark.parametrize("row", CHECKED, ids=lambda row: row["id"])
def test_what_is_checked_is_named_where_it_is_checked(row):
    assert row["word"] in (_TESTS / row["file"]).read_text("utf-8")


@pytest.mark.parametrize("name", ["cooling_checks.json", "power_cut_traces.json"])
def test_every_case_in_the_data_is_counted(name):
    known = {row["id"] for row in CHECKED} | NOT_COUNTED

    assert [one for one in cases_of(name) if one not in known] == []


def test_published_cases_are_not_in_golden_and_others_are_marked():
    for row in CHECKED:
        is_golden = row["file"].startswith("golden")
        assert not (is_golden and row["kind"] == "published")
        if row["kind"] == "own" and not is_golden:
            assert row["file"] == "external/test_cooling_estimate.py"
