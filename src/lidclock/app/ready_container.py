"""The question of a cook: a container of this thickness, from here to there."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from lidclock.app.ready import answer_to
from lidclock.errors import InputError
from lidclock.heat.load import load_foods

# What a place measures where nobody says: common practice, no source.
PLACES_C = {"freezer": -18.0, "fridge": 4.0, "counter": 21.0}
BALL, BAG, TUB, TRAY = "ball", "bag", "tub", "tray"
CONTAINERS = (TUB, BAG, TRAY, BALL)
# Ends that are meant where nobody names one: frozen through, thawed, cold.
_FROZEN_C, _THAWED_C, _COLD_C = -15.0, 0.0, 5.0
# Fridge, by weight: 24 h for each 4 to 5 lb; FSIS as quoted on secondary pages, seen.
_FRIDGE_H_PER_KG = 24 / (4.5 * 0.45359237)


@dataclass(frozen=True, slots=True)
class Container:
    """A container on its way; `to_c` with `to` the name of its place, if it has one."""

    food: str
    shape: str
    thick_mm: float | None
    mass_g: float | None
    from_c: float
    to: str
    to_c: float
    until_c: float | None
    readings: tuple[tuple[float, float], ...] = ()


def container_ready(asked: Container) -> dict[str, Any]:
    """The answer for a container, with the question and the trade's rule beside it.

    InputError says what is missing: a thickness for all but a ball of known mass, and
    an end where none is meant.
    """
    until = _until(asked)
    document = {
        "food": asked.food,
        **sizes_of(asked),
        "start_c": asked.from_c,
        "medium_c": asked.to_c,
        "h_w_m2k": None,
        "until": {"where": "centre", "temp_c": until},
    }
    if asked.readings:
        document["readings"] = [list(one) for one in asked.readings]
    return {
        "question": document,
        "answer": answer_to(document),
        "rule_of_thumb_hours": _rule(asked, until),
    }


def _until(asked: Container) -> float:
    if asked.until_c is not None:
        return asked.until_c
    if asked.to == "freezer":
        return _FROZEN_C
    if asked.from_c < 0 < asked.to_c:
        return _THAWED_C
    if asked.to == "fridge" and asked.from_c > _COLD_C:
        return _COLD_C
    raise InputError("say until which temperature, e.g. --until 15C")


def sizes_of(asked: Container) -> dict[str, Any]:
    """Its shape as the model knows it; a bag and a tray lose heat by their faces."""
    volume_mm3 = _volume_mm3(asked)
    if asked.shape == BALL:
        across = asked.thick_mm
        if across is None and volume_mm3 is not None:
            across = (6 * volume_mm3 / math.pi) ** (1 / 3)
        if across is None:
            raise InputError("a ball: give --thick, how wide it is, or --mass")
        return {"shape": "sphere", "size_mm": [round(across, 1)]}
    if asked.thick_mm is None:
        raise InputError(
            "how thick is it? give --thick, e.g. --thick 50mm: the time goes by that"
        )
    if asked.shape == TUB and volume_mm3 is not None:
        side = round(math.sqrt(volume_mm3 / asked.thick_mm), 1)
        return {"shape": "brick", "size_mm": [asked.thick_mm, side, side]}
    return {"shape": "slab", "size_mm": [asked.thick_mm]}


def _volume_mm3(asked: Container) -> float | None:
    food = load_foods().get(asked.food)
    if asked.mass_g is None or food is None:
        return None
    return asked.mass_g / 1000 / food.composition.density_kg_m3() * 1e9


def _rule(asked: Container, until_c: float) -> float | None:
    """What the trade says of a thaw in a fridge, by weight; None elsewhere."""
    is_thaw = asked.from_c < 0 and asked.to == "fridge" and until_c >= -1
    if not is_thaw or asked.mass_g is None:
        return None
    return round(asked.mass_g / 1000 * _FRIDGE_H_PER_KG, 1)
