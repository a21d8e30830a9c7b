"""What places are held to: the set's figures, and whose word stands beside them."""

import pytest

from lidclock.app.temp_limits import limit_of
from lidclock.domain.kitchens import Place
from lidclock.guidance.load import load_set
from lidclock.templog.limits import PlaceLimit, exact_c


def held_to(state, name):
    return limit_of(Place("there", state), load_set(name))


# The cold and hot limits of each set, as its rule file and its targets cite them.
@pytest.mark.parametrize(
    ("name", "cold_c", "hot_c"),
    [
        ("us-food-code", 5.0, pytest.approx(57.222, abs=5e-4)),  # 135 °F
        ("us-food-code-new-york-city", 5.0, 60.0),
        ("uk-home", 5.0, 63.0),
        ("uk-catering", 8.0, 63.0),
        ("au", 5.0, 60.0),
        ("ca", 4.0, 60.0),
    ],
)
def test_a_fridge_and_a_hot_hold_are_held_to_the_set(name, cold_c, hot_c):
    fridge, hot = held_to("fridge", name), held_to("hot", name)

    assert (fridge.limit_c, fridge.is_floor) == (cold_c, False)
    assert (hot.limit_c, hot.is_floor) == (hot_c, True)


def test_40_fahrenheit_is_within_40_fahrenheit():
    """The charts' 40 °F stands as 4.4 °C in the file; 40 °F is 4.44 °C."""
    limit = held_to("fridge", "us-home")

    assert not limit.is_beyond((40 - 32) / 1.8)
    assert not limit.is_beyond(4.44)
    assert limit.is_beyond((40.1 - 32) / 1.8)


def test_a_limit_names_its_source():
    assert held_to("fridge", "us-food-code").source == (
        "FDA Food Code (model), Food Code, 3-501.16(A)(2), 2013-2022"
    )
    assert held_to("hot", "uk-catering").source == (
        "UK law, Food Safety and Hygiene (England) Regs 2013 guidance, hot, 2016"
    )
    assert held_to("fridge", "us-home").source == load_set("us-home").authority


@pytest.mark.parametrize("name", ["uk-catering", "ca", "ie"])
def test_a_freezer_is_held_to_what_the_authority_says(name):
    assert held_to("freezer", name).limit_c == -18.0
    assert "-18 °C" in held_to("freezer", name).says


@pytest.mark.parametrize("name", ["us-home", "us-food-code", "au", "nz", "uk-home"])
def test_where_nobody_says_a_freezer_is_held_to_the_melting_point(name):
    limit = held_to("freezer", name)

    assert limit.limit_c == 0.0
    assert limit.source == ""
    assert "gives no figure" in limit.says


def test_a_counter_is_held_to_nothing():
    assert held_to("counter", "us-home") is None


def test_exactly_at_the_limit_is_within():
    ceiling, floor = PlaceLimit(5.0), PlaceLimit(60.0, is_floor=True)

    assert (ceiling.is_beyond(5.0), ceiling.is_beyond(5.01)) == (False, True)
    assert (floor.is_beyond(60.0), floor.is_beyond(59.9)) == (False, True)
    assert (ceiling.side, floor.side) == ("above", "below")


@pytest.mark.parametrize("whole", [5.0, 57.0, 60.0, 63.0, 8.0, 0.0, -18.0])
def test_a_limit_in_whole_degrees_is_as_it_is(whole):
    assert exact_c(whole) == whole


@pytest.mark.parametrize(("rounded", "degrees_f"), [(4.4, 40), (21.1, 70), (57.2, 135)])
def test_a_limit_in_tenths_came_from_fahrenheit(rounded, degrees_f):
    assert exact_c(rounded) == pytest.approx((degrees_f - 32) / 1.8)


def test_a_tenth_that_no_whole_fahrenheit_rounds_to_stays():
    """40 °F is 4.4, 41 °F 5.0: 4.7 is neither."""
    assert exact_c(4.7) == 4.7
