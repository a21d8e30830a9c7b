"""How each kind of growth check is worked out by the package: one function a model.

Shared by the published cases (tests/external) and our own values (tests/golden); a test
of coverage counts that every case is worked out here or named as left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from lidclock.kinetics.arrhenius import Exponential, energy_of_ratio, q10, rate_ratio
from lidclock.kinetics.cardinal import Cardinal
from lidclock.kinetics.exposure import Exposure
from lidclock.kinetics.extended import ExtendedSquareRoot
from lidclock.kinetics.factors import cardinal_ph
from lidclock.kinetics.load import load_library
from lidclock.kinetics.mean_kinetic import mean_kinetic_temperature
from lidclock.kinetics.parameters import celsius, law_of, through_generation_times
from lidclock.kinetics.primary import growth_ln, three_phase_ln
from lidclock.kinetics.rates import SquareRoot, square_root_fit
from lidclock.kinetics.validation import fit_of

LN2, LN10 = math.log(2.0), math.log(10.0)
KJ_PER_KCAL = 4.184  # the thermochemical calorie, by definition
# Rosenow and Marth 1987, J. Food Prot. 50:452: doubling times in milk, h at °C; the
# ranges are in data/growth_checks.json and docs/growth.md.
MILK_HOURS = {35: (41 / 60,) * 2, 21: (103 / 60, 115 / 60), 13: (4.45, 415 / 60)}
MILK_HOURS |= {8: (520 / 60, 873 / 60), 4: (1784 / 60, 2733 / 60)}

# Cases that no code here could get right or wrong, and why.
LEFT_OUT = {
    "henmeat_ratio_6_2": "two observed slopes, one series of which is not given",
    "q10_saltveit_life": "100 divided by the rates of q10_saltveit_rate",
    "data_npCbot_weeks": "weeks until toxin in a laboratory medium: no rate, so no law",
}

Inputs = dict[str, Any]
HOW: dict[str, Callable[[Inputs], Any]] = {}


def how(model: str) -> Callable[[Callable[[Inputs], Any]], Callable[[Inputs], Any]]:
    """Register how the cases of a model are worked out."""

    def keep(function: Callable[[Inputs], Any]) -> Callable[[Inputs], Any]:
        HOW[model] = function
        return function

    return keep


def is_worked_out(case: dict[str, Any]) -> bool:
    """Whether the package can be asked for the value of this case."""
    return case["model"] in HOW and case["id"] not in LEFT_OUT


def value_of(case: dict[str, Any]) -> Any:
    """What the package makes of a case."""
    return HOW[case["model"]](case["inputs"])


def agrees(case: dict[str, Any], found: Any) -> bool:
    """Whether the value lies within the tolerance of the case."""
    tolerance = case["tolerance"]
    got, expected = np.atleast_1d(found), np.atleast_1d(case["expected"])
    if tolerance.get("kind") == "range":
        low, high = expected
        return bool(((got >= low) & (got <= high)).all())
    if "rel" in tolerance:
        return bool((np.abs(got - expected) <= tolerance["rel"] * expected).all())
    # A tolerance of 0 means equal, up to the last digits of a float64.
    slack = max(tolerance["abs"], 1e-12)
    return got.shape == expected.shape and bool((np.abs(got - expected) <= slack).all())


def spoilage(tmin_c: float = -10.0) -> SquareRoot:
    """The relative law ``(1 + 0.1 T)²`` with this tmin."""
    return SquareRoot(1 / abs(tmin_c), tmin_c)


def total(times_h: Any, temps_c: Any, law: Any) -> float:
    """The exposure of a whole profile."""
    return Exposure(np.asarray(times_h, float), np.asarray(temps_c, float), law).total


@how("additivity")
def _additivity(given: Inputs) -> float:
    if "history" in given:
        law = spoilage()
        return sum(days * float(law.rate(temp)) for days, temp in given["history"])
    law = SquareRoot(1.0, given["Tmin"])
    # Hours at the base that the excursion costs beyond its own.
    ratio = float(law.rate(given["T"]) / law.rate(given["base_T"]))
    return given["hours"] * (ratio - 1)


@how("arrhenius_q10")
def _arrhenius_q10(given: Inputs) -> float:
    span = given["T1"], given["T2"]
    return q10(rate_ratio(given["Ea_kcal_mol"] * KJ_PER_KCAL, *span), *span)


@how("arrhenius_ratio")
def _arrhenius_ratio(given: Inputs) -> float:
    return rate_ratio(given["Ea_kJ"], given["T_ref"], given["T_hot"])


@how("arrhenius_from_q10")
def _arrhenius_from_q10(given: Inputs) -> float:
    return energy_of_ratio(given["Q10"], given["T1"], given["T2"])


@how("q10")
def _q10(given: Inputs) -> float:
    if "per_degree" in given:
        return q10(given["per_degree"], 0, 1)
    (quick, slow), (warm, cold) = given["weeks"], map(celsius, given["T_F"])
    return q10(slow / quick, cold, warm)


@how("q10_from_two_lives")
def _q10_from_two_lives(given: Inputs) -> float:
    return q10(given["life20C_wk"] / given["life30C_wk"], 20, 30)


@how("q10_chain")
def _q10_chain(given: Inputs) -> list[float]:
    rates = [1.0]
    for factor in given["Q10"]:
        rates.append(rates[-1] * q10(factor, 0, 10))
    return rates


@how("baranyi_F")
def _baranyi(given: Inputs) -> float:
    room = math.inf if given["dmax"] is None else given["dmax"]
    return float(growth_ln(given["M"], given["h0"], room))


@how("baranyi_roberts_dynamic")
def _baranyi_dynamic(given: Inputs) -> float:
    """The whole way: the temperature sampled finely, its exposure, the closed form."""
    end = float(given["t"])
    times = np.unique(np.concatenate([np.linspace(0, end, 400_001), [20, 24]]))
    times = times[times <= end]
    temps = 5 + 8 * np.sin(times / 5)
    parts = [(0.0, min(20.0, end), 0.0), (20.0, min(24.0, end), 12.0), (24.0, end, 0.0)]
    law = SquareRoot(0.03, -1.5)
    exposure = 0.0
    for begin, finish, extra in parts:
        here = (times >= begin) & (times <= finish)
        if finish > begin:
            exposure += total(times[here], temps[here] + extra, law)
    room = math.log(given["Nmax"] / given["N0"])
    return math.log(given["N0"]) + float(growth_ln(exposure, given["h0"], room))


@how("bias_accuracy_factor")
def _bias(given: Inputs) -> list[float]:
    fit = fit_of(given["observed_GT"], given["predicted_GT"])
    return [fit.bias, fit.accuracy]


@how("square_root_two_point")
def _two_point(given: Inputs) -> float:
    if "GT0" in given:
        times = [(0.0, given["GT0"]), (5.0, given["GT5"])]
        return through_generation_times(times).tmin_c
    return square_root_fit(given["T"], given["rate"]).tmin_c


@how("square_root_fit")
def _fit(_: Inputs) -> float:
    """Milk: the middles, geometrically, of the five published ranges."""
    middles = [
        (temp, math.sqrt(low * high)) for temp, (low, high) in MILK_HOURS.items()
    ]
    return through_generation_times(sorted(middles)).tmin_c


@how("ctmi_integral_cooling")
def _cooling(given: Inputs) -> float:
    return total(given["t_h"], given["T_C"], _cardinal(given["params"])) / LN10


@how("severity_ratio_to_limit_curve")
def _severity(given: Inputs) -> float:
    law = _cardinal(given["params"])
    limit = total([0, 2, 6], [57.22, 21.11, 5.0], law)
    return total(given["t_h"], given["T_C"], law) / limit


def _cardinal(params: list[float]) -> Cardinal:
    tmin, topt, tmax, mu_opt = params
    return Cardinal(mu_opt, tmin, topt, tmax)


@how("cpm_pH")
def _cpm(given: Inputs) -> float:
    return cardinal_ph(given["pH"], given["pHmin"], given["pHopt"], given["pHmax"])


@how("ctmi")
def _ctmi(given: Inputs) -> float:
    law = Cardinal(given["mu_opt"], given["Tmin"], given["Topt"], given["Tmax"])
    return float(law.rate(given["T"]))


@how("lag_error_bound")
def _lag_bound(given: Inputs) -> float:
    return given["M"] - float(growth_ln(given["M"], given["h0"]))


@how("shelf_life_reduction")
def _reduction(given: Inputs) -> float:
    law = SquareRoot(1.0, given["Tmin"])
    return 1 - float(law.rate(given["T1"]) / law.rate(given["T2"]))


@how("mean_rate_sqrt")
def _mean_rate(given: Inputs) -> float:
    times = np.linspace(0, 2 * math.pi, 200_001)
    temps = given["Tmean"] + 2 * np.sin(times)
    return total(times, temps, SquareRoot(given["b"], given["Tmin"])) / times[-1]


@how("unit_conversion")
def _doubling_hours(given: Inputs) -> list[float]:
    """Decimal rates read in their unit, doubling times from ln per hour."""
    laws = [
        law_of("square-root", {"b": math.sqrt(rate), "tmin_c": 0.0}, "log10/h")
        for rate in given["rate_log10_per_h"]
    ]
    return [LN2 / float(law.rate(1.0)) for law in laws]


@how("integral_exp_linear_segment")
def _exponential(given: Inputs) -> float:
    law = Exponential(1.0, given["a"])
    return total([0, given["hours"]], [given["T0"], given["T1"]], law)


@how("integral_sqrt_linear_segment")
def _segment(given: Inputs) -> float:
    law = SquareRoot(given["b"], given["Tmin"])
    return total([0, given["hours"]], [given["T0"], given["T1"]], law)


@how("prefix_sum_difference")
def _difference(given: Inputs) -> float:
    times, temps = np.array(given["log_h_C"], dtype=float).T
    exposure = Exposure(times, temps, spoilage())
    return float(exposure.between(given["t1"], given["t2"]))


@how("mean_kinetic_temperature")
def _mkt(given: Inputs) -> float:
    ratio = given["dH_J"] / given["R"]
    return mean_kinetic_temperature(given["T"], given["w"], ratio_k=ratio)


@how("relative_rate_(1+0.1T)^2")
def _relative(given: Inputs) -> float:
    return float(spoilage().rate(given["T"]))


@how("square_root_ratio")
def _ratio(given: Inputs) -> float:
    law = SquareRoot(1.0, given["Tmin"])
    if "T_ref" in given:
        return float(law.rate(given["T"]) / law.rate(given["T_ref"]))
    return float(law.rate(given["T2"]) / law.rate(given["T1"]))


@how("square_root_rate_ratio")
def _per_day_at_reference(given: Inputs) -> float:
    law = SquareRoot(1.0, given["Tmin"])
    scale = float(law.rate(given["T_ref"]) / law.rate(given["T"]))
    return given["log10_increase"] / given["days"] * scale


@how("square_root")
def _square_root(given: Inputs) -> float:
    return float(SquareRoot(given["b"], given["Tmin"]).rate(given["T"]))


@how("square_root_log10_per_h")
def _square_root_log10(given: Inputs) -> float:
    values = {"b": given["b"], "tmin_c": given["Tmin"]}
    return float(law_of("square-root", values, "log10/h").rate(given["T"])) / LN10


@how("ratkowsky1983_generation_time")
def _generation_time(given: Inputs) -> float:
    if "b_per_F" not in given:
        law = load_library().organisms["generic-curve"].law
        return LN2 / float(law.rate(celsius(given["T_F"])))
    law = ExtendedSquareRoot(
        given["b_per_F"] * 1.8 * math.sqrt(LN2),
        celsius(given["Tmin_F"]),
        given["c_per_F"] * 1.8,
        celsius(given["Tmax_F"]),
    )
    return LN2 / float(law.rate(celsius(given["T_F"])))


@how("cumulative_generations")
def _generations(given: Inputs) -> float:
    """From the printed table itself: generations in some hours, or days to ten."""
    law = load_library().organisms["generic-table"].law
    if "hours" in given:
        temp = celsius(given["T_F"])
        return total([0, given["hours"]], [temp, temp], law) / LN2
    return 10 * LN2 / float(law.rate(celsius(45))) / 24


@how("three_phase_linear")
def _three_phase(given: Inputs) -> Any:
    return three_phase_ln(given["M"], given["h0"], given["dmax"])
