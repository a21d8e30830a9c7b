"""From published parameters to a rate law, whatever unit the paper counts in."""

from __future__ import annotations

import math
from collections.abc import Mapping

from lidclock.kinetics.cardinal import Cardinal
from lidclock.kinetics.extended import ExtendedSquareRoot
from lidclock.kinetics.rates import RateLaw, SquareRoot, square_root_fit
from lidclock.kinetics.steps import Steps, from_generation_times

UNITS = {"ln/h": 1.0, "log10/h": math.log(10.0), "generations/h": math.log(2.0)}
# What each model takes; every one of them is a number.
PARAMETERS = {
    "square-root": ("b", "tmin_c"),
    "extended-square-root": ("b", "tmin_c", "c", "tmax_c"),
    "cardinal": ("mu_opt", "tmin_c", "topt_c", "tmax_c"),
}
MODELS = (*PARAMETERS, "generations-table")


def law_of(model: str, values: Mapping[str, float], unit: str = "ln/h") -> RateLaw:
    """The law of a model with its parameters; ValueError if they do not fit.

    Rates in `unit` are turned into ln per hour: mu_opt by the factor, the slope of a
    square root by the root of it.
    """
    factor = UNITS[unit]
    root = math.sqrt(factor)
    if model == "square-root":
        return SquareRoot(values["b"] * root, values["tmin_c"])
    if model == "extended-square-root":
        return ExtendedSquareRoot(
            values["b"] * root, values["tmin_c"], values["c"], values["tmax_c"]
        )
    if model == "cardinal":
        return Cardinal(
            values["mu_opt"] * factor,
            values["tmin_c"],
            values["topt_c"],
            values["tmax_c"],
        )
    raise ValueError(f"no model {model!r} with parameters")


def through_rates(points: list[tuple[float, float]], unit: str) -> SquareRoot:
    """The square-root law through published rates at temperatures."""
    temps, rates = zip(*points, strict=True)
    return square_root_fit(temps, [rate * UNITS[unit] for rate in rates])


def through_generation_times(points: list[tuple[float, float]]) -> SquareRoot:
    """The square-root law through published times for one doubling  [h]."""
    temps, hours = zip(*points, strict=True)
    if not min(hours) > 0:
        raise ValueError("a generation time must be above 0")
    return square_root_fit(temps, [math.log(2.0) / one for one in hours])


def table_of(points_f: list[tuple[float, float]], end_f: float) -> RateLaw:
    """A table of generation times at temperatures in °F, read to the quicker side."""
    temps = [celsius(temp_f) for temp_f, _ in points_f]
    return from_generation_times(
        temps, [hours for _, hours in points_f], celsius(end_f)
    )


def celsius(temp_f: float) -> float:
    """Degrees Celsius of degrees Fahrenheit."""
    return (temp_f - 32) / 1.8


def parameters_of(law: RateLaw) -> dict[str, object]:
    """The parameters of a law in ln per hour, to be kept with every result."""
    if isinstance(law, SquareRoot):
        return {"model": "square-root", "b": law.b, "tmin_c": law.tmin_c}
    if isinstance(law, ExtendedSquareRoot):
        return {
            "model": "extended-square-root",
            "b": law.b,
            "tmin_c": law.tmin_c,
            "c": law.c,
            "tmax_c": law.tmax_c,
        }
    if isinstance(law, Cardinal):
        return {
            "model": "cardinal",
            "mu_opt": law.mu_opt,
            "tmin_c": law.tmin_c,
            "topt_c": law.topt_c,
            "tmax_c": law.tmax_c,
        }
    if isinstance(law, Steps):
        edges, rates = list(law.edges_c), list(law.rates)
        return {"model": "generations-table", "edges_c": edges, "rates": rates}
    raise ValueError(f"no model is known for {law!r}")
