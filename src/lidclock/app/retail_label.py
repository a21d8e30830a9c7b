"""From a container and its verdict to the words of its label for sale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import floor

from lidclock.app.retail_allergens import Listed, Recorded, list_ingredients
from lidclock.app.retail_dates import Dating, date_of
from lidclock.app.retail_net import net_grams, say_net
from lidclock.app.retail_remarks import Told, notes_on, warnings_on
from lidclock.app.retail_statements import contains_runs, due_statements
from lidclock.app.session import Session, View
from lidclock.app.wording import address_of, as_placed
from lidclock.domain.codes import spaced
from lidclock.domain.moments import local_date, say_day
from lidclock.errors import RefusedError
from lidclock.labels.retail_content import DATE, NAME, NET, Part, RetailLabel
from lidclock.labels.retail_data import Jurisdiction, Least, Statement
from lidclock.labels.retail_text import Run

_MADE_GOES, _LOT_GOES = 1, 2


@dataclass(frozen=True, slots=True)
class Order:
    """What the kitchen says of its labels; `net` as it was written, such as 350g."""

    under: str
    net: str = ""
    maker: str = ""
    address: str = ""
    lot: str = ""
    statements: tuple[str, ...] = ()
    face_cm2: float | None = None
    best_before: date | None = None


@dataclass(frozen=True, slots=True)
class Worded:
    """A label in words, the date on it, and what the kitchen must know of it."""

    label: RetailLabel
    date: str
    warnings: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Job:
    """One container, and all that decides the words of its label."""

    view: View
    session: Session
    under: Jurisdiction
    order: Order
    least: Least
    dating: Dating
    recorded: Recorded
    listed: Listed
    statements: tuple[Statement, ...]


def word_label(
    view: View, session: Session, under: Jurisdiction, order: Order
) -> Worded:
    """Everything that the label says, or a refusal that tells what is missing."""
    _refuse_unrecorded(view)
    view = as_placed(view, session)
    recorded = Recorded.of(view.allergens or ())
    job = _Job(
        view=view,
        session=session,
        under=under,
        order=order,
        least=under.least(order.face_cm2),
        dating=date_of(view, session, under, order.best_before),
        recorded=recorded,
        listed=list_ingredients(view.food.ingredients, recorded, under),
        statements=due_statements(view, session.guidance, under, order.statements),
    )
    label = RetailLabel(
        code=view.code,
        uri=address_of(view, session),
        parts=(*_head(job), *_list(job), *_body(job), *_tail(job), _net(job)),
        leading_mm=under.leading_mm,
        line_above="ingredients" if under.has_line_above_list else "",
    )
    told = Told(
        view=view,
        under=under,
        listed=job.listed,
        recorded=recorded,
        statements=job.statements,
        is_house_rule=job.dating.is_house_rule,
        has_address=bool(order.address),
        face_cm2=order.face_cm2,
    )
    warnings, notes = tuple(warnings_on(told)), tuple(notes_on(told))
    return Worded(label, job.dating.line, warnings, notes)


def _refuse_unrecorded(view: View) -> None:
    """A label for sale without allergens or ingredients is a fault."""
    food = view.food.name
    apply = f"`lidclock correct {view.code} --food {food!r}` for this container"
    if view.allergens is None:
        raise RefusedError(
            f"the allergens of {spaced(view.code)} ({food}) are not all recorded, and "
            f"a label for sale must name them: `lidclock food add {food!r} --allergens "
            f"LIST` (or --no-allergens), then {apply}"
        )
    if not view.food.ingredients:
        raise RefusedError(
            f"the ingredients of {spaced(view.code)} ({food}) are not recorded: "
            f"`lidclock food add {food!r} --ingredient NAME=MASS` for each of them, "
            f"then {apply}"
        )


def _head(job: _Job) -> Iterator[Part]:
    """The name, and the date with its notes."""
    states = [Run(f" {x.text}") for x in job.statements if x.place == "name"]
    name = Run(job.view.food.name, bold=True)
    yield Part("name", (name, *states), job.least, NAME)
    yield Part("date", (Run(job.dating.line, bold=True),), job.least, DATE)
    if job.dating.note:
        yield Part("note", (Run(job.dating.note, bold=True),), job.least)
    if job.dating.frozen:
        yield Part("frozen", (Run(job.dating.frozen),), job.least)


def _list(job: _Job) -> Iterator[Part]:
    """The ingredients with their allergens, and the statement behind them."""
    head = Run(f"{job.under.words['ingredients']} ", bold=True)
    runs = (head, *job.listed.runs, Run("."))
    yield Part("ingredients", runs, job.least, is_headed=True)
    contains = contains_runs(job.listed, job.recorded, job.under)
    if contains:
        yield Part("contains", contains, job.least, is_headed=True)


def _body(job: _Job) -> Iterator[Part]:
    """How to keep it, and the fixed statements."""
    storage = _storage(job)
    if storage:
        yield Part("storage", (Run(storage),), job.least)
    for one in job.statements:
        if one.place == "foot":
            head = (Run(f"{one.heading}. ", bold=True),) if one.heading else ()
            least = job.least
            if one.least is not None:
                tall = max(least.mm, one.least.mm)
                least = replace(least, mm=tall, pt=one.least.pt)
            yield Part("statement", (*head, Run(one.text)), least)


def _storage(job: _Job) -> str:
    """Where to keep it, and the food's own handling line."""
    guidance, words = job.session.guidance, job.under.words
    category = guidance.categories.get(job.view.food.category)
    own = job.view.food.handling or (category.handling if category else "")
    if category is not None and category.tcs == "no":
        return own
    if job.view.verdict.status == "paused":
        return f"{words['keep_frozen']} {own}".strip()
    cold = _cold_words(guidance.cold_c, job.under.degrees)
    return f"{words['keep_cold'].format(cold=cold)} {own}".strip()


def _cold_words(cold_c: float, degrees: str) -> str:
    """The cold limit in whole degrees, rounded to the colder side."""
    celsius = f"{floor(cold_c)} °C"
    if degrees == "F":
        return f"{floor(cold_c * 9 / 5 + 32 + 0.1)} °F ({celsius})"
    return celsius


def _tail(job: _Job) -> Iterator[Part]:
    """Who made it, and what goes first where there is no room."""
    container, words, order = job.view.container, job.under.words, job.order
    maker = order.maker or job.session.kitchen.name
    who = f"{words['made_by']} {maker}"
    where = (Run(f"{who}, "), Run(order.address)) if order.address else (Run(who),)
    yield Part("maker", where, job.least)
    lot = order.lot or container.lot
    if lot:
        goes = None if order.lot else _LOT_GOES
        yield Part("lot", (Run(f"{words['lot']} {lot}"),), job.least, drop=goes)
    facts = []
    if container.made_at is not None:
        made = local_date(container.made_at, job.session.kitchen.zone)
        facts.append(f"{words['made']} {say_day(made)}")
    if container.index is not None and (container.of or 1) > 1:
        facts.append(f"box {container.index} of {container.of}")
    if facts:
        made_line = Run(" · ".join(facts))
        yield Part("day of making", (made_line,), job.least, drop=_MADE_GOES)


def _net(job: _Job) -> Part:
    """The net quantity, as tall as its amount or its panel asks for."""
    mass_g = job.view.container.mass_g
    grams = net_grams(mass_g, job.order.net, spaced(job.view.code))
    least = job.under.least_net(float(grams), job.order.face_cm2)
    text = say_net(grams, job.under.units, job.under.words["net"])
    return Part("net quantity", (Run(text, bold=True),), least, NET)
