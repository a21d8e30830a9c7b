"""The words of a prep list."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lidclock.app.list_words import (
    ListPage,
    Row,
    Section,
    blanks_of,
    recorded_line,
)
from lidclock.app.prep_list import PrepList
from lidclock.app.session import Session
from lidclock.domain.moments import say_day
from lidclock.domain.sentences import sentence, sentences, typed
from lidclock.plan.lists import PrepLine

_FOOT = sentence(
    "This list sets no date: the last day stands on the lid, by the guidance set in "
    "force. Read the allergens off the packs in hand."
)


def prep_page(found: PrepList, session: Session) -> ListPage:
    """The list in words: each food, then what to weigh for it."""
    rows = tuple(row for line in found.lines for row in _rows(line))
    until = sentence(
        "For meals up to {day}, less what is there by then.",
        day=say_day(found.last_on),
    )
    enough = [sentence("Enough is there of {what}.", what=one) for one in found.enough]
    none = sentence("nothing by the meals that are planned")
    return ListPage(
        "Prep list",
        session.kitchen.name,
        say_day(found.day),
        (recorded_line(session), until, *enough),
        (Section(sentence("Make"), rows, blanks_of(session.kitchen), none),),
        (_FOOT, session.guidance.advice),
    )


def _rows(line: PrepLine) -> Iterator[Row]:
    recipe = line.recipe
    by = [sentence("by the recipe {recipe}", recipe=recipe.name)] if recipe else []
    if recipe and recipe.allergens:
        by.append(sentence("allergens: {allergens}", allergens=recipe.allergens))
    yield Row(_wanted(line), (*line.for_meals, *line.notes, *by))
    if recipe is not None:
        for name, amount in recipe.inputs:
            yield Row(typed(name), amount=amount, is_item=True)
        if recipe.total:
            yield Row(sentence("all together"), amount=recipe.total, is_item=True)


def _wanted(line: PrepLine) -> str:
    """`bean stew: 4 portions, 1.2 kg`."""
    if not line.mass:
        return sentences(
            "{food}: {count} portion",
            "{food}: {count} portions",
            line.portions,
            food=line.food,
        )
    return sentences(
        "{food}: {count} portion, {mass}",
        "{food}: {count} portions, {mass}",
        line.portions,
        food=line.food,
        mass=line.mass,
    )


def prep_json(found: PrepList, session: Session) -> dict[str, Any]:
    """The list as JSON-ready data."""
    zone = session.kitchen.zone
    return {
        "day": found.day.isoformat(),
        "at": found.at.astimezone(zone).isoformat(timespec="seconds"),
        "last_on": found.last_on.isoformat(),
        "make": [
            {
                "food": one.food,
                "portions": one.portions,
                "mass": one.mass or None,
                "for_meals": list(one.for_meals),
                "notes": list(one.notes),
                "recipe": None
                if one.recipe is None
                else {
                    "name": one.recipe.name,
                    "inputs": [list(pair) for pair in one.recipe.inputs],
                    "total": one.recipe.total or None,
                    "allergens": one.recipe.allergens or None,
                },
            }
            for one in found.lines
        ],
        "enough": list(found.enough),
    }
