"""Golden: our own values of freezing, thawing and cooling, kept to notice change.

They come from other programs of ours: an explicit scheme in one and in three
dimensions, exact series, formulas in one line. No evidence: what others published and
measured is in tests/external. A change that is meant is made in the file of data, with
the reason in the commit. Tolerances are those the values were kept with, unless said.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from lidclock.heat.bodies import Case
from lidclock.heat.closed_forms import (
    Freezing,
    Thawing,
    cleland_thaw_hours,
    pham_hours,
)
from lidclock.heat.curves import curve_of
from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict, shape_factor
from lidclock.heat.properties import curve_of_constants
from lidclock.heat.second import second_opinion
from lidclock.heat.series import Direction, seconds_to, series_of
from lidclock.heat.solver import time_to

_FILE = Path(__file__).parent / "data" / "heat_own_values.json"
_KEPT = json.loads(_FILE.read_text("utf-8"))
CASES, DOUGH = {case["id"]: case for case in _KEPT["cases"]}, _KEPT["dough"]
FOODS = {food.number: food.composition for food in load_foods().values()}
SLABS = {"slab": 1.0, "cyl": 2.0, "sphere": 3.0}
LEFT_OUT = {
    "DOUGH-FLAT": "one face on a bench that chills: the solver knows no second body; "
    "the same dough on a rack is compared below",
}


def named(start):
    return sorted(name for name in CASES if name.startswith(start))


def parts(name):
    return CASES[name]["inputs"], CASES[name]["expected"]


def material(at):
    props = at["props"]
    return curve_of_constants(
        frozen_j_m3k=props["Cs"],
        unfrozen_j_m3k=props["Cl"],
        frozen_w_mk=props["ks"],
        unfrozen_w_mk=props["kl"],
        latent_j_m3=props["L_total_ideal_curve"],
        freezing_c=props["Tf"],
    )


def body_case(at):
    shape = {"cyl": "cylinder"}.get(at["shape"], at["shape"])
    return Case(shape, at["D"] / 2, at["Ti"], at["Ta"], at["h"])


def numeric_hours(at, target_c):
    return time_to(material(at), [body_case(at)], target_c).hours[0]


@pytest.mark.parametrize("name", named("COOL-4"))
def test_cooling_is_what_it_was(name):
    """By series within their last digit, by volumes within 0.1 %."""
    at, told = parts(name)
    radius, left = at["R_or_half"], (21.1 - at["Ta"]) / (at["Ti"] - at["Ta"])
    curve = curve_of(
        np.array([-50.0, 200.0]), np.array([0, 250 * at["rho_cp"]]), np.full(2, at["k"])
    )
    case = Case(at["shape"], radius, at["Ti"], at["Ta"], at["h"])
    exact = seconds_to(
        [Direction(at["shape"], radius)],
        left,
        conductivity_w_mk=at["k"],
        heat_capacity_j_m3k=at["rho_cp"],
        film_w_m2k=at["h"],
    )

    assert exact == pytest.approx(told["t_s"], abs=0.051)
    assert 3600 * time_to(curve, [case], 21.1).hours[0] == pytest.approx(
        told["t_s"], rel=1e-3
    )


@pytest.mark.parametrize("name", named("FREEZE-N"))
def test_freezing_is_what_it_was(name):
    at, told = parts(name)
    props = at["props"]
    food = Freezing(props["ks"], props["Cl"], props["Cs"], props["L_for_Pham"])
    temps = at["Ti"], -10, at["Ta"]
    pham = pham_hours(food, at["D"], at["h"], temps, SLABS[at["shape"]])

    assert numeric_hours(at, -10) == pytest.approx(told["numeric_h"], rel=0.01)
    assert pham == pytest.approx(told["pham_h"], abs=0.00051)
    assert pham == pytest.approx(numeric_hours(at, -10), rel=0.07)


@pytest.mark.parametrize("name", named("THAW-N"))
def test_thawing_is_what_it_was(name):
    """Balls thaw quickly in water: there twelve volumes are 1.1 % slow to 0 °C."""
    at, told = parts(name)
    props = at["props"]
    food = Thawing(props["kl"], props["Cl"], props["Cs"], props["dH10"], props["Tf"])
    ends, factor = (at["Ti"], at["Ta"]), SLABS[at["shape"]]
    formula = cleland_thaw_hours(food, at["D"], at["h"], ends, factor)
    slack = 0.012 if name == "THAW-N9" else 0.01

    assert numeric_hours(at, 0) == pytest.approx(told["numeric_0C_h"], rel=slack)
    assert numeric_hours(at, -1) == pytest.approx(told["numeric_-1C_h"], rel=0.01)
    assert formula == pytest.approx(told["cleland_h"], abs=0.00051)
    assert formula == pytest.approx(numeric_hours(at, 0), rel=0.11)


@pytest.mark.parametrize("name", named("BRICK-"))
def test_bricks_in_three_dimensions_are_what_they_were(name):
    """The factor within 7 % of three dimensions, so the time within 7.5 %.

    Without the factor's own error, dividing by the true one, the time is within 0.6 %.
    """
    at, told = parts(name)
    is_freezing = "-F" in name
    body = Body("brick", tuple(at["dims"]))
    conductivity = at["props"]["ks" if is_freezing else "kl"]
    factor = shape_factor(body, at["h"] * body.smallest_m / conductivity)
    slab = Case("slab", body.smallest_m / 2, at["Ti"], at["Ta"], at["h"])
    target = -10 if is_freezing else -0.02
    hours = time_to(material(at), [slab], target).hours[0]

    assert factor == pytest.approx(told["E_true"], rel=0.07)
    assert hours / factor == pytest.approx(told["numeric_h"], rel=0.075)
    assert hours / told["E_true"] == pytest.approx(told["numeric_h"], rel=0.006)


@pytest.mark.parametrize("name", [one for one in named("TUB-") if "-cool-" not in one])
def test_containers_are_what_they_were(name):
    """The solver within 0.5 %; Pham within 1 %, Cleland's thaw within 3 %.

    The constants of a food for the formulas were chosen a little otherwise then.
    """
    at, told = parts(name)
    food, body = FOODS[at["ndb"]], Body("brick", tuple(at["dims"]))
    course = Course(at["Ti"], at["Ta"], at["target"])
    found = predict(food, body, course, [at["h"]])
    second = second_opinion(food, body, course, at["h"])

    assert found.hours[0] == pytest.approx(told["FD_over_E_h"], rel=0.005)
    assert found.factors[0] == pytest.approx(told["E"], rel=0.005)
    if at["mode"] == "freeze":
        assert second.hours == pytest.approx(told["pham_h"], rel=0.01)
    else:
        assert second.hours == pytest.approx(told["thaw1_h"], rel=0.03)


def test_a_container_that_cools_is_what_it_was():
    """By series 1.2 % quicker than kept, properties taken a little warmer then."""
    at, told = parts("TUB-cool-16059-50mm-h8")
    food, course = FOODS[at["ndb"]], Course(at["Ti"], at["Ta"], at["target"])
    brick = predict(food, Body("brick", tuple(at["dims"])), course, [at["h"]])
    slab = predict(food, Body("slab", (at["dims"][0],)), course, [at["h"]])

    assert brick.hours[0] == pytest.approx(told["closed_product_series_h"], rel=0.02)
    assert slab.hours[0] == pytest.approx(told["slab_FD_h"], rel=0.02)


def test_a_ball_of_dough_warms_as_it_did():
    """Its mean after two hours: the time to that mean is two hours, within 0.2 K."""
    at, told = parts("DOUGH-BALL")
    heat = at["rho"] * at["cp"] * 1000
    curve = curve_of(
        np.array([-50.0, 200.0]), np.array([0, 250 * heat]), np.full(2, at["k"])
    )
    cases = [Case("sphere", at["R"], 4, 21, film) for film in at["U"]]
    for index, mean in enumerate(told["Tmean_2h"]):
        early, late = (
            time_to(curve, [cases[index]], mean + slack, where="mean").hours[0]
            for slack in (-0.2, 0.2)
        )
        assert early < 2 < late


@pytest.mark.parametrize("film", DOUGH["ball_hours_to_mean"]["hours"])
def test_a_ball_of_dough_comes_to_each_mean_as_it_did(film):
    """205 g, as in DOUGH-BALL: within 0.15 h, and beyond 8 h where nothing is kept."""
    at, kept = CASES["DOUGH-BALL"]["inputs"], DOUGH["ball_hours_to_mean"]
    heat = at["rho"] * at["cp"] * 1000
    curve = curve_of(
        np.array([-50.0, 200.0]), np.array([0, 250 * heat]), np.full(2, at["k"])
    )
    case = Case("sphere", at["R"], kept["from_c"], kept["in_c"], float(film))
    told = [
        time_to(curve, [case], mean, where="mean").hours[0] for mean in kept["means_c"]
    ]

    for hours, was in zip(told, kept["hours"][film], strict=True):
        assert hours > 8 if was is None else hours == pytest.approx(was, abs=0.15)


@pytest.mark.parametrize("film", DOUGH["disc_hours_to_18"]["hours"])
def test_a_relaxed_disc_of_dough_warms_as_it_did(film):
    kept = DOUGH["disc_hours_to_18"]
    dough = load_foods()["bread-dough-lean"].composition
    body = Body("cylinder", tuple(size / 1000 for size in kept["size_mm"]))
    hours = predict(dough, body, Course(4, 21, 18, "mean"), [float(film)]).hours[0]

    assert hours == pytest.approx(kept["hours"][film], abs=0.06)


@pytest.mark.parametrize("film", DOUGH["rack_minutes"]["minutes"])
@pytest.mark.parametrize("thick_mm", ["12", "15"])
def test_flat_dough_on_a_rack_is_slower_than_it_was(film, thick_mm):
    """By 19 to 31 %: the other program held back water bound to flour, which here
    freezes and has to thaw (docs/ready.md): later, so it stays.
    """
    kept = DOUGH["rack_minutes"]
    dough = load_foods()["bread-dough-lean"].composition
    body = Body("slab", (int(thick_mm) / 1000,))
    for core, minutes in zip(
        kept["cores_c"], kept["minutes"][film][thick_mm], strict=True
    ):
        course = Course(kept["from_c"], kept["in_c"], core)
        told = 60 * predict(dough, body, course, [float(film)]).hours[0]
        assert 1.19 < told / minutes < 1.31


@pytest.mark.parametrize(
    ("begin_h", "end_h", "key"), [(0, 0.5, "fit_0_0.5h"), (0.5, 1.5, "fit_0.5_1.5h")]
)
def test_a_fit_within_the_lag_says_three_times_too_long(begin_h, end_h, key):
    """Seven exact readings of a pan's middle, and a straight line through them."""
    at, told = parts("NEWT-LAG")
    half, film, medium, start = at["d"] / 2, at["h"], 3.0, 57.2
    pan = series_of("slab", film * half / at["k"])
    pace = 3600 * at["k"] / at["rho_cp"] / half**2
    times = np.linspace(begin_h, end_h, 7)
    logs = np.log([pan.excess(pace * time) for time in times])
    slope, level = np.polyfit(times, logs, 1)
    left = np.log((21.1 - medium) / (start - medium))
    true_s = seconds_to(
        [Direction("slab", half)],
        np.exp(left),
        conductivity_w_mk=at["k"],
        heat_capacity_j_m3k=at["rho_cp"],
        film_w_m2k=film,
    )

    assert (left - level) / slope == pytest.approx(told[key], rel=0.03)
    assert true_s / 3600 == pytest.approx(told["true_t21_h"], abs=0.0051)


def test_every_own_value_is_kept():
    """No case without a test above, save those that are left out with a reason."""
    kinds = ("COOL-4", "FREEZE-N", "THAW-N", "BRICK-", "TUB-", "DOUGH-BALL", "NEWT")
    kept = {name for kind in kinds for name in named(kind)}

    assert set(CASES) - kept == set(LEFT_OUT)
