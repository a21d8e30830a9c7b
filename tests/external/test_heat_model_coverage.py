"""Every case of heat that was collected is compared somewhere, or has a reason.

65 cases: 23 published or measured (data/heat_checks.json), 35 our own values
(tests/golden), 3 of cooling (data/cooling_checks.json), 1 of a power cut
(data/power_cut_traces.json), and 3 of probe readings (data/cooling_log_checks.json).
"""

from __future__ import annotations

import json
from pathlib import Path

_TESTS = Path(__file__).parents[1]
_HERE = _TESTS / "external"


def ids_in(path):
    return [case["id"] for case in json.loads(path.read_text("utf-8"))["cases"]]


PUBLISHED = ids_in(_HERE / "data" / "heat_checks.json")
# Of the experiments of cooling, which test_heat_coverage.py counts, those that a model
# of conduction has to answer.
COOLING = ("EXP-CHILI", "EXP-DICK1", "EXP-DICK2")
# A freezer without power is compared by test_power_cut_traces.py.
CABINET = ("OUT-1",)
OWN = ids_in(_TESTS / "golden" / "data" / "heat_own_values.json")
# Probe readings, checked in test_cooling_estimate.py against figures kept there.
PROBE = {
    "NEWT-1": "test_exact_readings_are_those_of_the_source",
    "NEWT-2": "two_point_rate",
    "NEWT-3": "required_rate",
}


def text_of(*names):
    return "".join((_HERE / name).read_text("utf-8") for name in names)


def test_all_sixty_five_are_here():
    assert (len(PUBLISHED), len(OWN), len(PROBE)) == (23, 35, 3)
    assert len({*PUBLISHED, *OWN, *COOLING, *CABINET, *PROBE}) == 65


def test_every_published_case_is_compared():
    compared = text_of("test_heat_published.py", "test_heat_experiments.py")
    missing = [name for name in (*PUBLISHED, *COOLING) if f'"{name}"' not in compared]

    assert missing == []


def test_probe_readings_are_checked_where_they_are_used():
    told = text_of("test_cooling_estimate.py")

    assert [name for name, words in PROBE.items() if words not in told] == []
