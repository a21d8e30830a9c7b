"""Where ice melts and water boils, and whether a probe is right."""

import math

import pytest

from lidclock.guidance.thermometer import (
    boiling_point_c,
    ice_point_c,
    pressure_pa,
    probe_verdict,
)


def test_ice_melts_at_zero():
    assert ice_point_c() == 0


@pytest.mark.parametrize(
    ("altitude_m", "printed_pa"), [(0, 101_325), (1000, 89_875), (5000, 54_020)]
)
def test_pressure_is_that_of_the_standard_atmosphere(altitude_m, printed_pa):
    """ISO 2533 / ICAO tables print 1013.25, 898.75 and 540.20 hPa at these heights."""
    assert pressure_pa(altitude_m) == pytest.approx(printed_pa, abs=1)


@pytest.mark.parametrize(
    ("altitude_m", "printed_c"),
    [(0, 99.974), (111.0, 99.606)],
)
def test_water_boils_as_the_steam_tables_have_it(altitude_m, printed_c):
    """IAPWS: 99.974 °C at 101 325 Pa; 372.755919 K at 0.1 MPa (R7-97, table 36).

    The standard atmosphere has 0.1 MPa at 111 m. The Antoine equation is coarser than
    the steam tables: 0.1 °C.
    """
    assert pressure_pa(111) == pytest.approx(100_000, abs=10)
    assert boiling_point_c(altitude_m) == pytest.approx(printed_c, abs=0.1)


def test_water_boils_cooler_the_higher_one_is():
    points = [boiling_point_c(metres) for metres in range(-450, 9001, 50)]

    assert points == sorted(points, reverse=True)


@pytest.mark.parametrize("altitude_m", [-451, 9001, math.nan, math.inf])
def test_an_altitude_out_of_range_is_refused(altitude_m):
    with pytest.raises(ValueError, match="altitude must lie"):
        boiling_point_c(altitude_m)


def test_a_probe_at_its_tolerance_is_within():
    """1 °C is what the Food Code (4-203.11) allows a food thermometer."""
    found = probe_verdict(1.0, 0.0, 1.0)

    assert found.is_within
    assert found.off_c == 1.0


def test_a_tenth_beyond_the_tolerance_is_not_within():
    assert not probe_verdict(-1.1, 0.0, 1.0).is_within


def test_noise_in_the_last_digit_does_not_decide():
    """2.2 - 1.2 is a hair more than 1 to a computer, not to a thermometer."""
    found = probe_verdict(2.2, 1.2, 1.0)

    assert found.off_c > 1.0
    assert found.is_within


def test_a_probe_that_reads_low_is_off_by_less_than_nothing():
    assert probe_verdict(93.5, 95.0, 1.0).off_c == -1.5


def test_no_reading_is_not_within():
    assert not probe_verdict(math.nan, 0.0, 1.0).is_within


@pytest.mark.parametrize("tolerance_c", [-0.1, math.nan])
def test_a_tolerance_below_zero_is_refused(tolerance_c):
    with pytest.raises(ValueError, match="tolerance"):
        probe_verdict(0.0, 0.0, tolerance_c)
