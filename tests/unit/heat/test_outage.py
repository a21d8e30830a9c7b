"""A cabinet without power: what it must do whatever the figures are."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.heat.outage import (
    ICE,
    STEW,
    UA_NEW_W_K,
    UA_OLD_W_K,
    Cabinet,
    Contents,
    hours_band,
)

masses = st.floats(0, 200)
starts = st.floats(-30, 10)
rises = st.floats(0.1, 12)


def test_melting_ice_takes_its_latent_heat():
    """1 kg from just below 0 °C to water: 333.6 kJ, at 1 W/K in a room of 20 °C."""
    cabinet = Cabinet(1.0, 1.0, room_c=20.0, liner_kj_k=0.0, contents=ICE)

    assert cabinet.hours_to(0.0, -1e-6) == pytest.approx(333_600 / 20 / 3600, rel=1e-4)


def test_walls_alone_warm_up_as_newton_says():
    """22 kJ/K, 2 W/K, from -20 to 0 °C at 19 °C: C / UA ln(39 / 19)."""
    cabinet = Cabinet(0.0, 2.0, room_c=19.0, liner_kj_k=22.0)

    assert cabinet.hours_to(0.0, -20.0) == pytest.approx(
        22_000 / 2.0 * math.log(39 / 19) / 3600, rel=1e-4
    )


def test_there_is_no_ice_at_the_freezing_point_and_most_is_ice_in_a_freezer():
    assert STEW.ice(STEW.freezing_c) == 0.0
    assert STEW.ice(-18.0) == pytest.approx(0.7904 * 17 / 18)


@given(st.floats(-40, 30), st.floats(0.01, 5))
def test_warmer_always_holds_more_heat(temp_c, rise_c):
    assert STEW.enthalpy(temp_c + rise_c) > STEW.enthalpy(temp_c)


@given(masses, starts, rises)
def test_more_insulation_never_warms_it_sooner(mass_kg, from_c, rise_c):
    early, late = hours_band(from_c + rise_c, from_c, mass_kg)

    assert 0 < early <= late
    assert late / early == pytest.approx(UA_OLD_W_K / UA_NEW_W_K)


@given(masses, st.floats(0.1, 50), starts, rises)
def test_more_food_never_warms_it_sooner(mass_kg, more_kg, from_c, rise_c):
    to_c = from_c + rise_c

    less = Cabinet(mass_kg, 1.5).hours_to(to_c, from_c)
    assert Cabinet(mass_kg + more_kg, 1.5).hours_to(to_c, from_c) > less


@given(masses, starts, rises, st.floats(0.5, 10))
def test_a_warmer_room_warms_it_sooner(mass_kg, from_c, rise_c, hotter_c):
    to_c = from_c + rise_c

    usual = Cabinet(mass_kg, 1.5, room_c=25.0).hours_to(to_c, from_c)
    assert Cabinet(mass_kg, 1.5, room_c=25.0 + hotter_c).hours_to(to_c, from_c) < usual


def test_what_is_warm_already_takes_no_time():
    assert Cabinet(5.0, 1.5).hours_to(4.4, 6.0) == 0.0


def test_a_room_that_is_colder_never_warms_it():
    assert math.isinf(Cabinet(5.0, 1.5, room_c=4.0).hours_to(4.4, 3.0))


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        ({"mass_kg": -1.0, "ua_w_k": 1.5}, "no less than nothing"),
        ({"mass_kg": math.nan, "ua_w_k": 1.5}, "no less than nothing"),
        ({"mass_kg": 1.0, "ua_w_k": 0.0}, "must be positive"),
        ({"mass_kg": 1.0, "ua_w_k": 1.5, "room_c": math.inf}, "a room has"),
    ],
)
def test_what_no_cabinet_can_be_is_refused(facts, word):
    with pytest.raises(ValueError, match=word):
        Cabinet(**facts)


@pytest.mark.parametrize(
    ("facts", "word"),
    [((0.5, 0.6, 0.5, -1.0), "shares"), ((0.8, 0.1, 0.2, 0.5), "at 0 °C or below")],
)
def test_what_no_food_can_be_is_refused(facts, word):
    with pytest.raises(ValueError, match=word):
        Contents(*facts)
