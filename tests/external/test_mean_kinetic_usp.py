"""USP 29-NF 24, general chapter 1160: the mean kinetic temperature.

Formula and constants (83.144 kJ/mol, 8.3144e-3 kJ/(mol K)) were seen at the address in
data/mean_kinetic_usp1160.json. The chapter's own table was not: the temperatures there
are ours, worked out with its formula, and the tolerance is their rounding. A place is
measured as each case says, and the figure that people are shown is compared.
"""

import json
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from lidclock.kinetics.mean_kinetic import LABEL, USP_RATIO_K
from lidclock.templog.course import Course
from lidclock.templog.stats import stats_of

_DATA = Path(__file__).parent / "data" / "mean_kinetic_usp1160.json"
CASES = json.loads(_DATA.read_text("utf-8"))["cases"]
START = datetime(2026, 11, 2, tzinfo=UTC).timestamp()
HOUR_S, JUMP_S = 3600.0, 1e-3


def steps(temps, hours):
    """A place that stays at each temperature for so long and then jumps."""
    ends = START + np.cumsum(hours) * HOUR_S
    begins = np.r_[START, ends[:-1] + JUMP_S]
    times = np.stack([begins, ends], axis=1).ravel()
    is_gap = np.zeros(times.size - 1, dtype=np.bool_)
    return Course(times, np.repeat(temps, 2).astype(float), is_gap)


def test_the_published_constants_are_a_ratio_of_ten_thousand():
    assert pytest.approx(10_000.0) == USP_RATIO_K
    assert len(CASES) == 3


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_what_a_place_did_comes_to_the_published_formula(case):
    given = case["inputs"]
    course = steps(given["T"], given["w"] or [1.0] * len(given["T"]))

    kinetic_c = stats_of(course).kinetic_c
    assert abs(kinetic_c - case["expected"]) <= case["tolerance"]["abs"]


def test_it_never_stands_without_what_it_is_not():
    assert "Not a safety criterion" in LABEL
