"""What a kitchen must know of a label for sale before it hands the food on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from lidclock.app.retail_allergens import (
    GROUPS,
    Listed,
    Recorded,
    display_name,
    is_on_list,
)
from lidclock.app.session import View
from lidclock.guidance.allergens import TREE_NUT, canonical
from lidclock.guidance.words import stems
from lidclock.labels.retail_data import Jurisdiction, Statement

# Words that do not make an ingredient the one in the name; common practice, no source.
_COMMON = frozenset(
    "black cooked dried fresh green ground homemade hot mix mixed oil powder raw red "
    "roast roasted salt sauce smoked soup stock sweet water white whole".split()
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the remarks go by."""

    view: View
    under: Jurisdiction
    listed: Listed
    recorded: Recorded
    statements: tuple[Statement, ...]
    is_house_rule: bool
    has_address: bool
    face_cm2: float | None


def warnings_on(told: Told) -> Iterator[str]:
    """What is wrong or unsure about the allergens."""
    yield from _unrecorded(told)
    yield from _unnamed(told)
    yield from _hidden(told)
    yield from _kinds(told)
    yield from _components(told)


def notes_on(told: Told) -> Iterator[str]:
    """What is missing, taken for granted, or was checked by nobody."""
    yield from _percentages(told)
    if told.is_house_rule:
        yield from _ruled(told, "house", "the date is a house rule")
    if not told.has_address:
        yield from _ruled(told, "maker", "no --maker-address")
    yield from _ruled(told, "language", "English only")
    for one in told.statements:
        if one.claims:
            yield f"statement {one.id}: it says {one.claims}"
    yield from _sizes(told)
    yield from _ruled(told, "not-on-it", "not on this label")


def _ruled(told: Told, rule_id: str, what: str) -> Iterator[str]:
    rule = told.under.rule(rule_id)
    if rule is not None:
        yield f"{what}: {rule.says} ({rule.cited.words()})"


def _short(name: str) -> str:
    """An ingredient without its parts."""
    return repr(name.partition("(")[0].strip() or name)


def _unrecorded(told: Told) -> Iterator[str]:
    """An ingredient names what is not recorded for the food."""
    for allergen, ingredients in told.listed.named.items():
        if allergen in told.recorded.allergens or not is_on_list(allergen, told.under):
            continue
        name = display_name(allergen, told.under)
        yield (
            f"{_short(ingredients[0])} names {name}, which is not recorded for this "
            "food: it is printed all the same; record it with "
            "`lidclock food add NAME --allergens LIST`"
        )


def _unnamed(told: Told) -> Iterator[str]:
    """What is recorded for the food and named by no ingredient."""
    left = [x for x in told.recorded.allergens if x not in told.listed.named]
    if left:
        names = ", ".join(display_name(one, told.under) for one in left)
        what = f"recorded for this food, and no ingredient names it: {names}"
        holders = [
            _short(name)
            for name, _, may_hold in told.listed.hidden
            if set(may_hold) & set(left)
        ]
        if holders:
            what += f" (perhaps it is in {', '.join(dict.fromkeys(holders))})"
        yield from _ruled(told, "unnamed", what)
    for word in told.recorded.several:
        yield f"{word!r} is recorded and may be any of several: record which it is"
    for word in told.recorded.allergens:
        if not canonical(word):
            yield (
                f"{word!r} is recorded, and no list here knows the word: it is printed "
                "as it stands; record its English name beside it"
            )


def _hidden(told: Told) -> Iterator[str]:
    """Words that may hide what nobody declared."""
    known = {*told.recorded.allergens, *told.listed.named}
    for name, phrase, may_hold in told.listed.hidden:
        left = [x for x in may_hold if x not in known and is_on_list(x, told.under)]
        if left:
            allergens = ", ".join(display_name(one, told.under) for one in left)
            is_all = phrase.casefold() == name.casefold()
            where = "" if is_all else f" in {_short(name)}"
            yield (
                f"{phrase!r}{where} may hold {allergens}: look at its pack, and write "
                "its parts in brackets behind it"
            )


def _kinds(told: Told) -> Iterator[str]:
    """Fish, crustaceans and nuts whose kind nobody knows, where the law wants it."""
    if not told.under.has_kinds:
        return
    shown = {*told.recorded.allergens, *told.listed.named}
    for allergen in (*GROUPS, TREE_NUT):
        is_told = allergen != TREE_NUT and told.listed.kinds.get(allergen)
        if allergen in shown and is_on_list(allergen, told.under) and not is_told:
            name = display_name(allergen, told.under)
            yield from _ruled(told, "kinds", f"the kind of {name} is not known")


def _components(told: Told) -> Iterator[str]:
    """What went in from other containers is not looked into."""
    foods = {
        told.view.inventory.food_of(part).name
        for code in told.view.container.components
        if (part := told.view.inventory.containers.get(code)) is not None
    }
    if foods:
        yield (
            f"it was made from {', '.join(sorted(foods))}: see that the ingredients "
            "name what is in them"
        )


def _percentages(told: Told) -> Iterator[str]:
    """Ingredients that stand in the name, with their share of what was put in."""
    rule = told.under.rule("percent")
    total = sum((one.grams for one in told.view.food.ingredients), Decimal(0))
    named = set(stems(told.view.food.name)) - _COMMON
    for one in told.view.food.ingredients:
        own = set(stems(one.name.partition("(")[0])) - _COMMON
        if rule is None or not own & named or "%" in one.name:
            continue
        share = one.grams / total * 100
        said = f"{share:.0f}" if share >= 1 else "less than 1"
        yield (
            f"{_short(one.name)} is in the name: {rule.says} ({rule.cited.words()}); "
            f"it is {said} % of what was put in"
        )


def _sizes(told: Told) -> Iterator[str]:
    """What was taken for granted, and what nobody checked."""
    assumed = told.under.net.assumed_cm2
    if told.under.net.by == "area" and told.face_cm2 is None and assumed:
        yield f"sized for a panel of up to {assumed:g} cm²; give --largest-face CM2"
    cited = [*told.under.unverified(), *(one.cited for one in told.statements)]
    for one in dict.fromkeys(cited):
        if not one.verified:
            yield f"unverified: {one.words().removesuffix(', unverified')}"
