"""USDA FSIS, Appendix A (1999), cooked beef: 6.5-log column, 130 to 157 °F.

All 28 rows that print a time are in data/fsis-appendix-a-beef.csv, taken from a copy of
the table at rhosey.com/usda_cooking_guideline.htm. Minutes are printed whole up to
145 °F and seconds whole above; from 158 °F on the table prints 0 s, which the process
here does not credit. The process goes through the strictest row: no printed hold may
come to more than the 6.5 logs it is printed for. z of 10 °F is our fit: the rows differ
by the rounding of whole minutes, and no row may come to less than 5.7.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from lidclock.kinetics.heating import heating_of, lethality
from lidclock.kinetics.parameters import celsius
from lidclock.kinetics.processes import load_processes

_FILE = Path(__file__).parent / "data" / "fsis-appendix-a-beef.csv"
with _FILE.open(encoding="utf-8") as _rows:
    ROWS = [
        (float(row["temp_f"]), float(row["seconds_6_5_log"]))
        for row in csv.DictReader(_rows)
    ]
PROCESS = load_processes()["fsis-salmonella-beef"]


def logs(temp_f, seconds):
    hold = heating_of(np.array([0.0, seconds / 60]), np.full(2, celsius(temp_f)))
    found = lethality(hold, PROCESS)
    return found.logs(found.whole)


def test_the_table_is_whole():
    assert [temp_f for temp_f, _ in ROWS] == list(range(130, 158))


@pytest.mark.parametrize(("temp_f", "seconds"), ROWS)
def test_no_printed_hold_is_credited_more_than_it_is_printed_for(temp_f, seconds):
    assert 5.7 <= logs(temp_f, seconds) <= 6.5 + 1e-9


def test_the_strictest_row_is_credited_whole():
    assert max(logs(*row) for row in ROWS) == pytest.approx(6.5)


def test_hotter_than_the_printed_times_credits_no_more_than_the_hottest_of_them():
    assert logs(165, 14) == pytest.approx(logs(157, 14))
