"""Reads the question of a what-if of cooling, freezing, thawing or tempering."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lidclock.app.documents import Reader, parsed, shown
from lidclock.heat.bodies import CENTRE, CYLINDER, SLAB, SPHERE
from lidclock.heat.components import PARTS
from lidclock.heat.load import Food
from lidclock.heat.predict import BRICK, SHAPES, WHERES, Body, Course
from lidclock.heat.properties import SUM_SLACK, Composition

_KEYS = frozenset(
    {"food", "shape", "size_mm", "start_c", "medium_c", "h_w_m2k", "until", "readings"}
)
_FOOD_KEYS = frozenset({*PARTS, "freezing_c"})
_UNTIL_KEYS = frozenset({"where", "temp_c"})
# The figures of the parts of food hold from -40 °C (Choi and Okos 1986); nothing in a
# kitchen's container is hotter than a pressure cooker.
_TEMPS = (-40.0, 120.0)
_FREEZING = (-40.0, -0.01)
_SIZES_MM = (1.0, 2000.0)
# From food wrapped in foam to food in boiling water.
_FILMS = (0.1, 10_000.0)
# Readings of one probe in one container, within some weeks; our choice.
_TIMES_H = (0.0, 1000.0)
_MOST_READINGS = 50
_SIZE_WORDS = {
    SLAB: "[thickness]",
    CYLINDER: "[diameter, length], the length null where it is endless",
    SPHERE: "[diameter]",
    BRICK: "[side, side, side]",
}
_SIZE_COUNTS = {SLAB: 1, CYLINDER: 2, SPHERE: 1, BRICK: 3}


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked. `food` is None where a composition was given instead of a name.

    No film coefficient means that it is not known. `readings` are of the centre: hours
    since the start and °C, each later than the one before.
    """

    food: Food | None
    composition: Composition
    parts_sum: float
    body: Body
    course: Course
    film_w_m2k: float | None
    readings: tuple[tuple[float, float], ...] = ()


def read_question(text: str, foods: Mapping[str, Food]) -> Question:
    """The question in the document `text`; InputError names every fault found."""
    return question_in(parsed(text), foods)


def question_in(document: Mapping[str, Any], foods: Mapping[str, Food]) -> Question:
    """The question in a document that has been read."""
    reader = _Reader(foods)
    reader.refuse_strays("document", document, _KEYS)
    course = reader.course(document)
    body = reader.body(document)
    film = document.get("h_w_m2k")
    if film is not None:
        film = reader.number("h_w_m2k", film, _FILMS)
    food = reader.food(document.get("food"), course)
    readings = reader.readings(document.get("readings"))
    reader.end()
    # Whatever could not be read left a fault.
    assert course is not None
    assert body is not None
    assert food is not None
    found, composition, parts_sum = food
    return Question(found, composition, parts_sum, body, course, film, readings)


class _Reader(Reader):
    """Reads one document and gathers what is wrong with it."""

    def __init__(self, foods: Mapping[str, Food]) -> None:
        super().__init__()
        self._foods = foods

    def course(self, document: Mapping[str, Any]) -> Course | None:
        """From where, in which medium, until when."""
        start = self.number("start_c", document.get("start_c"), _TEMPS)
        medium = self.number("medium_c", document.get("medium_c"), _TEMPS)
        until = document.get("until")
        if not isinstance(until, dict):
            self.fault(
                "until",
                'write {"where": "centre", "temp_c": a temperature}, '
                f"not {shown(until)}",
            )
            return None
        self.refuse_strays("until", until, _UNTIL_KEYS)
        target = self.number("until.temp_c", until.get("temp_c"), _TEMPS)
        where = self._one_of("until.where", until.get("where", CENTRE), WHERES)
        if start is None or medium is None or target is None or where is None:
            return None
        return Course(start, medium, target, where)

    def body(self, document: Mapping[str, Any]) -> Body | None:
        """The shape and its sizes, in metres."""
        shape = self._one_of("shape", document.get("shape"), SHAPES)
        sizes = document.get("size_mm")
        if shape is None:
            return None
        if not isinstance(sizes, list) or len(sizes) != _SIZE_COUNTS[shape]:
            what = f"a {shape} has {_SIZE_WORDS[shape]} in mm, not {shown(sizes)}"
            self.fault("size_mm", what)
            return None
        read: list[float | None] = []
        for index, size in enumerate(sizes):
            if shape == CYLINDER and index == 1 and size is None:
                read.append(None)
                continue
            length = self.number(f"size_mm[{index}]", size, _SIZES_MM)
            if length is None:
                return None
            read.append(length / 1000)
        return Body(shape, tuple(read))

    def food(
        self, value: Any, course: Course | None
    ) -> tuple[Food | None, Composition, float] | None:
        """The food named, or made of these parts; what its parts add up to."""
        if isinstance(value, dict):
            return self._composed(value, course)
        found = self._foods.get(value) if isinstance(value, str) else None
        if found is None:
            known = ", ".join(self._foods)
            self.fault(
                "food",
                f"{shown(value)} is not known; take one of {known}, or give its mass "
                "fractions",
            )
            return None
        return found, found.composition, 1.0

    def _composed(
        self, value: Mapping[str, Any], course: Course | None
    ) -> tuple[None, Composition, float] | None:
        before = len(self.faults)
        self.refuse_strays("food", value, _FOOD_KEYS)
        parts = {
            part: self.number(f"food.{part}", value.get(part, 0.0), (0.0, 1.0))
            for part in PARTS
        }
        freezing = self._freezing(value.get("freezing_c"), course)
        if len(self.faults) > before or freezing is None:
            return None
        shares = {part: share for part, share in parts.items() if share is not None}
        total = sum(shares.values())
        if abs(total - 1) > SUM_SLACK:
            self.fault(
                "food",
                f"the parts add up to {total:.4g}, not to 1; mass fractions are "
                "wanted, for instance 0.74 of water",
            )
            return None
        return None, Composition(**shares, freezing_c=freezing), total

    def _freezing(self, value: Any, course: Course | None) -> float | None:
        """The freezing point; any will do where nothing comes below 0 °C."""
        is_warm = course is not None and not (
            min(course.start_c, course.medium_c, course.target_c) < 0
        )
        if value is None and is_warm:
            return -1.0
        if value is None:
            self.fault(
                "food.freezing_c",
                "is missing; give the temperature at which the food begins to freeze "
                "(-0.5 to -2 for most cooked food)",
            )
            return None
        return self.number("food.freezing_c", value, _FREEZING)

    def readings(self, value: Any) -> tuple[tuple[float, float], ...]:
        """Hours and temperatures of the centre, in the order they were taken."""
        if value is None:
            return ()
        if not isinstance(value, list) or len(value) > _MOST_READINGS:
            what = f"write [[hours, temp_c], ...], not {shown(value)}"
            if isinstance(value, list):
                what = f"at most {_MOST_READINGS} are taken; these are {len(value)}"
            self.fault("readings", what)
            return ()
        found: list[tuple[float, float]] = []
        for index, one in enumerate(value):
            where = f"readings[{index}]"
            if not isinstance(one, list) or len(one) != 2:
                self.fault(where, f"write [hours, temp_c], not {shown(one)}")
                continue
            time_h = self.number(f"{where}, hours", one[0], _TIMES_H)
            temp_c = self.number(f"{where}, temp_c", one[1], _TEMPS)
            if time_h is None or temp_c is None:
                continue
            if found and time_h <= found[-1][0]:
                what = f"{time_h:g} h does not come after {found[-1][0]:g} h"
                self.fault(where, f"{what}; give them in the order they were taken")
            found.append((time_h, temp_c))
        return tuple(found)

    def _one_of(self, where: str, value: Any, known: tuple[str, ...]) -> str | None:
        if isinstance(value, str) and value in known:
            return value
        self.fault(where, f"{shown(value)} is not one of {', '.join(known)}")
        return None
