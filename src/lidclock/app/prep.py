"""Filling containers: a batch, an opened pack, something found."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from lidclock.app.now import below, new_ids
from lidclock.app.oddities import already_ended, lid_words
from lidclock.app.session import Fact, Unit, View, food_fact
from lidclock.app.setup import check_category
from lidclock.domain.codes import is_code, new_code, normalise, spaced
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Place
from lidclock.domain.masses import (
    HEAVIEST_CONTAINER_G,
    checked_mass,
    say_mass,
    split_mass,
)
from lidclock.domain.sentences import figure, sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.texts import one_line
from lidclock.errors import InputError, OddFactError, RefusedError

MOST_CONTAINERS = 1000


@dataclass(frozen=True, slots=True)
class Input:
    """A container that went into a batch; `mass_g=None` where nobody weighed it."""

    code: str
    mass_g: float | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """One making of a food: how many containers, how heavy, from what, put where."""

    food: Food | str
    count: int = 1
    portion_g: float | None = None
    total_g: float | None = None
    made_at: datetime | None = None
    place: Place | None = None
    placed_at: datetime | None = None
    inputs: tuple[Input, ...] = ()
    lot: str = ""
    anyway: bool = False
    recipe: str = ""


@dataclass(frozen=True, slots=True)
class Filled:
    """What came of it: the batch number, the containers, remarks for the cook."""

    batch_number: int | None
    views: tuple[View, ...]
    remarks: tuple[str, ...] = field(default=())
    act: str = ""

    @property
    def codes(self) -> list[str]:
        """The new containers' codes, in order."""
        return [view.code for view in self.views]


def prep(unit: Unit, order: Order) -> Filled:
    """Record one batch and its containers, all or nothing."""
    session = unit.session
    food, facts = _known_food(unit, order.food)
    made_at = session.checked_past(order.made_at, "making time")
    if order.portion_g is None and order.total_g is None:
        order = replace(order, portion_g=food.portion_g)
    masses = shares(order)
    codes = fresh_codes(unit, len(masses))
    batch_id, number = new_ids(1)[0], unit.ledger.next_batch_number()
    inputs = _usable_inputs(unit, order, made_at)
    total_g = sum(mass for mass in masses if mass) if any(masses) else None
    made = {"number": number, "count": len(codes), **_food_body(food)}
    if order.total_g or total_g:
        made["total_g"] = order.total_g or total_g
    if inputs:
        made["from"] = [part.code for part in inputs]
    if lot := one_line(order.lot, "the lot"):
        made["lot"] = lot
    if order.recipe:
        made["recipe"] = order.recipe
    facts.append(Fact("made", batch_id, made, made_at, batch_id))
    for part in inputs:
        if part.mass_g is not None:
            facts.append(Fact("taken", part.code, {"mass_g": part.mass_g}, made_at))
    for index, (code, mass) in enumerate(zip(codes, masses, strict=True), start=1):
        body = {"batch": batch_id, "index": index, "of": len(codes)}
        facts.append(Fact("filled", code, _with_mass(body, mass), made_at))
        facts += _placing(unit, code, order.place, order.placed_at, made_at)
    act = unit.record(facts)[0].act
    views = tuple(unit.view(code) for code in codes)
    return Filled(number, views, tuple(_remarks(order, masses)), act)


def shares(order: Order) -> list[float | None]:
    """The mass of each container: equal portions, or the total split in whole grams."""
    if not 1 <= order.count <= MOST_CONTAINERS:
        raise InputError(
            sentence(
                "a batch fills 1 to {most} containers, not {count}",
                most=figure(MOST_CONTAINERS),
                count=figure(order.count),
            )
        )
    if order.portion_g is not None:
        portion = checked_mass(order.portion_g, HEAVIEST_CONTAINER_G)
        needed = portion * order.count
        if order.total_g is not None and needed > order.total_g:
            raise InputError(
                sentence(
                    "{count} portions of {portion} need {needed}; there are {all}",
                    count=figure(order.count),
                    portion=say_mass(portion),
                    needed=say_mass(needed),
                    all=say_mass(order.total_g),
                )
            )
        return [portion] * order.count
    if order.total_g is not None:
        parts = split_mass(checked_mass(order.total_g), order.count)
        return [checked_mass(part, HEAVIEST_CONTAINER_G) for part in parts]
    return [None] * order.count


def open_pack(
    unit: Unit,
    food: Food | str,
    *,
    mass_g: float | None = None,
    maker_use_by: date | None = None,
    opened_at: datetime | None = None,
    place: Place | None = None,
    lot: str = "",
    gtin: str = "",
    maker: str = "",
) -> Filled:
    """A bought pack, once opened, becomes a container with its maker's date.

    Its `gtin` goes along, so that the next such pack is known by its number.
    """
    known, facts = _known_food(unit, food)
    if known.made_by != "maker":
        fact = sentence(
            "{food} is recorded as made here; give the bought pack a food of its own",
            food=repr(known.name),
        )
        raise RefusedError(f"{fact} (another name, with --category)", fact)
    opened_at = unit.session.checked_past(opened_at, "opening time")
    code = fresh_codes(unit, 1)[0]
    body = _food_body(known)
    if maker_use_by is not None:
        body["maker_use_by"] = maker_use_by.isoformat()
    named = {
        "lot": one_line(lot, "the lot"),
        "gtin": gtin,
        "maker": one_line(maker, "the maker"),
    }
    body |= {key: value for key, value in named.items() if value}
    facts.append(Fact("filled", code, _with_mass(body, mass_g), opened_at))
    facts.append(Fact("opened", code, {}, opened_at))
    facts += _placing(unit, code, place, opened_at, opened_at)
    act = unit.record(facts)[0].act
    return Filled(None, (unit.view(code),), act=act)


def adopt(
    unit: Unit,
    food: Food | str,
    *,
    code: str | None = None,
    mass_g: float | None = None,
    made_at: datetime | None = None,
    maker_use_by: date | None = None,
    place: Place | None = None,
    placed_at: datetime | None = None,
    marked_on: date | None = None,
) -> Filled:
    """Take in a container that was there before; what is not known stays unknown.

    `marked_on` is the last day that stands on its lid already.
    """
    known, facts = _known_food(unit, food)
    session = unit.session
    taken_in = _written_code(unit, code) if code else fresh_codes(unit, 1)[0]
    body = {**_food_body(known), "adopted": True}
    if maker_use_by is not None:
        body["maker_use_by"] = maker_use_by.isoformat()
    number = None
    if made_at is not None:
        made_at = session.checked_past(made_at, "making time")
        batch_id, number = new_ids(1)[0], unit.ledger.next_batch_number()
        made = {"number": number, "count": 1, **_food_body(known)}
        facts.append(Fact("made", batch_id, made, made_at, batch_id))
        body["batch"] = batch_id
    facts.append(Fact("filled", taken_in, _with_mass(body, mass_g), made_at))
    facts.append(Fact("found", taken_in))
    facts += _placing(unit, taken_in, place, placed_at, made_at)
    if marked_on is not None:
        body_of_mark = {"stock": "tape", "last_day": marked_on.isoformat()}
        facts.append(Fact("labelled", taken_in, body_of_mark))
    unit.record(facts)
    return Filled(number, (unit.view(taken_in),))


def fresh_codes(unit: Unit, count: int) -> list[str]:
    """Codes that this kitchen has never given out."""
    codes: dict[str, None] = {}
    while len(codes) < count:
        code = new_code(below)
        if unit.snapshots.get(code) is None:
            codes[code] = None
    return list(codes)


def _written_code(unit: Unit, typed: str) -> str:
    code = normalise(typed)
    if not is_code(code):
        fact = sentence(
            "{typed} is not a container code (its check symbol is wrong)",
            typed=repr(typed),
        )
        how = "leave --code out and write the new code on the lid"
        raise InputError(f"{fact}; {how}", fact)
    if unit.snapshots.get(code) is not None:
        raise RefusedError(
            sentence("code {code} is taken by another container", code=spaced(code))
        )
    return code


def _known_food(unit: Unit, food: Food | str) -> tuple[Food, list[Fact]]:
    """The food, and the fact to record first if it is new."""
    if isinstance(food, str):
        return unit.need_food(food), []
    known = unit.snapshots.food(food.name.casefold())
    if known == food:
        return food, []
    check_category(food.category)
    return food, [food_fact(food)]


def _food_body(food: Food) -> dict[str, Any]:
    """The food as it is now goes along, so that later changes do not reach back."""
    return {"food": food.name, "facts": food.as_dict()}


def _usable_inputs(unit: Unit, order: Order, made_at: datetime) -> list[Input]:
    """What went in, each container once, with all that was taken from it."""
    taken: dict[str, float | None] = {}
    for part in order.inputs:
        known = unit.find(part.code)
        if not order.anyway:
            _refuse_odd_input(known, made_at)
        before = taken.get(known.code)
        both = None if part.mass_g is None else part.mass_g + (before or 0.0)
        taken[known.code] = before if both is None else both
        if both and known.mass_g is not None and both > known.mass_g:
            raise InputError(
                sentence(
                    "{code} holds {mass}, not {wanted}; correct its mass or take less",
                    code=spaced(known.code),
                    mass=say_mass(known.mass_g),
                    wanted=say_mass(both),
                )
            )
    return [Input(code, mass_g) for code, mass_g in taken.items()]


def _refuse_odd_input(known: Snapshot, made_at: datetime) -> None:
    if not known.is_live:
        raise OddFactError(
            already_ended(known),
            "record it all the same with --anyway",
        )
    if known.standing == "unknown" and known.made_at is None and not known.opened_at:
        raise OddFactError(
            sentence("nobody knows how old {lid} is", lid=lid_words(known)),
            "correct its making time, or use it all the same with --anyway",
        )
    if known.last_moment is not None and made_at >= known.last_moment:
        raise OddFactError(
            sentence(
                "{lid} was past its last moment: cooking does not bring it back",
                lid=lid_words(known),
            ),
            "record it all the same with --anyway",
        )


def _with_mass(body: dict[str, Any], mass_g: float | None) -> dict[str, Any]:
    if mass_g is None:
        return body
    return {**body, "mass_g": checked_mass(mass_g, HEAVIEST_CONTAINER_G)}


def _placing(
    unit: Unit,
    code: str,
    place: Place | None,
    placed_at: datetime | None,
    made_at: datetime | None,
) -> Iterable[Fact]:
    if place is None:
        return []
    at = unit.session.checked_past(placed_at, "time of placing")
    if made_at is not None and at < made_at:
        raise InputError(
            sentence("it cannot have been placed before it was made; correct a time")
        )
    return [Fact("placed", code, {"place": place.name, "state": place.state}, at)]


def _remarks(order: Order, masses: list[float | None]) -> Iterable[str]:
    filled = sum(mass for mass in masses if mass)
    if order.total_g is not None and filled < order.total_g:
        yield f"{say_mass(order.total_g - filled)} of the batch left over"
    if order.place is None:
        yield "no place yet: scan the lids where they are put"
