"""What probe readings leave of a prediction: narrower, later, or told not to fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lidclock.app.ready_question import Question
from lidclock.heat.films import Film
from lidclock.heat.probe import (
    APART,
    FASTER,
    NARROWED,
    NONE,
    NOTHING,
    PROBE_K,
    SLOWER,
    TOLERANCE_SAYS,
    agrees,
    fit_film,
    turned_back,
)

# Nearer to its medium than this, the end hangs on the medium's temperature more than on
# the film: project notes on heat, section 8; our choice.
_NEAR_K = 2.0
NEAR = (
    "The end is so near to what is around the food that half a degree there counts for "
    "more than the film: measure that too."
)
AGREES, DIFFERS, UNUSED = "agrees", "differs", "unused"
_FITS_NOT = "The prediction does not fit the readings: "
SAYS = {
    NARROWED: "They leave a part of the films.",
    NOTHING: "They fit every film, so they narrow nothing: at first, and while the "
    "middle is near its freezing point, it hardly tells. Read again later.",
    FASTER: f"{_FITS_NOT}the food is ahead of every film. A fan, less thickness, "
    "another start, or a probe that is not in the middle? The hours stay those of the "
    "whole band, which are the later ones.",
    SLOWER: f"{_FITS_NOT}the food lags behind every film of the band. Thicker, a lid, "
    "a stack, or other air? The hours are those of a film that lags as much.",
    APART: f"{_FITS_NOT}no one film agrees with all of them. A probe that moved, a "
    "medium that changed? The hours stay those of the whole band.",
    NONE: f"{_FITS_NOT}the food lags behind any film that could be. Check its start, "
    "the air and its sizes. No hours can be told: measure again.",
    AGREES: "They agree with the film that was given.",
    DIFFERS: f"{_FITS_NOT}the film that was given does not bring the middle there. "
    "Another thickness, a lid, a fan? They change nothing, since the film was given.",
    UNUSED: "They were not used: there are no hours to narrow.",
}


@dataclass(frozen=True, slots=True)
class Weighed:
    """What the readings made of a film: in a word, what is left, what to be told."""

    word: str
    before: Film
    film: Film
    cautions: tuple[str, ...] = ()

    @property
    def has_hours(self) -> bool:
        """Whether any hours can be told with these readings."""
        return self.word != NONE


def weigh(asked: Question, film: Film) -> Weighed:
    """The film that the readings of a question leave.

    A film that was given is only compared with them.
    """
    course = asked.course
    if course.start_c == course.target_c or not course.is_passed:
        return Weighed(UNUSED, film, film, (SAYS[UNUSED],))
    facts = asked.composition, asked.body, course
    if asked.film_w_m2k is not None:
        is_so = agrees(*facts, asked.film_w_m2k, asked.readings)
        word, left = AGREES if is_so else DIFFERS, film
    else:
        fit = fit_film(*facts, film, asked.readings)
        word, left = fit.word, fit.film
    cautions = [] if word in (NARROWED, AGREES) else [SAYS[word]]
    if word == NARROWED and abs(course.medium_c - course.target_c) < _NEAR_K:
        cautions.append(NEAR)
    return Weighed(word, film, left, (*_turned_back(asked), *cautions))


def _turned_back(asked: Question) -> list[str]:
    """A word on readings that rise while food cools, or fall while it warms."""
    first, second = turned_back(asked.course, asked.readings)
    if first != first:
        return []
    is_warming = asked.course.medium_c > asked.course.start_c
    does, ought = ("fall", "warms") if is_warming else ("rise", "cools")
    return [
        f"Readings {does} from {first:g} to {second:g} °C while the food {ought}: a "
        "probe that moved, another container, or a place that changed?"
    ]


def readings_json(
    asked: Question,
    weighed: Weighed,
    hours: dict[str, float] | None,
    before: dict[str, float] | None,
) -> dict[str, Any]:
    """By how much the answer was narrowed, as JSON-ready data."""
    film = weighed.before
    return {
        "count": len(asked.readings),
        "tolerance_k": PROBE_K,
        "tolerance_source": TOLERANCE_SAYS,
        "fit": weighed.word,
        "says": _says(weighed, hours, before),
        "film_before": {"low": film.low, "mid": film.mid, "high": film.high},
        "hours_before": before,
    }


def _says(
    weighed: Weighed, hours: dict[str, float] | None, before: dict[str, float] | None
) -> str:
    if weighed.word != NARROWED or hours is None or before is None:
        return SAYS[weighed.word]
    left, was = (f"{one['low']:.3g} to {one['high']:.3g} h" for one in (hours, before))
    return f"They leave {left} of {was}."
