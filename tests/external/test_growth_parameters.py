"""The laws that are shipped hold the figures that their sources print.

Printed figures are in data/growth_parameters.json, each with where it was seen; the
table of generations is that of Snyder 1998 (hi-tm.com, seen), the counts of Bacillus
cereus those of J. Food Prot. 72(11) of November 2009 (abstract seen).
"""

import json
import math
from pathlib import Path

import pytest

from growth_cases import LN2, LN10
from lidclock.kinetics.load import load_library
from lidclock.kinetics.parameters import celsius, law_of

_FILE = Path(__file__).parent / "data" / "growth_parameters.json"
PRINTED = json.loads(_FILE.read_text("utf-8"))
ORGANISMS = load_library().organisms
# °F and hours for one multiplication, Table 1.
SNYDER = {
    **{30: 297.14, 35: 46.34, 40: 17.99, 41: 15.55, 45: 9.49, 50: 5.85, 55: 3.96},
    **{60: 2.86, 65: 2.16, 70: 1.69, 75: 1.36, 80: 1.12, 85: 0.93, 90: 0.79},
    **{95: 0.68, 100: 0.59, 105: 0.52, 110: 0.47, 115: 0.46, 120: 0.56, 125: 3.10},
}


@pytest.mark.parametrize("printed", PRINTED["parameters"], ids=lambda p: p["organism"])
def test_a_shipped_law_has_the_printed_parameters(printed):
    expected = law_of(printed["model"], printed["values"], printed["unit"])

    assert ORGANISMS[printed["organism"]].law == expected


@pytest.mark.parametrize("printed", PRINTED["points"], ids=lambda p: p["organism"])
def test_a_shipped_law_goes_through_the_printed_points(printed):
    law = ORGANISMS[printed["organism"]].law
    for temp_c, value, unit in printed["points"]:
        rate = float(law.rate(temp_c))
        found = LN2 / rate if unit == "hours" else rate / LN10
        assert found == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(("temp_c", "end", "hours"), [(20, 6.64, 22), (17, 6.81, 34)])
def test_bacillus_in_rice_has_the_mean_rate_of_its_counts(temp_c, end, hours):
    """From 250 spores a gram; five figures of the rate are kept in the file."""
    rate = (end - math.log10(250)) / hours
    found = float(ORGANISMS["bacillus-cereus-rice"].law.rate(temp_c)) / LN10

    assert found == pytest.approx(rate, abs=1e-5)


def test_the_table_of_generations_is_the_printed_one():
    """At a rising part the printed time itself; at and above 120 °F the quicker."""
    law = ORGANISMS["generic-table"].law
    found = {temp_f: LN2 / float(law.rate(celsius(temp_f))) for temp_f in SNYDER}

    # The first temperature begins the first band, which is read to its quicker end.
    assert found.pop(30) == pytest.approx(SNYDER[35])
    assert (found.pop(120), found.pop(125)) == pytest.approx((0.46, 0.56))
    assert found == pytest.approx({k: v for k, v in SNYDER.items() if k in found})


def test_every_shipped_law_is_compared_with_its_source():
    compared = {
        one["organism"] for part in ("parameters", "points") for one in PRINTED[part]
    }
    compared |= {"bacillus-cereus-rice", "generic-table", "generic-curve"}

    assert set(ORGANISMS) == compared


def test_the_curve_is_a_fit_to_the_table_within_one_percent():
    """All 21 printed times; docs/growth.md says so."""
    law = ORGANISMS["generic-curve"].law
    off = {
        temp_f: abs(LN2 / float(law.rate(celsius(temp_f))) / hours - 1)
        for temp_f, hours in SNYDER.items()
    }

    assert max(off.values()) < 0.01
