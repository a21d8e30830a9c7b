"""Food Code 1-201.10, Tables A and B: every cell, by values within its bounds.

The published cells are records of data/guidance_records.json (topic `tcs_matrix`), read
in two states' adoptions: 25 TAC 228.2(144) of Texas and NAC 446.025 of Nevada. Copies
with errors are about: Texas itself prints "<0.92" for the first row of Table A, where
Nevada and the model code have "<=0.92".
"""

import json
import re
from pathlib import Path

import pytest

from lidclock.guidance.tcs import NEEDED, NOT_NEEDED, judge_control

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
CELLS = [
    one for one in json.loads(_FILE.read_text("utf-8")) if one["topic"] == "tcs_matrix"
]
_TICK = 1e-6


def bounds(words, lowest, highest):
    """`>4.6-5.6` as (just above 4.6, 5.6); `<4.2` as (0, just below 4.2)."""
    if words.startswith("<="):
        return lowest, float(words[2:])
    if words.startswith("<"):
        return lowest, float(words[1:]) - _TICK
    low, _, high = words.lstrip(">").partition("-")
    start = float(low) + (_TICK if words.startswith(">") else 0)
    return start, float(high) if high else highest


def values(record):
    """The corners of the cell, and the way it is heated."""
    aw, ph = re.fullmatch(r"aw (\S+) and pH (\S+)", record["condition"]).groups()
    return [
        (one_ph, one_aw)
        for one_ph in bounds(ph, 0.0, 14.0)
        for one_aw in bounds(aw, 0.0, 1.0)
    ]


def test_the_two_tables_have_nine_and_sixteen_cells():
    tables = [one["id"].split(".")[3] for one in CELLS]

    assert (tables.count("A"), tables.count("B")) == (9, 16)


@pytest.mark.parametrize("record", CELLS, ids=lambda one: one["id"])
def test_every_corner_of_every_cell_is_as_published(record):
    is_table_a = record["food"] == "heated to kill vegetative cells and then packaged"
    expected = {"non-TCS": NOT_NEEDED, "product assessment": NEEDED}[record["value"]]
    found = [
        judge_control(ph, aw, heated_then_packed=is_table_a)
        for ph, aw in values(record)
    ]

    assert {cell.id for cell in found} == {record["id"]}
    assert {cell.outcome for cell in found} == {expected}


@pytest.mark.parametrize(
    ("ph", "aw", "outcome"),
    [
        (4.1, None, NOT_NEEDED),  # below 4.2 every row of Table B asks for none
        (4.3, None, NEEDED),  # the wettest row decides
        (None, 0.87, NOT_NEEDED),  # below 0.88 every column asks for none
        (None, 0.89, NEEDED),
    ],
)
def test_what_was_not_measured_is_taken_as_the_worst(ph, aw, outcome):
    assert judge_control(ph, aw).outcome == outcome
