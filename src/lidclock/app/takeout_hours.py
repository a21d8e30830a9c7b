"""How long a container takes to thaw or to temper, and on whose word."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil
from typing import TYPE_CHECKING

from lidclock.domain.advice import without_commands
from lidclock.domain.foods import Food
from lidclock.domain.planning import FoodPlan
from lidclock.domain.sentences import Figure, Sentence, joined, sentence
from lidclock.plan.takeout import COUNTER, FRIDGE, TEMPER, WATER, Hours

if TYPE_CHECKING:
    from lidclock.heat.films import Film

# Thawed: no ice in the middle. Every food of the model begins to freeze at -0.5 °C or
# below, so at 0 °C it is past the 0.3 K by which ice is gone (docs/ready.md).
THAWED_C = 0.0
# Dough out of the fridge can be worked from some 14 to 16 °C in the middle: project
# notes on heat, section 10; for other food it takes the chill off. Our choice.
TEMPERED_C = 15.0
# Water from the tap in winter; colder is slower. Our choice, as in those notes.
TAP_WATER_C = 12.0
# Categories that are one food of the model of heat, or thaw no slower than it. Soups
# are anything from broth to stew: home-made stock is among the slowest. Steaks and
# chops hold less water than chicken breast.
MODEL_OF = {
    "soup-stew": "chicken-stock",
    "gravy-broth": "chicken-broth",
    "cooked-rice": "rice-cooked",
    "tomato-sauce": "tomato-sauce",
    "milk": "whole-milk",
    "raw-ground-meat": "ground-beef-raw",
    "raw-poultry": "chicken-breast-raw",
    "raw-steaks": "chicken-breast-raw",
    "raw-chops": "chicken-breast-raw",
    "raw-roasts": "chicken-breast-raw",
    "yeast-dough-raw": "bread-dough-lean",
}
# The rule by weight is the authority's for whole cuts of meat and poultry.
BY_WEIGHT = frozenset({"raw-meat", "raw-poultry"})
# A day in the fridge for each 5 lb: USDA FSIS, Big Thaw, 2013, on a secondary page
# (target us.home.thaw.fridge.rate); 4 lb, and a full day for a pound, as quoted in
# project notes on heat, section 4.
_QUICK_G, _SLOW_G, _DAY_H = 5 * 453.59237, 4 * 453.59237, 24.0
WEIGHT_SOURCE = sentence(
    "by weight, a day in the fridge for 4 to 5 lb and no less (FSIS, quoted)"
)
PREDICTED = sentence(
    "The hours of the model are a prediction, which moves no limit: feel that no ice "
    "is left, or measure the middle."
)
OWN_SOURCE = sentence("this kitchen's own hours")
WEIGHT_CAUTION = sentence(
    "A rule by weight is 1.5 to 2.7 times too short for thick solid blocks: give the "
    "thickness."
)
# Flat on wood one face hangs on a bench that chills: 108 and 144 min where air on both
# faces takes 97 and 122 (7 W/m²K, dough of 12 and 15 mm, to 5 °C): project notes on
# heat, section 10, our own computation. Rounded up.
_ON_A_BENCH = 1.2
BENCH_CAUTION = sentence(
    "Flat on a bench it is slower than on a rack, as the slow case allows for. Moving "
    "it to a fresh spot helps; turning it over on the same one does not."
)
_FLAT = ("bag", "tray")
_STEP_G = 50.0
_NODES = 8
# What can be meant of a container that somebody takes out for a meal; our choice.
_THICK_MM, _OWN_H = (1.0, 300.0), (0.1, 1000.0)


@dataclass(frozen=True, slots=True)
class Told:
    """The hours of each way that somebody can tell, and what to ask about the rest."""

    hours: Mapping[str, Hours]
    asks: tuple[str, ...] = ()


def thaw_hours(food: Food, plan: FoodPlan, mass_g: float | None, kind: str) -> Told:
    """The hours out of a freezer: into a fridge, onto a counter, into cold water.

    The kitchen's own hours come first, then the model of heat, then for whole cuts of
    meat the trade's rule by weight; `kind` is the food's category, or a group above it
    that the rule is about.
    """
    model = model_of(food, plan)
    hours: dict[str, Hours] = {}
    if model and _has_size(plan, mass_g):
        size = _size(plan, mass_g, model)
        bands, body = _thaw_bands(size)
        source = _source(size, body, food, plan)
        hours = {
            name: Hours(*band, source, (PREDICTED,)) for name, band in bands.items()
        }
        hours[COUNTER] = _on_a_bench(hours[COUNTER], plan)
    elif mass_g is not None and kind in BY_WEIGHT:
        hours[FRIDGE] = by_weight(mass_g)
    if plan.thaw_h is not None and _OWN_H[0] <= plan.thaw_h <= _OWN_H[1]:
        hours[FRIDGE] = _own(plan.thaw_h, hours.get(FRIDGE))
    return Told(hours, tuple(_asks(food, plan, mass_g, has_model=bool(model))))


def _own(own_h: float, others: Hours | None) -> Hours:
    """The kitchen's own hours, with a word where others say longer even at best."""
    cautions: tuple[str, ...] = ()
    if others is not None and own_h < others.low:
        cautions = (
            sentence(
                "By the {source} it takes {low} to {high} h, longer than this kitchen "
                "says: feel that no ice is left.",
                source=others.source,
                low=Figure(f"{others.low:.0f}"),
                high=Figure(f"{others.high:.0f}"),
            ),
        )
    return Hours(own_h, own_h, own_h, OWN_SOURCE, cautions)


def temper_hours(food: Food, plan: FoodPlan, mass_g: float | None) -> Told:
    """The hours out of a fridge, on a counter, until the middle has lost its chill.

    The kitchen's own hours stand for all others.
    """
    if plan.temper_h is not None:
        own = plan.temper_h
        return Told({TEMPER: Hours(own, own, own, OWN_SOURCE)})
    model = model_of(food, plan)
    asks = tuple(_asks(food, plan, mass_g, has_model=bool(model)))
    if not model or not _has_size(plan, mass_g):
        return Told({}, asks)
    size = _size(plan, mass_g, model)
    band, body = _temper_band(size)
    source = _source(size, body, food, plan)
    hours = _on_a_bench(Hours(*band, source, (PREDICTED,)), plan)
    return Told({TEMPER: hours}, asks)


def _on_a_bench(hours: Hours, plan: FoodPlan) -> Hours:
    """The same for something flat whose lower face may lie on a bench."""
    if plan.shape not in _FLAT:
        return hours
    cautions = (*hours.cautions, BENCH_CAUTION)
    return replace(hours, high=hours.high * _ON_A_BENCH, cautions=cautions)


def by_weight(mass_g: float) -> Hours:
    """The trade's rule for whole cuts in a fridge, shown as such."""
    low = max(_DAY_H, _DAY_H * mass_g / _QUICK_G)
    high = max(_DAY_H, _DAY_H * mass_g / _SLOW_G)
    return Hours(low, (low + high) / 2, high, WEIGHT_SOURCE, (WEIGHT_CAUTION,))


def model_of(food: Food, plan: FoodPlan) -> str:
    """The food of the model that stands for it, empty where none does."""
    name = plan.model or MODEL_OF.get(food.category, "")
    if not plan.model:
        return name
    from lidclock.heat.load import load_foods

    return name if name in load_foods() else ""


def _has_size(plan: FoodPlan, mass_g: float | None) -> bool:
    """Whether its thickness is known, and can be; a ball's follows from its mass."""
    if plan.thick_mm is None:
        return plan.shape == "ball" and mass_g is not None
    return _THICK_MM[0] <= plan.thick_mm <= _THICK_MM[1]


def _asks(
    food: Food, plan: FoodPlan, mass_g: float | None, *, has_model: bool
) -> list[str]:
    name = shlex.quote(food.name)
    asks: list[str] = []
    if not _has_size(plan, mass_g):
        command = f"`lidclock plan food {name} --thick 50mm`"
        asks.append(_asked(sentence("how thick is it?"), command))
    if not has_model:
        command = f"`lidclock plan food {name} --model beef-stew`"
        command += " (`lidclock ready --list`)"
        asks.append(_asked(sentence("what is it like?"), command))
    return asks


def _asked(question: str, command: str) -> str:
    return joined("{question} {command}", question=question, command=command)


def question_of(ask: str) -> str:
    """What would settle it, without the command that does."""
    values = ask.values if isinstance(ask, Sentence) else {}
    return values.get("question") or without_commands(ask)


@dataclass(frozen=True, slots=True)
class _Size:
    """A container as the model is asked; boxes of one batch share an answer."""

    model: str
    shape: str
    thick_mm: float | None
    mass_g: float | None


def _size(plan: FoodPlan, mass_g: float | None, model: str) -> _Size:
    """Its mass rounded up to 50 g, which can only take longer."""
    if mass_g is not None:
        mass_g = _STEP_G * ceil(mass_g / _STEP_G)
    return _Size(model, plan.shape, plan.thick_mm, mass_g)


def _source(size: _Size, body: str, food: Food, plan: FoodPlan) -> str:
    """`model of heat: chicken-stock, brick 50 x 84 x 84 mm`, with what was taken."""
    if plan.model:
        return sentence("model of heat, {model}, {body}", model=size.model, body=body)
    return sentence(
        "model of heat, {model} (its category is {category}), {body}",
        model=size.model,
        category=food.category,
        body=body,
    )


Band = tuple[float, float, float]


# In process, by food of the model, shape, thickness and rounded mass: a solver takes
# some 40 ms for all three ways.
@lru_cache(maxsize=256)
def _thaw_bands(size: _Size) -> tuple[dict[str, Band], str]:
    """Hours into each medium, solved side by side, and the body that was taken."""
    from lidclock.app.ready_container import PLACES_C
    from lidclock.heat.films import COUNTER as ROOM
    from lidclock.heat.films import FRIDGE as COLD
    from lidclock.heat.films import WATER as TAP

    cold_c, room_c = PLACES_C["fridge"], PLACES_C["counter"]
    mediums = ((cold_c, COLD), (room_c, ROOM), (TAP_WATER_C, TAP))
    found, body = _predicted(size, PLACES_C["freezer"], THAWED_C, mediums)
    return dict(zip((FRIDGE, COUNTER, WATER), found, strict=True)), body


@lru_cache(maxsize=256)
def _temper_band(size: _Size) -> tuple[Band, str]:
    from lidclock.app.ready_container import PLACES_C
    from lidclock.heat.films import COUNTER as ROOM

    mediums = ((PLACES_C["counter"], ROOM),)
    found, body = _predicted(size, PLACES_C["fridge"], TEMPERED_C, mediums)
    return found[0], body


def _predicted(
    size: _Size,
    start_c: float,
    until_c: float,
    mediums: Sequence[tuple[float, Film]],
) -> tuple[list[Band], str]:
    """Low, mid and high hours in each medium, and the body in words."""
    from lidclock.app.ready_container import Container, sizes_of
    from lidclock.heat.load import load_foods
    from lidclock.heat.predict import Body, Course, predict_each

    asked = Container(
        *(size.model, size.shape, size.thick_mm, size.mass_g),
        *(start_c, "", mediums[0][0], until_c),
    )
    sizes = sizes_of(asked)
    told = predict_each(
        load_foods()[size.model].composition,
        Body(sizes["shape"], tuple(one / 1000 for one in sizes["size_mm"])),
        [Course(start_c, medium_c, until_c) for medium_c, _ in mediums],
        [film.all for _, film in mediums],
        nodes=_NODES,
    )
    words = " x ".join(f"{one:.0f}" for one in sizes["size_mm"])
    bands = [(low, mid, high) for low, mid, high in (one.hours for one in told)]
    return bands, _BODIES[sizes["shape"]](words)


_BODIES: Mapping[str, Callable[[str], str]] = {
    "sphere": lambda size: sentence("sphere of {size} mm", size=size),
    "brick": lambda size: sentence("brick of {size} mm", size=size),
    "slab": lambda size: sentence("slab of {size} mm", size=size),
}
