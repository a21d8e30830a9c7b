"""When to take a container out so that it is ready: the ways, put to the clock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta

from lidclock.app.planning import choices_of
from lidclock.app.session import Unit, View
from lidclock.app.takeout_hours import Told, temper_hours, thaw_hours
from lidclock.clock import Verdict
from lidclock.domain.codes import spaced
from lidclock.domain.history import History, Placing, Stay
from lidclock.domain.moments import DAY, local_date, say_moment
from lidclock.domain.phrases import with_commas
from lidclock.domain.planning import Choices, FoodPlan
from lidclock.domain.sentences import quoted, sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError, RefusedError
from lidclock.plan.takeout import (
    COUNTER,
    FRIDGE,
    FROZEN,
    STRAIGHT,
    TEMPER,
    WATER,
    Hours,
    Option,
    Takeout,
    Way,
    chosen_among,
    weighed,
)

_A_PLACE = {"fridge": sentence("a fridge"), "counter": sentence("a counter")}
_NEXT = {"check": sentence("check"), "discard": sentence("discard")}
# Where nobody can tell the hours: into the fridge the evening before, common practice,
# no source; not a whole day before, since hours that start on thawing would be over.
_EVENING, _LEAST = time(20), timedelta(hours=23)
EVENING_SOURCE = sentence("common practice, no source: the evening before")
# What goes into a pot or a pan next, so that water or the stove itself may thaw it.
_STOVE = frozenset(
    {"raw-meat", "raw-poultry", "fish-seafood", "cooked-leftovers", "gravy-broth"}
    | {"tomato-sauce"}
)
_DOUGH = frozenset({"yeast-dough-raw"})
WATER_THEN = (
    "in a sealed pack, fresh water every 30 min; then cook it at once "
    "(USDA FSIS, Big Thaw)"
)
FROZEN_THEN = "it takes about half as long again (from memory, unverified)"
NOT_NAMED = sentence(
    "The counter is none of the ways that USDA FSIS (Big Thaw, 2013) and the FDA Food "
    "Code (3-501.13) name for thawing perishable food."
)
# As long after it left the freezer food may still be thawing, where nobody can tell.
_MAY_THAW = timedelta(hours=48)


def takeouts(
    unit: Unit,
    which: Snapshot | str,
    ready_by: datetime,
    *,
    to: str | None = None,
    choices: Choices | None = None,
) -> Takeout:
    """When to take a container out so that it is ready by `ready_by`; records nothing.

    `to` is where it had better be ready, `fridge` or `counter`. InputError for a moment
    that is past, RefusedError for a container that has ended. Where its verdict is
    unknown or over nothing is proposed, and `asks` says why.
    """
    session = unit.session
    known = unit.find(which) if isinstance(which, str) else which
    if ready_by <= session.now:
        when = say_moment(ready_by, session.kitchen.zone)
        raise InputError(f"{when} is past; give a time still to come")
    if not known.is_live:
        raise RefusedError(
            f"{spaced(known.code)} ({known.food}) was {known.end_kind}: there is "
            "nothing to take out"
        )
    view = unit.view(known.code)
    found = Takeout(
        *(known.code, view.food.name, ready_by, known.place, known.state),
        cautions=tuple(view.verdict.cautions),
    )
    why_not = _why_not(view)
    if why_not:
        return replace(found, asks=why_not)
    plan = (choices or choices_of(unit)).food(view.food.name)
    return _Asked(unit, view, plan, found).answer(to)


def _why_not(view: View) -> tuple[str, ...]:
    """Why nothing can be proposed whatever the hours; empty where something may be."""
    verdict, state = view.verdict, view.container.state
    if verdict.blockers:
        return verdict.blockers
    if verdict.status in ("over", "unknown"):
        return (_stands(verdict),)
    if state not in ("freezer", "fridge"):
        where = view.container.place or sentence("no recorded place")
        return (
            sentence(
                "it is in {place}: there is nothing to take out of the cold",
                place=where,
            ),
        )
    return ()


def _stands(verdict: Verdict) -> str:
    """That it is over or unknown, and what may be done."""
    what = with_commas([_NEXT.get(one) or quoted(one) for one in verdict.next])
    if verdict.status == "over":
        return sentence("it is over: {what}", what=what)
    return sentence("it is unknown: {what}", what=what)


class _Asked:
    """One container and the moment by which it has to be ready."""

    def __init__(self, unit: Unit, view: View, plan: FoodPlan, found: Takeout) -> None:
        self._unit, self._view, self._plan, self._found = unit, view, plan, found
        self._now = unit.session.now
        self._zone = unit.session.kitchen.zone

    def answer(self, to: str | None) -> Takeout:
        """Every way, put to the clock, and the one to take."""
        if self._found.from_state == "freezer":
            told = self._thaw()
            ways = list(self._out_of_freezer(told))
        else:
            told = self._temper()
            ways = list(self._out_of_fridge(told, to))
        by, now = self._found.ready_by, self._now
        open_ways, refused = weighed(ways, self._view.verdict, by, now)
        ranked = chosen_among(open_ways, to)
        chosen = ranked[0] if ranked and ranked[0].way.hours is not None else None
        return replace(
            self._found,
            chosen=chosen,
            alternatives=tuple(one for one in ranked if one is not chosen),
            refused=tuple(refused),
            asks=self._asks(told, ways, to),
            cautions=(*self._own_cautions(ranked), *self._found.cautions),
        )

    def _thaw(self) -> Told:
        view = self._view
        kind = self._group()
        return thaw_hours(view.food, self._plan, view.container.mass_g, kind)

    def _temper(self) -> Told:
        view = self._view
        return temper_hours(view.food, self._plan, view.container.mass_g)

    def _group(self) -> str:
        """The group above its category, or the category itself."""
        category = self._view.verdict.plan.category
        return "" if category is None else category.parent or category.id

    def _is_for_the_stove(self) -> bool:
        category = self._view.verdict.plan.category
        return category is not None and bool({category.id, self._group()} & _STOVE)

    def _out_of_freezer(self, told: Told) -> Iterator[Way]:
        hours = told.hours
        cold, cold_c = self._place("fridge")
        if FRIDGE in hours:
            yield Way(FRIDGE, cold, hours[FRIDGE], temp_c=cold_c)
        else:
            evening, by = self._evening(), EVENING_SOURCE
            yield Way(FRIDGE, cold, None, evening, by, temp_c=cold_c)
        if COUNTER in hours:
            warm, warm_c = self._place("counter")
            yield Way(COUNTER, warm, self._warned(hours[COUNTER]), temp_c=warm_c)
        if not self._is_for_the_stove():
            return
        if WATER in hours:
            counts_as, _ = self._place("counter")
            water = Way(WATER, "cold water", hours[WATER], then=WATER_THEN)
            yield replace(water, recorded_in=counts_as)
        yield Way(FROZEN, "the stove", then=FROZEN_THEN)

    def _warned(self, hours: Hours) -> Hours:
        """With the word that perishable food is not thawed on a counter."""
        category = self._view.verdict.plan.category
        if category is None or category.tcs == "no":
            return hours
        return replace(hours, cautions=(*hours.cautions, NOT_NAMED))

    def _out_of_fridge(self, told: Told, to: str | None) -> Iterator[Way]:
        if TEMPER in told.hours and self._wants_warmth(to):
            warm, warm_c = self._place("counter")
            yield Way(TEMPER, warm, told.hours[TEMPER], temp_c=warm_c)
        thawed_at = self._thawed_at()
        if thawed_at is None or thawed_at <= self._found.ready_by:
            yield Way(STRAIGHT, "the table", Hours(0, 0, 0, "nothing to wait for"))

    def _wants_warmth(self, to: str | None) -> bool:
        """Whether it is to lose its chill: dough is, other food if somebody says so."""
        category = self._view.verdict.plan.category
        is_dough = category is not None and category.id in _DOUGH
        is_wanted = is_dough or self._plan.temper_h is not None
        return to == "counter" or (is_wanted and to is None)

    def _evening(self) -> datetime:
        """The evening before in the kitchen's zone; less than a day before the meal."""
        by = self._found.ready_by
        day = local_date(by, self._zone) - DAY
        evening = datetime.combine(day, _EVENING, self._zone)
        return max(evening, by - _LEAST)

    def _place(self, state: str) -> tuple[str, float | None]:
        """The first place of a state, and what it measures now if somebody reads it."""
        session = self._unit.session
        place = next((one for one in session.places if one.state == state), None)
        if place is None:
            return _A_PLACE[state], None
        there = History(stays=(Stay(state, self._now, None, place.name),))
        first = self._unit.charging.measured(there).stays[0]
        return place.name, first.temp_c

    def _pulled(self) -> Placing | None:
        """The placing by which it came straight out of a freezer, if it is the last."""
        placings = self._view.container.placings
        if len(placings) < 2 or placings[-2].state != "freezer":
            return None
        return placings[-1]

    def _thawed_at(self) -> datetime | None:
        """When a thaw under way is over at the latest; None where none is known of."""
        pulled = self._pulled()
        if pulled is None:
            return None
        if pulled.ready_at is not None:
            return pulled.ready_at
        hours = self._thaw().hours.get(FRIDGE)
        return None if hours is None else pulled.at + timedelta(hours=hours.high)

    def _asks(self, told: Told, ways: list[Way], to: str | None) -> tuple[str, ...]:
        """What would settle hours that nobody can tell; nothing where they are told."""
        is_told = any(
            way.hours is not None and way.name not in (STRAIGHT, FROZEN) for way in ways
        )
        if self._found.from_state == "freezer":
            return () if is_told else told.asks
        thawed_at = self._thawed_at()
        if thawed_at is not None and thawed_at > self._found.ready_by:
            when = say_moment(thawed_at, self._zone)
            return (
                sentence("it may have ice in it until {when}; feel for it", when=when),
            )
        return told.asks if self._wants_warmth(to) and not is_told else ()

    def _own_cautions(self, proposed: list[Option]) -> list[str]:
        found: dict[str, None] = {}
        for hours in (one.way.hours for one in proposed):
            if hours is not None:
                found |= dict.fromkeys(hours.cautions)
        pulled = self._pulled()
        if pulled is not None and self._found.ready_by - pulled.at < _MAY_THAW:
            when = say_moment(pulled.at, self._zone)
            pulled_on = sentence(
                "It came out of the freezer on {when}: feel that no ice is left.",
                when=when,
            )
            found[pulled_on] = None
        return list(found)
