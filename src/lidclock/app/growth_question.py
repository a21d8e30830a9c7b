"""Reads the question of a growth what-if: every fault is named, with what to do."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lidclock.app.documents import Reader, parsed, shown
from lidclock.kinetics.factors import Factors
from lidclock.kinetics.organisms import Organism
from lidclock.kinetics.parameters import PARAMETERS, law_of
from lidclock.kinetics.predict import Conditions, given
from lidclock.kinetics.rates import Floats, floats

if TYPE_CHECKING:
    from lidclock.kinetics.rates import RateLaw

WORST = "worst"
_KEYS = frozenset(
    {"organism", "parameters", "profile", "ph", "aw", "h0"}
    | {"start_log10", "max_log10"}
)
_CARDINAL_PH = ("ph_min", "ph_opt", "ph_max")
_CARDINAL_AW = ("aw_min", "aw_opt")
_HOURS = (-1e7, 1e7)
_TEMPS = (-100.0, 200.0)
# Beyond these no organism is: a wrong unit, or a slip.
_BOUNDS: dict[str, tuple[float, float]] = {
    "b": (0, 10),
    "c": (0, 100),
    "mu_opt": (0, 1000),
    "tmin_c": _TEMPS,
    "topt_c": _TEMPS,
    "tmax_c": _TEMPS,
    "ph_min": (0, 14),
    "ph_opt": (0, 14),
    "ph_max": (0, 14),
    "aw_min": (0, 1),
    "aw_opt": (0, 1),
}


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked; no organism means the worst of all."""

    organism: Organism | None
    times_h: Floats
    temps_c: Floats
    under: Conditions


def read_question(text: str, organisms: Mapping[str, Organism]) -> Question:
    """The question in the document `text`; InputError names every fault found."""
    document = parsed(text)
    reader = GrowthReader(organisms)
    reader.refuse_strays("document", document, _KEYS)
    organism = reader.organism(document)
    points = reader.profile(document.get("profile"))
    under = reader.conditions(document)
    reader.end()
    times = floats([hours for hours, _ in points])
    return Question(organism, times, floats([temp for _, temp in points]), under)


class GrowthReader(Reader):
    """Reads one document and gathers what is wrong with it."""

    def __init__(self, organisms: Mapping[str, Organism]) -> None:
        super().__init__()
        self._organisms = organisms

    def organism(self, document: Mapping[str, Any]) -> Organism | None:
        """The organism named, or the parameters given; None for the worst of all."""
        name, values = document.get("organism"), document.get("parameters")
        if (name is None) == (values is None):
            self.fault("document", "give organism or parameters, one of the two")
            return None
        if values is not None:
            return self._given(values)
        if name == WORST:
            return None
        found = self._organisms.get(name) if isinstance(name, str) else None
        if found is None:
            known = ", ".join([*self._organisms, WORST])
            self.fault("organism", f"{name!r} is not known; take one of {known}")
        return found

    def _given(self, values: Any) -> Organism | None:
        if not isinstance(values, dict):
            self.fault("parameters", f"write an object, not {shown(values)}")
            return None
        model = values.get("model")
        if model not in PARAMETERS:
            known = ", ".join(PARAMETERS)
            self.fault("parameters.model", f"{model!r} is not one of {known}")
            return None
        needed = PARAMETERS[model]
        optional = (*_CARDINAL_PH, *_CARDINAL_AW)
        self.refuse_strays(
            "parameters", values, frozenset({"model", *needed, *optional})
        )
        before = len(self.faults)
        numbers = {
            key: self.number(f"parameters.{key}", values.get(key), _BOUNDS[key])
            for key in (*needed, *(one for one in optional if one in values))
        }
        sound = {key: one for key, one in numbers.items() if one is not None}
        if len(self.faults) > before:
            return None
        try:
            law: RateLaw = law_of(model, sound)
            return given(law, _factors(sound))
        except ValueError as error:
            self.fault("parameters", str(error))
            return None

    def profile(
        self,
        value: Any,
        unit: str = "hours",
        times: tuple[float, float] = _HOURS,
        temps: tuple[float, float] = _TEMPS,
    ) -> list[tuple[float, float]]:
        """The points, each [hours, temp_c], rising in time; or in another unit."""
        if not isinstance(value, list):
            self.fault(
                "profile", f"write a list of [{unit}, temp_c], not {shown(value)}"
            )
            return []
        if len(value) < 2:
            self.fault(
                "profile", f"{len(value)} points tell no time; give at least two"
            )
        points: list[tuple[float, float]] = []
        latest = -math.inf
        for index, one in enumerate(value):
            where = f"profile[{index}]"
            if not isinstance(one, list) or len(one) != 2:
                self.fault(where, f"write [{unit}, temp_c], not {shown(one)}")
                continue
            hours = self.number(f"{where} {unit}", one[0], times)
            temp = self.number(f"{where} temp_c", one[1], temps)
            if hours is not None and hours <= latest:
                self.fault(
                    where,
                    f"{hours:g} {unit[0]} does not come after {latest:g} {unit[0]}; "
                    "sort the points, and leave one where two share a time",
                )
            latest = latest if hours is None else max(latest, hours)
            if hours is not None and temp is not None:
                points.append((hours, temp))
        return points

    def conditions(self, document: Mapping[str, Any]) -> Conditions:
        """What is known of the food."""
        read = {
            key: self._optional(key, document.get(key), bounds)
            for key, bounds in (
                ("ph", (0.0, 14.0)),
                ("aw", (0.0, 1.0)),
                ("h0", (0.0, 50.0)),
                ("start_log10", (-12.0, 15.0)),
                ("max_log10", (-12.0, 15.0)),
            )
        }
        start, most = read["start_log10"], read["max_log10"]
        if most is not None and document.get("start_log10") is None:
            self.fault("max_log10", "needs start_log10 beside it")
        if start is not None and most is not None and most < start:
            self.fault("max_log10", f"{most:g} lies below start_log10 {start:g}")
        return Conditions(read["ph"], read["aw"], read["h0"] or 0.0, start, most)

    def _optional(
        self, where: str, value: Any, bounds: tuple[float, float]
    ) -> float | None:
        return None if value is None else self.number(where, value, bounds)


def _factors(values: Mapping[str, float]) -> Factors:
    """The cardinal values of pH and water activity among the parameters."""
    acidity = [values[key] for key in _CARDINAL_PH if key in values]
    if acidity and len(acidity) < len(_CARDINAL_PH):
        raise ValueError(f"give {', '.join(_CARDINAL_PH)}, or none of them")
    if "aw_opt" in values and "aw_min" not in values:
        raise ValueError("aw_opt needs aw_min beside it")
    return Factors(
        (acidity[0], acidity[1], acidity[2]) if acidity else None,
        (values["aw_min"], values.get("aw_opt", 1.0)) if "aw_min" in values else None,
    )
