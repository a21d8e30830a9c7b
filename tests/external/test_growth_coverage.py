"""Every case that was collected is checked somewhere, or left out with a reason.

162 cases of growth: 62 published, 100 our own values. Heat has test_heat_coverage.py.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from growth_cases import LEFT_OUT, is_worked_out

_TESTS = Path(__file__).parents[1]


def cases_of(path):
    return json.loads((_TESTS / path).read_text("utf-8"))["cases"]


PUBLISHED = cases_of("external/data/growth_checks.json")
OWN = cases_of("golden/data/growth_own_values.json")
# Data of published_value_only, each compared by model or by name in its test file.
COMPARED = (_TESTS / "external" / "test_growth_published.py").read_text("utf-8")


def test_all_that_was_collected_is_here():
    kinds = [case["kind"] for case in PUBLISHED]

    assert (len(PUBLISHED), len(OWN)) == (62, 100)
    assert kinds.count("published_value_reproduced") == 37
    assert len({case["id"] for case in (*PUBLISHED, *OWN)}) == 162


def test_every_reproduced_figure_is_worked_out():
    missing = [
        case["id"]
        for case in PUBLISHED
        if case["kind"] == "published_value_reproduced"
        and not is_worked_out(case)
        and case["id"] not in LEFT_OUT
    ]

    assert missing == []


def test_every_set_of_data_is_compared():
    models = set(re.findall(r'of_model\("(\w+)"\)', COMPARED))
    missing = [
        case["id"]
        for case in PUBLISHED
        if case["kind"] == "published_value_only"
        and case["model"] not in models
        and f'"{case["id"]}"' not in COMPARED
        and case["id"] not in LEFT_OUT
    ]

    assert missing == []


def test_every_own_value_is_kept():
    missing = [
        case["id"]
        for case in OWN
        if not is_worked_out(case) and case["id"] not in LEFT_OUT
    ]

    assert missing == []


def test_nothing_is_left_out_that_is_not_there():
    ids = {case["id"] for case in (*PUBLISHED, *OWN)}

    assert set(LEFT_OUT) <= ids
