"""An order form: what to order until the order after this one, less what is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from lidclock.app.recipe_book import find_recipe
from lidclock.app.recipe_question import MOST_PORTIONS
from lidclock.app.recipes import Plan, Size, plan_recipe
from lidclock.app.session import Session
from lidclock.domain.joiners import without_joiners
from lidclock.domain.sentences import joined, sentence
from lidclock.domain.texts import one_line
from lidclock.errors import InputError
from lidclock.plan.par import to_order
from lidclock.plan.scale import to_buy_g
from lidclock.plan.units import read_amount, read_number

MOST_ITEMS, LONGEST_NAME = 100, 200
_MOST_DAYS, _MOST_UNITS = 366, 10**7


@dataclass(frozen=True, slots=True)
class Item:
    """What is ordered by the piece, the crate, the kilogram: `use` is that of a day.

    All as typed; nothing typed is none.
    """

    name: str
    use: str
    on_hand: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """What an order form asks, as typed: `lead` days until it comes, `review` days
    between orders, items, and a kept recipe.

    Of the recipe `daily` portions are made a day and `once` beside them, of `portion`
    each; `there` is what is on hand of its inputs, as bought.
    """

    lead: str
    review: str
    items: tuple[Item, ...] = ()
    recipe: str = ""
    daily: str = ""
    once: str = ""
    portion: str = ""
    there: tuple[tuple[str, str], ...] = ()


def read_pair(text: str) -> tuple[str, str]:
    """`flatbread=10` as a name and what is said of it; InputError for anything else."""
    name, sign, value = text.rpartition("=")
    if not sign or not name.strip() or not value.strip():
        raise InputError(
            f"{text!r:.80} says too little; write a name and a number, such as "
            "flatbread=10"
        )
    return name.strip(), value.strip()


def asked_of(
    uses: Sequence[tuple[str, str]], there: Sequence[tuple[str, str]], **asked: str
) -> Asked:
    """The question in pairs of a name and what was typed; `asked` is the rest of it.

    What is on hand goes to the item of that name, else to an input of the recipe.
    InputError where there is no such item and no recipe.
    """
    names = {name.casefold() for name, _ in uses}
    hands = {name.casefold(): text for name, text in there}
    items = tuple(Item(name, use, hands.get(name.casefold(), "")) for name, use in uses)
    others = tuple((name, text) for name, text in there if name.casefold() not in names)
    if others and not asked.get("recipe"):
        raise InputError(
            f"{others[0][0]!r:.80} is on hand, but nothing takes any of it"
        )
    return Asked(items=items, there=others, **asked)


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to order: how much is needed, is there, and is to be ordered.

    In grams where `in_grams`, as bought: `yielded` is the share that is left of it
    after trimming. `promised` is what one occasion takes beside the `use` of each day.
    """

    name: str
    use: Fraction
    needed: Fraction
    on_hand: Fraction
    order: int
    in_grams: bool = False
    yielded: Fraction = Fraction(1)
    promised: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class RecipePart:
    """The recipe that lines are out of, for so many portions in all."""

    name: str
    version: int
    portions: int
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class OrderForm:
    """What to order so that it lasts `lead` and `review` days together."""

    lead: int
    review: int
    lines: tuple[Line, ...]
    recipe: RecipePart | None = None

    @property
    def cover(self) -> int:
        """How many days it has to last."""
        return self.lead + self.review


def order_form(session: Session, asked: Asked) -> OrderForm:
    """The form filled in; whole units and whole grams, rounded up.

    InputError for what is no number or makes no sense, UnknownThingError for a recipe
    that this kitchen does not keep.
    """
    lead = _days(asked.lead, _LEAD)
    review = _days(asked.review, _REVIEW)
    if not lead + review:
        raise InputError(
            sentence("say how many days the order has to last: at least one")
        )
    form = OrderForm(lead, review, tuple(_item_lines(asked.items, lead, review)))
    if not asked.recipe.strip():
        if not form.lines:
            raise InputError(sentence("say what to order, and how much a day takes"))
        return form
    part = _recipe_part(session, asked, form)
    return OrderForm(lead, review, form.lines, part)


_LEAD = sentence("days until it comes")
_REVIEW = sentence("days until the next order")
_USE = sentence("used a day")
_THERE = sentence("on hand")


def _item_lines(items: tuple[Item, ...], lead: int, review: int) -> list[Line]:
    if len(items) > MOST_ITEMS:
        raise InputError(f"{len(items)} things are too many: {MOST_ITEMS} at most")
    lines: list[Line] = []
    for item in items:
        name = _name(item.name)
        if name.casefold() in {one.name.casefold() for one in lines}:
            raise InputError(f"{name!r} stands twice; write it once")
        use = _units(item.use, _USE, name)
        there = _units(item.on_hand, _THERE, name)
        order = ceil(to_order(use, Fraction(lead), Fraction(review), there))
        lines.append(Line(name, use, (lead + review) * use, there, order))
    return lines


def _recipe_part(session: Session, asked: Asked, form: OrderForm) -> RecipePart:
    kept = find_recipe(session, asked.recipe)
    daily = _units(asked.daily, _PORTIONS, kept.name)
    once = _units(asked.once, _PORTIONS, kept.name)
    portions = ceil(form.cover * daily + once)
    if not 1 <= portions <= MOST_PORTIONS:
        raise InputError(
            sentence(
                "say how many portions of {recipe}: a day, or for one occasion",
                recipe=kept.name,
            )
        )
    size = Size(
        str(portions),
        _with_unit(session, asked.portion),
        exact=True,
        units=session.kitchen.units,
    )
    plan = plan_recipe(kept.text, size, is_toml=kept.is_toml)
    there = _there(session, asked, plan)
    lines = tuple(
        _input_line(plan, at, there, (daily, once), form)
        for at in range(len(plan.scaled.recipe.inputs))
    )
    return RecipePart(kept.name, kept.version, portions, lines)


_PORTIONS = sentence("portions")


def _input_line(
    plan: Plan,
    at: int,
    there: dict[str, Fraction],
    portions: tuple[Fraction, Fraction],
    form: OrderForm,
) -> Line:
    """One input as bought; a portion takes the same of it each time."""
    one, mass_g = plan.scaled.recipe.inputs[at], plan.scaled.masses_g[at]
    each_g = to_buy_g(one, mass_g) / plan.scaled.count
    daily, once = portions
    use_g, promised_g = each_g * daily, each_g * once
    on_hand_g = there.get(one.name.casefold(), Fraction(0))
    lead, review = Fraction(form.lead), Fraction(form.review)
    order = to_order(use_g, lead, review, on_hand_g - promised_g)
    needed = form.cover * use_g + promised_g
    return Line(
        *(one.name, use_g, needed, on_hand_g, ceil(order)),
        in_grams=True,
        yielded=one.usable,
        promised=promised_g,
    )


def _there(session: Session, asked: Asked, plan: Plan) -> dict[str, Fraction]:
    """Grams on hand by input, casefolded; InputError for what the recipe lacks."""
    known = {one.name.casefold() for one in plan.scaled.recipe.inputs}
    found: dict[str, Fraction] = {}
    for name, text in asked.there:
        key = " ".join(name.split()).casefold()
        if key not in known:
            names = ", ".join(one.name for one in plan.scaled.recipe.inputs)
            raise InputError(f"{name!r:.80} does not go in: there are {names}")
        found[key] = _grams(session, text)
    return found


def _grams(session: Session, text: str) -> Fraction:
    bare = _with_unit(session, text)
    return read_amount(bare).grams(None) if bare else Fraction(0)


def _with_unit(session: Session, text: str) -> str:
    """A bare number is in the kitchen's small unit."""
    bare = text.strip()
    if not bare or not bare[-1].isdigit():
        return bare
    return bare + (" oz" if session.kitchen.units == "us" else " g")


def _name(text: str) -> str:
    name = one_line(text, "what to order", LONGEST_NAME)
    if not name or not without_joiners(name).isprintable():
        raise InputError(sentence("say what to order, and how much a day takes"))
    return name


def _days(text: str, what: str) -> int:
    found = _number(text, what, "", _MOST_DAYS)
    if found.denominator != 1:
        raise InputError(
            sentence(
                "{field}: {text} is not a whole number", field=what, text=repr(text)
            )
        )
    return int(found)


def _units(text: str, what: str, name: str) -> Fraction:
    return _number(text, what, name, _MOST_UNITS)


def _number(text: str, what: str, name: str, most: int) -> Fraction:
    """A number from 0 on; empty is none."""
    bare = text.strip()
    if not bare:
        return Fraction(0)
    found = read_number(bare)
    if found is None or found > most:
        field = joined("{name}, {what}", name=name, what=what) if name else what
        raise InputError(
            sentence(
                "{field}: {text} is not a number from 0 to {most}",
                field=field,
                text=repr(bare[:40]),
                most=f"{most:,}",
            )
        )
    return found
