"""Food Protection Trends 34(3), 2014, p. 137, Table 4: 5-log times, pH 4.1-4.6.

All 40 rows are in data/fpt-2014-p137-table4.csv, taken from a stored copy of
nxtbook.com/nxtbooks/trilix/fpt_20140506 (Breidt et al., pp. 132-138). The page states
F(160 °F) = 5.6 min and z = 16.7 °F, i.e. F within 5.55 to 5.65 and z within 16.65 to
16.75; times are printed to 0.1 min. The tolerance is that rounding and nothing else.
"""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lidclock.kinetics.heating import heating_of, lethality
from lidclock.kinetics.lethality import equivalent_minutes
from lidclock.kinetics.parameters import celsius
from lidclock.kinetics.processes import load_processes

_FILE = Path(__file__).parent / "data" / "fpt-2014-p137-table4.csv"
with _FILE.open(encoding="utf-8") as _rows:
    ROWS = [
        (float(row["temp_f"]), float(row["five_log_min"]))
        for row in csv.DictReader(_rows)
    ]
REF_C, Z_C = celsius(160), 16.7 / 1.8


def worth(minutes, temp_f, z_f):
    return equivalent_minutes(
        [0, minutes], [celsius(temp_f)] * 2, ref_c=REF_C, z_c=z_f / 1.8
    )


def test_the_table_is_whole():
    assert [temp_f for temp_f, _ in ROWS] == list(range(141, 181))


@pytest.mark.parametrize(("temp_f", "printed_min"), ROWS)
def test_every_printed_hold_is_worth_the_reference_process(temp_f, printed_min):
    found = [
        worth(minutes, temp_f, z_f)
        for minutes in (printed_min - 0.05, printed_min + 0.05)
        for z_f in (16.65, 16.75)
    ]

    assert min(found) <= 5.65
    assert max(found) >= 5.55


def test_a_trace_through_the_table_adds_up_its_shares():
    """Half of the time printed for 150 °F, then half of that for 165 °F, with a rise of
    no length between: five logs, to the rounding of the two times."""
    first, second = 22.4 / 2, 2.8 / 2
    times = np.array([0, first, first + 1e-6, first + 1e-6 + second])
    temps = [celsius(temp_f) for temp_f in (150, 150, 165, 165)]

    assert equivalent_minutes(times, temps, ref_c=REF_C, z_c=Z_C) == pytest.approx(
        5.6, rel=0.02
    )


@pytest.mark.parametrize(("temp_f", "printed_min"), ROWS[:1] + ROWS[9::10] + ROWS[-1:])
def test_the_process_that_ships_is_the_table(temp_f, printed_min):
    """Each printed hold is five logs of the process, to the rounding of the print."""
    process = load_processes()["acidified-5-log"]
    found = [
        lethality(
            heating_of(np.array([0.0, minutes]), np.full(2, celsius(temp_f))),
            replace(process, z_c=z_f / 1.8),
        ).whole
        for minutes in (printed_min - 0.05, printed_min + 0.05)
        for z_f in (16.65, 16.75)
    ]

    assert process.z_c == pytest.approx(16.7 / 1.8)
    assert min(found) / process.d_min <= 5.65 / 5.6 * 5
    assert max(found) / process.d_min >= 5.55 / 5.6 * 5
