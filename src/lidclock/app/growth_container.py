"""What a growth model makes of one container: a warning beside its limits, no more."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from lidclock.app.food_course import FOOD, Assumed, Stretch, food_course
from lidclock.app.temp_course import courses_in
from lidclock.app.temp_limits import limit_of
from lidclock.clock.parts import goes_on
from lidclock.domain.codes import spaced
from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.domain.kitchens import Place
from lidclock.errors import InputError, UnknownThingError
from lidclock.kinetics.load import load_library
from lidclock.kinetics.organisms import Organism
from lidclock.kinetics.predict import (
    HOT_C,
    Band,
    Conditions,
    cautions_of,
    eligible,
    looked_at_words,
    verified_pathogens,
)
from lidclock.kinetics.unfolding import Leg, Unfolding, severity, worst_unfolding

if TYPE_CHECKING:
    from lidclock.app.session import Session, Unit, View
    from lidclock.app.temp_course import CourseOf
    from lidclock.guidance.sets import GuidanceSet

# A thousandfold. Our choice: the law that is worst in a fridge is the quickest that was
# seen, and its high figure twice that.
DOUBLINGS = 10.0
MOST_DOUBLINGS = 100.0
COOLING = (
    "While the food cooled from the heat nothing was counted: a cool is judged by the "
    "stages of the guidance set, never by a model without a lag."
)
_HOUR = timedelta(hours=1)
# Whose past, its stretches, what is made of them, and a note on the organisms.
_Told = tuple[str, tuple[Stretch, ...], Unfolding | None, str]
# Where a set has no limit for hot holding: that of the Food Code, 135 °F.
_HOT_C = 57.2


@dataclass(frozen=True, slots=True)
class Asked:
    """What to count: an organism by id, or the worst; after how many doublings."""

    organism: str = ""
    doublings: float = DOUBLINGS
    room_c: float | None = None


@dataclass(frozen=True, slots=True)
class Passing:
    """When one figure of the band passes the doublings; `early` before the last moment.

    `early` is None where it passes later, or where there is no last moment.
    """

    figure: str
    at: datetime
    early: timedelta | None


@dataclass(frozen=True, slots=True)
class Foretold:
    """A container, the temperatures it had, and what the model makes of them.

    `unfolding` is None where no organism applies. `part` names the ingredient whose
    past is the worse one. `is_known` is False where the answer is unknown, for the
    first of the reasons in `unknown`.
    """

    view: View
    asked: Asked
    stretches: tuple[Stretch, ...]
    until: datetime
    last_moment: datetime | None
    unfolding: Unfolding | None
    by_now: Band | None
    by_last: Band | None
    passings: tuple[Passing, ...]
    validity: str
    is_known: bool
    unknown: tuple[str, ...]
    cautions: tuple[str, ...]
    part: str = ""

    @property
    def warning(self) -> Passing | None:
        """The first figure that passes the doublings before the last moment."""
        early = [one for one in self.passings if one.early is not None]
        return min(early, key=lambda one: one.at, default=None)

    @property
    def origin(self) -> datetime:
        """When the counting began."""
        return self.stretches[0].began if self.stretches else self.until

    def hours(self, at: datetime) -> float:
        """Hours since the counting began."""
        return (at - self.origin) / _HOUR


def foretell(unit: Unit, code: str, asked: Asked) -> Foretold:
    """What the model makes of the container that was typed or scanned.

    Nothing is recorded and no limit is moved: the verdict is read, never made here.
    UnknownThingError for an organism, InputError for doublings that mean nothing.
    """
    view = unit.view(unit.find(code).code)
    return foretell_view(view, unit.session, courses_in(unit), asked)


def foretell_view(
    view: View, session: Session, find: CourseOf, asked: Asked
) -> Foretold:
    """The same for a container that was looked up; `find` tells what its places did."""
    if not 0 < asked.doublings <= MOST_DOUBLINGS:
        raise InputError(
            f"doublings must lie above 0 and within {MOST_DOUBLINGS:g}, "
            f"not {asked.doublings:g}"
        )
    history = view.inventory.history_of(view.container)
    until = max(session.now, view.verdict.last_moment or session.now)
    assumed = _assumed(session, asked)
    under = Conditions(view.food.ph, view.food.aw)
    told: list[_Told] = []
    for part, past in _pasts(view.food, history, session.guidance):
        stretches = tuple(food_course(past, find, assumed, until))
        if stretches:
            was_hot = _was_hot(view, stretches)
            organisms, note = _organisms(view, asked, under, was_hot=was_hot)
            legs = _legs(stretches, is_cool=_is_cool(view, stretches))
            found = worst_unfolding(legs, organisms, under, asked.doublings)
            told.append((part, stretches, found, note))
    if not told:
        return _nothing(view, asked, until)
    worst = max(told, key=lambda one: _severity(one, asked.doublings))
    return _foretold(view, asked, session, worst, until)


def _severity(told: _Told, doublings: float) -> tuple[float, float, float]:
    """As `severity`, counted from one instant for every past."""
    _, stretches, found, _ = told
    if found is None:
        return (-math.inf, -1.0, -1.0)
    passed, high, mid = severity(found, doublings)
    return (passed - stretches[0].began.timestamp() / _HOUR.total_seconds(), high, mid)


def _foretold(
    view: View,
    asked: Asked,
    session: Session,
    told: _Told,
    until: datetime,
) -> Foretold:
    part, stretches, unfolding, note = told
    last_moment = view.verdict.last_moment
    origin = stretches[0].began
    unknown = list(_not_known(view, stretches))
    if unfolding is None:
        unknown.insert(0, note)
        return Foretold(
            view, asked, stretches, until, last_moment, None, None, None, (), "",
            is_known=False, unknown=tuple(unknown), cautions=(), part=part,
        )  # fmt: skip
    is_within, validity = unfolding.range()
    if is_within is not True:
        unknown.insert(0, validity)
    cautions = list(cautions_of(unfolding.organism, unfolding.under))
    if any(leg.is_cool for leg in unfolding.legs):
        cautions.append(COOLING)
    if note:
        cautions.append(note)
    return Foretold(
        view,
        asked,
        stretches,
        until,
        last_moment,
        unfolding,
        _band_at(unfolding, (min(session.now, stretches[-1].ended) - origin) / _HOUR),
        _band_at(unfolding, (last_moment - origin) / _HOUR) if last_moment else None,
        tuple(_passings(unfolding, asked.doublings, origin, last_moment)),
        validity,
        is_known=is_within is True,
        unknown=tuple(unknown),
        cautions=tuple(cautions),
        part=part,
    )


def _nothing(view: View, asked: Asked, until: datetime) -> Foretold:
    lacking = "no stay is recorded: say when it was made or where it was put"
    return Foretold(
        view, asked, (), until, view.verdict.last_moment, None, None, None, (), "",
        is_known=False, unknown=(lacking,), cautions=(),
    )  # fmt: skip


def _assumed(session: Session, asked: Asked) -> Assumed:
    guidance = session.guidance
    hot = limit_of(Place("", "hot"), guidance)
    plain = Assumed(guidance.cold_c, hot.limit_c if hot else _HOT_C)
    if asked.room_c is None:
        return plain
    return Assumed(plain.fridge, plain.hot, asked.room_c)


def _pasts(
    food: Food, history: History, guidance: GuidanceSet
) -> Iterator[tuple[str, History]]:
    """The container's own past, and those of what went into it and goes on in it."""
    yield "", history
    plan = guidance.plan_for(food)
    is_cooked = plan.category is not None and plan.category.is_heated
    for part in history.components:
        if goes_on(part, history, plan, guidance):
            past = part.history.mixed_into(history, is_cooked=is_cooked)
            for inner, whole in _pasts(part.food, past, guidance):
                yield inner or part.name, whole


def _legs(stretches: Sequence[Stretch], *, is_cool: bool) -> list[Leg]:
    origin_s = float(stretches[0].course.times[0])
    return [
        Leg(
            (one.course.times - origin_s) / _HOUR.total_seconds(),
            one.course.temps,
            is_cool=is_cool and one.known == FOOD,
        )
        for one in stretches
    ]


def _was_hot(view: View, stretches: Sequence[Stretch]) -> bool:
    """Whether its spores are judged by the stages of cooling.

    They are where it was hot, has a cooling log, or comes hot off the stove.
    """
    category = view.verdict.plan.category
    is_cooked = category is not None and category.is_cooked
    return is_cooked or _is_cool(view, stretches)


def _is_cool(view: View, stretches: Sequence[Stretch]) -> bool:
    """Whether what was read of the food tells of a cool from the heat."""
    hottest = max(float(one.course.temps.max()) for one in stretches)
    return view.container.cooling is not None or hottest >= HOT_C


def _organisms(
    view: View, asked: Asked, under: Conditions, *, was_hot: bool
) -> tuple[list[Organism], str]:
    """Those to count, and what was made of the others; or none, and why."""
    library = load_library().organisms
    if asked.organism:
        if asked.organism not in library:
            known = ", ".join(library)
            raise UnknownThingError(
                f"no organism {asked.organism!r}; take one of {known}, or leave "
                "--organism out for the worst"
            )
        return [library[asked.organism]], ""
    category = view.verdict.plan.category
    if category is not None and category.tcs == "no":
        return [], (
            f"no organism with a law here applies to {category.name}: it needs no "
            "time or temperature control, and these laws say nothing of it"
        )
    known_ones = verified_pathogens(library.values())
    found = eligible(known_ones, under, was_hot=was_hot)
    if not found:
        return [], (
            "no organism with a law here applies: every list of growth limits rules "
            f"them out at {_condition_words(under)}; that is not known to be no growth"
        )
    return found, looked_at_words(known_ones, found, was_hot=was_hot)


def _condition_words(under: Conditions) -> str:
    parts = [
        f"{name} {value:g}"
        for name, value in (("pH", under.ph), ("water activity", under.aw))
        if value is not None
    ]
    return " and ".join(parts)


def _band_at(unfolding: Unfolding, hours: float) -> Band:
    last = float(unfolding.legs[-1].times_h[-1])
    low, mid, high = unfolding.band(np.array([min(max(hours, 0.0), last)]))
    return Band(float(low[0]), float(mid[0]), float(high[0]))


def _passings(
    unfolding: Unfolding,
    doublings: float,
    origin: datetime,
    last_moment: datetime | None,
) -> Iterator[Passing]:
    for figure, hours in zip(
        ("high", "middle"), unfolding.passes(doublings), strict=True
    ):
        if hours is None:
            continue
        at = origin + hours * _HOUR
        is_early = last_moment is not None and at < last_moment
        early = last_moment - at if is_early and last_moment else None
        yield Passing(figure, at, early)


def _not_known(view: View, stretches: Sequence[Stretch]) -> Iterator[str]:
    """What the temperatures leave out, so that the model tells the least of it."""
    category = view.verdict.plan.category
    cools = [one for one in stretches if one.known == FOOD]
    if cools:
        last_c = float(cools[-1].course.temps[-1])
        after = [one for one in stretches if one.began >= cools[-1].ended]
        if after and last_c > float(after[0].course.temps.max()):
            yield (
                f"how the food cooled on from {last_c:g} °C: nobody measured it, and "
                "it counts as warm as its place; the figures tell the least of it"
            )
    elif category is not None and category.is_cooked:
        yield (
            "the food's own warmth while it cooled: not measured, not counted; the "
            "figures tell the least of it"
        )
    if view.container.reheated:
        yield "what reheating undid: not counted, the figures go on from before"


def name_of(told: Foretold) -> str:
    """`4F7 K2M0  bean stew`."""
    return f"{spaced(told.view.code)}  {told.view.food.name}"
