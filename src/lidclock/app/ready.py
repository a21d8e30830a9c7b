"""What-if for heat: when a container is cooled, frozen through, thawed or tempered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from lidclock.app.ready_question import Question, question_in, read_question
from lidclock.app.ready_readings import Weighed, readings_json, weigh
from lidclock.heat.bodies import MEAN
from lidclock.heat.films import Film, film_in_air
from lidclock.heat.load import WAYS, Food, load_foods
from lidclock.heat.predict import DIVIDED, HOW, PRODUCT, Prediction, predict
from lidclock.heat.second import second_opinion

# Above its freezing point by this no ice is left in food: project notes on heat,
# section 0, our choice.
NO_ICE_ABOVE_K = 0.3
# Food with more water than this may move while it is warm; our choice.
_THIN = 0.85

PREDICTED = (
    "A prediction, which moves no limit and no date: go by the guidance set in force, "
    "and measure the middle before you rely on it."
)


def ready(text: str) -> dict[str, Any]:
    """The prediction for the document `text`, as JSON-ready data.

    InputError names every place in the document that is wrong, and what to do. A target
    that the medium never brings about has no hours, and a caution that says so.
    """
    return _told(read_question(text, load_foods()))


def answer_to(document: Mapping[str, Any]) -> dict[str, Any]:
    """The same for a document that another part of the program has put together."""
    return _told(question_in(document, load_foods()))


def _told(asked: Question) -> dict[str, Any]:
    film = _film(asked)
    weighed = weigh(asked, film) if asked.readings else None
    course = asked.course
    if course.target_c == course.start_c:
        hours = dict.fromkeys(("low", "mid", "high"), 0.0)
        return _answer(asked, film, None, hours, weighed)
    if not course.is_passed or (weighed and not weighed.has_hours):
        return _answer(asked, film, None, None, weighed)
    used = weighed.film if weighed else film
    films: tuple[float, ...] = (film.mid,)
    if film.low < film.high:
        # What it would be without the readings is solved beside it.
        films = (*used.all, *film.all) if weighed else used.all
    told = predict(asked.composition, asked.body, course, films)
    hours = _band(told.hours[:3])
    before = _band(told.hours[-3:])
    return _answer(asked, used, told, hours, weighed, before=before)


def _band(hours: Sequence[float]) -> dict[str, float]:
    read = [round(one, 4) for one in hours]
    return {"low": read[0], "mid": read[len(read) // 2], "high": read[-1]}


def foods() -> list[dict[str, Any]]:
    """Every food that a question may name, with its parts and where they come from."""
    return [{"id": one.id, **_food_json(one)} for one in load_foods().values()]


def _film(asked: Question) -> Film:
    if asked.film_w_m2k is None:
        return film_in_air(asked.course.medium_c)
    return Film("as given", *(asked.film_w_m2k,) * 3)


def _answer(
    asked: Question,
    film: Film,
    told: Prediction | None,
    hours: dict[str, float] | None,
    weighed: Weighed | None,
    *,
    before: dict[str, float] | None = None,
) -> dict[str, Any]:
    factor = told.factors[min(1, len(told.factors) - 1)] if told else 1.0
    read = readings_json(asked, weighed, hours, before) if weighed else None
    cautions = _cautions(asked, film, told, hours, weighed)
    return {
        "hours": hours,
        "method": told.method if told else None,
        "method_says": HOW[told.method] if told else None,
        "shape_factor": round(factor, 4) if told and told.method == DIVIDED else None,
        "closed_form": _second_json(asked, film) if told else None,
        "film_w_m2k": {"low": film.low, "mid": film.mid, "high": film.high},
        "film": film.name,
        "readings": read,
        "food": _used_json(asked),
        "cautions": cautions,
    }


def _second_json(asked: Question, film: Film) -> dict[str, Any] | None:
    """What a formula in one line makes of it with the middle film, if one fits."""
    second = second_opinion(asked.composition, asked.body, asked.course, film.mid)
    if second is None:
        return None
    return {"method": second.method, "hours": round(second.hours, 4)}


def _cautions(
    asked: Question,
    film: Film,
    told: Prediction | None,
    hours: dict[str, float] | None,
    weighed: Weighed | None,
) -> list[str]:
    found = [PREDICTED]
    course = asked.course
    if hours is None and not course.is_passed:
        found.insert(0, _never(asked))
    elif hours is not None and told is None:
        found.insert(0, f"It starts at {course.target_c:g} °C: nothing to wait for.")
    if weighed:
        found[:0] = weighed.cautions
    if told and asked.film_w_m2k is None:
        found.append(
            f"The film coefficient is not known: {film.name} is taken for it, "
            f"{film.low:.3g} to {film.high:.3g} W/m²K, from correlations, not measured."
            " A fan, a lid, a stack or a shelf changes it; a reading narrows it."
        )
    if told:
        found += _of_method(asked, told)
        found += _of_food(asked)
    if abs(asked.parts_sum - 1) > 1e-9:
        found.append(
            f"The parts add up to {asked.parts_sum:.4g}; taken as shares of 1."
        )
    return found


def _never(asked: Question) -> str:
    course = asked.course
    if course.target_c == course.medium_c:
        why = f"comes ever closer to {course.medium_c:g} °C and never passes it"
    else:
        why = (
            f"goes from {course.start_c:g} towards {course.medium_c:g} °C, and "
            f"{course.target_c:g} °C does not lie between"
        )
    return f"No hours: the food {why}."


def _of_method(asked: Question, told: Prediction) -> list[str]:
    found = []
    if told.method == DIVIDED:
        found.append(
            "The shape factor was within 7 % of nine bricks frozen or thawed through, "
            "computed in three dimensions; elsewhere it is rougher. Its coefficients "
            "are from memory."
        )
        if asked.course.where == MEAN:
            found.append("It was made for the centre; for the mean it is a guess.")
    if told.method == PRODUCT:
        found.append("Properties are taken in the middle of the temperatures.")
    return found


def _of_food(asked: Question) -> list[str]:
    course, food = asked.course, asked.composition
    found = []
    coldest = min(course.start_c, course.medium_c)
    if asked.food and coldest < food.freezing_c:
        found.append(
            f"The freezing point, {food.freezing_c:g} °C, is "
            f"{WAYS[asked.food.freezing]}."
        )
    is_thawing = course.start_c < food.freezing_c < course.medium_c
    if is_thawing and course.target_c < food.freezing_c + NO_ICE_ABOVE_K:
        found.append(
            f"Ice is left at {course.target_c:g} °C; none is from "
            f"{food.freezing_c + NO_ICE_ABOVE_K:g} °C in the centre."
        )
    if food.water > _THIN and max(course.start_c, course.medium_c) > 5:
        found.append("A thin liquid moves while it is warm, and is quicker than this.")
    return found


def _used_json(asked: Question) -> dict[str, Any]:
    food = asked.composition
    used: dict[str, Any] = {
        "id": asked.food.id if asked.food else None,
        "freezing_c": food.freezing_c,
        "density_kg_m3": round(food.density_kg_m3(), 1),
    }
    if asked.food:
        used |= {"source": _source(asked.food)}
    return used


def _food_json(food: Food) -> dict[str, Any]:
    parts = food.composition
    return {
        "name": food.name,
        "water": parts.water,
        "protein": parts.protein,
        "fat": parts.fat,
        "carbohydrate": parts.carbohydrate,
        "fibre": parts.fibre,
        "ash": parts.ash,
        "freezing_c": parts.freezing_c,
        "freezing": WAYS[food.freezing],
        "source": _source(food),
    }


def _source(food: Food) -> dict[str, str]:
    return {
        "document": food.document,
        "year": food.year,
        "number": food.number,
        "seen": food.seen,
    }
