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
from lidclock.plan.lists import PrepLine

_FOOT = (
    "This list sets no date: the last day stands on the lid, by the guidance set in "
    "force. Read the allergens off the packs in hand."
)


def prep_page(found: PrepList, session: Session) -> ListPage:
    """The list in words: each food, then what to weigh for it."""
    rows = tuple(row for line in found.lines for row in _rows(line))
    until = f"For meals up to {say_day(found.last_on)}, less what is there by then."
    enough = [f"Enough is there of {one}." for one in found.enough]
    none = "nothing by the meals that are planned"
    return ListPage(
        "Prep list",
        session.kitchen.name,
        say_day(found.day),
        (recorded_line(session), until, *enough),
        (Section("Make", rows, blanks_of(session.kitchen), none),),
        (_FOOT, session.guidance.advice),
    )


def _rows(line: PrepLine) -> Iterator[Row]:
    portions = f"{line.portions} portion{'' if line.portions == 1 else 's'}"
    mass = f", {line.mass}" if line.mass else ""
    recipe = line.recipe
    by = [f"by the recipe {recipe.name}"] if recipe else []
    known = [f"allergens: {recipe.allergens}"] if recipe and recipe.allergens else []
    yield Row(
        f"{line.food}: {portions}{mass}",
        (*line.for_meals, *line.notes, *by, *known),
    )
    if recipe is not None:
        for name, amount in recipe.inputs:
            yield Row(name, amount=amount, is_item=True)
        if recipe.total:
            yield Row("all together", amount=recipe.total, is_item=True)


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
