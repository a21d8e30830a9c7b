"""An order form as a page asks it: rows of fields, and what was typed in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lidclock.app.order_form import Asked, OrderForm, asked_of, order_form
from lidclock.app.order_page import order_page
from lidclock.app.recipe_book import list_recipes
from lidclock.app.session import Session
from lidclock.errors import LidclockError
from lidclock.labels.list_page import ListPage

ROWS, _MOST_ROWS = 4, 100
# The fields beside the rows, and what stands in them at first.
_ABOUT = {
    **{"lead": "0", "review": "1"},
    **{"recipe": "", "daily": "", "once": "", "portion": ""},
}


@dataclass(frozen=True, slots=True)
class OrderQuestion:
    """What stands in the fields, and the form filled in; None where nothing is asked.

    `rows` are name, use and what is there; `inputs` of the recipe with what is there.
    """

    typed: Mapping[str, str]
    rows: tuple[tuple[str, str, str], ...]
    recipes: tuple[str, ...]
    inputs: tuple[tuple[str, str], ...] = ()
    page: ListPage | None = None
    error: LidclockError | None = None


def order_question(session: Session, sent: Mapping[str, str]) -> OrderQuestion:
    """The page for what was typed, every field a text."""
    typed, rows = _about(sent), _rows(sent)
    recipes = tuple(kept.name for kept, _ in list_recipes(session))
    blank = OrderQuestion(typed, _padded(rows), recipes)
    if not rows and not typed["recipe"]:
        return blank
    try:
        found = order_form(session, read_order(sent))
    except LidclockError as error:
        return OrderQuestion(typed, _padded(rows), recipes, error=error)
    return OrderQuestion(
        typed,
        _padded(rows),
        recipes,
        _inputs(found, dict(_there(sent))),
        order_page(found, session),
    )


def read_order(sent: Mapping[str, str]) -> Asked:
    """What the fields ask."""
    rows = _rows(sent)
    return asked_of(
        [(name, use) for name, use, _ in rows],
        [*((name, hand) for name, _, hand in rows), *_there(sent)],
        **_about(sent),
    )


def _about(sent: Mapping[str, str]) -> dict[str, str]:
    return {name: sent.get(name, first).strip() for name, first in _ABOUT.items()}


def _rows(sent: Mapping[str, str]) -> list[tuple[str, str, str]]:
    found = []
    for at in range(_MOST_ROWS):
        row = [sent.get(f"{name}{at}", "").strip() for name in ("item", "use", "hand")]
        if any(row):
            found.append((row[0], row[1], row[2]))
    return found


def _there(sent: Mapping[str, str]) -> list[tuple[str, str]]:
    """What is on hand of the recipe's inputs; none of a recipe chosen before."""
    recipe = sent.get("recipe", "").strip()
    if not recipe or sent.get("of", "") != recipe:
        return []
    pairs = [
        (sent.get(f"input{at}", "").strip(), sent.get(f"there{at}", "").strip())
        for at in range(_MOST_ROWS * 2)
    ]
    return [(name, text) for name, text in pairs if name and text]


def _padded(rows: list[tuple[str, str, str]]) -> tuple[tuple[str, str, str], ...]:
    """Two empty rows at least, to write more in."""
    spare = max(2, ROWS - len(rows))
    return (*rows, *([("", "", "")] * spare))


def _inputs(found: OrderForm, there: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    if found.recipe is None:
        return ()
    return tuple((one.name, there.get(one.name, "")) for one in found.recipe.lines)
