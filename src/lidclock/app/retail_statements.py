"""What a label for sale must say in fixed words, and behind `Contains`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lidclock.app.retail_allergens import (
    Listed,
    Recorded,
    display_name,
    is_on_list,
    statement_names,
)
from lidclock.app.session import View
from lidclock.errors import RefusedError, UnknownThingError
from lidclock.guidance.allergens import canonical
from lidclock.guidance.sets import GuidanceSet
from lidclock.labels.retail_data import Jurisdiction, Statement
from lidclock.labels.retail_text import Run

_RAW_MEAT = frozenset({"raw-meat", "raw-poultry"})


def declared(
    listed: Listed, recorded: Recorded, under: Jurisdiction
) -> tuple[str, ...]:
    """Every allergen the label must show: recorded, or on the list and named."""
    found = [one for one in listed.named if is_on_list(one, under)]
    return tuple(dict.fromkeys([*recorded.allergens, *found]))


def contains_runs(
    listed: Listed, recorded: Recorded, under: Jurisdiction
) -> tuple[Run, ...]:
    """The statement behind the list; empty where it would name nothing.

    It names all, or where a repetition is not allowed what no ingredient names.
    """
    shown = declared(listed, recorded, under)
    if under.contains == "rest":
        shown = tuple(one for one in shown if one not in listed.named)
    names, others = statement_names(shown, listed.kinds, under)
    others = [
        display_name(one, under)
        for one in others
        if one not in listed.named or not _is_enough(one, under)
    ]
    return (
        *_names(under.words["contains"], names, under),
        *([Run(" ")] if names and others else []),
        *_names(under.words["also_contains"], others, under),
    )


def _is_enough(allergen: str, under: Jurisdiction) -> bool:
    """Whether it needs no second mention, being set apart in the list already.

    A word that nobody here knows may be on the list in force, and the statement whole.
    """
    is_known = bool(canonical(allergen)) or under.contains == "rest"
    return is_known and under.emphasis == "capitals"


def _names(head: str, names: Sequence[str], under: Jurisdiction) -> Iterator[Run]:
    if not names:
        return
    yield Run(f"{head} ", bold=True)
    for number, name in enumerate(names):
        yield Run(", " if number else "", bold=True)
        is_caps = under.emphasis == "capitals"
        yield Run(name.upper() if is_caps else name[:1].upper() + name[1:], bold=True)
    yield Run(".", bold=True)


def due_statements(
    view: View, guidance: GuidanceSet, under: Jurisdiction, asked: Sequence[str]
) -> tuple[Statement, ...]:
    """The fixed statements that this container's label bears.

    RefusedError where one is due that claims what only the kitchen can know.
    """
    for name in asked:
        if name not in under.statements:
            known = ", ".join(under.statements) or "none"
            raise UnknownThingError(
                f"no statement {name!r} under {under.id}; there is {known}"
            )
    return tuple(_due(view, guidance, under, asked))


def _due(
    view: View, guidance: GuidanceSet, under: Jurisdiction, asked: Sequence[str]
) -> Iterator[Statement]:
    history = view.inventory.history_of(view.container)
    holds = {
        "always": True,
        "thawed": history.was_frozen and not history.is_frozen,
        "raw-meat": _is_raw_meat(view, guidance),
        "asked": False,
    }
    for one in under.statements.values():
        if one.id in asked or (holds[one.when] and not one.claims):
            yield one
        elif holds[one.when]:
            raise RefusedError(
                f"{view.food.name!r} needs the statement {one.id} under {under.id} "
                f"({one.cited.words()}); it says {one.claims}: give --statement "
                f"{one.id} if that is true"
            )


def _is_raw_meat(view: View, guidance: GuidanceSet) -> bool:
    category = guidance.categories.get(view.food.category)
    if category is None:
        return False
    above = {one.id for one in guidance.ancestors(category)}
    return bool(_RAW_MEAT & {category.id, *above})
