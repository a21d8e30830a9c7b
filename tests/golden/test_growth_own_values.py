"""Golden: our own evaluations of growth formulas, kept to notice change.

They are no evidence that a formula is right: most were worked out from the same closed
form, by another hand. What others published is in tests/external. A change here that is
meant is made in data/growth_own_values.json, with the reason in the commit.
"""

import json
from pathlib import Path

import pytest

from growth_cases import agrees, is_worked_out, value_of

_FILE = Path(__file__).parent / "data" / "growth_own_values.json"
CASES = json.loads(_FILE.read_text("utf-8"))["cases"]
WORKED_OUT = [case for case in CASES if is_worked_out(case)]


@pytest.mark.parametrize("case", WORKED_OUT, ids=lambda case: case["id"])
def test_an_own_value_is_what_it_was(case):
    assert agrees(case, value_of(case)), (value_of(case), case["expected"])
