"""What the card wants taken out, agreed or proposed, as lines of a list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from lidclock.app.card_facts import Facts, called, facts_of, when
from lidclock.app.card_meals import meal_proposals
from lidclock.app.session import Session
from lidclock.app.today import undone
from lidclock.domain.phrases import with_commas
from lidclock.plan.card import arrange, card_hours
from lidclock.plan.lists import PullLine
from lidclock.plan.proposal import Proposal


@dataclass(frozen=True)
class _Morning(Facts):
    """The facts of a card that looks ahead to `until` instead of to the next card."""

    until: datetime

    @property
    def hours(self) -> tuple[datetime, datetime]:
        """When the card spoke last, and how far this one looks."""
        last, _ = card_hours(self.choices.card_hours, self.zone, self.now)
        return last, self.until


def take_outs(session: Session, at: datetime, until: datetime) -> list[PullLine]:
    """What has to leave the cold from `at` up to `until`, soonest first.

    As the card of that moment would have it, if nothing happens until then: what was
    declined or put off is not in it. Nothing is recorded.
    """
    then = Session(
        *(session.database, session.kitchen, session.places),
        now=at,
        who=session.who,
        device=session.device,
    )
    with then.read() as unit:
        known = facts_of(unit)
        facts = _Morning(
            *(unit, known.choices, known.meals, known.live, known.foods),
            known.answers,
            until,
        )
        found = {one.key: one for one in undone(facts)}
        for one in meal_proposals(facts):
            found.setdefault(one.key, one)
        card = arrange(found.values(), facts.answers, facts.hours, at, len(found))
        lines = {
            (line.codes, line.to_place): line
            for one in (*card.agreed, *card.shown)
            for line in _lines(facts, one)
        }
    return sorted(lines.values(), key=lambda one: (one.at, one.codes))


def _lines(facts: Facts, one: Proposal) -> Iterator[PullLine]:
    """A line for each step that is still to do."""
    meals = {x.key: x for x in facts.far_occurrences}
    meal = meals.get(one.meal)
    for_meal = with_commas([called(meal.meal), when(facts, meal.at)]) if meal else ""
    for step in one.steps:
        container = facts.live.get(step.code)
        if container is None or container.place.casefold() == step.to.casefold():
            continue
        yield PullLine(
            at=step.at,
            says=facts.names([step.code]),
            codes=(step.code,),
            from_place=container.place,
            to_place=step.to,
            ready_at=step.ready_at,
            for_meal=for_meal,
        )
