"""Golden: our own estimates of cabinets without power, kept to notice change.

They are no evidence that the model is right: freezers that people measured are in
tests/external/test_power_cut_traces.py.
"""

import json
from pathlib import Path

import pytest

from lidclock.heat.outage import Cabinet

_FILE = Path(__file__).parent / "data" / "outage_own_values.json"
CASES = json.loads(_FILE.read_text("utf-8"))["cases"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_an_own_estimate_is_what_it_was(case):
    cabinet = Cabinet(case["mass_kg"], case["ua_w_k"], room_c=20.0)
    found = [cabinet.hours_to(to_c, case["from_c"]) for to_c, _ in case["hours"]]

    assert found == pytest.approx([hours for _, hours in case["hours"]], rel=0.1)
