"""The words of an order form, on the screen and on paper alike."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from lidclock.app.list_words import ListPage, Row, Section
from lidclock.app.order_form import Line, OrderForm
from lidclock.app.session import Session
from lidclock.domain.moments import local_date, say_day
from lidclock.domain.sentences import Figure, figure, sentence, sentences
from lidclock.plan.units import decimal_text, say_mass

_AVERAGE = sentence(
    "This is what is used on average: half the time it is not quite enough. Order more "
    "of what must not run out."
)
_TRIMMED = sentence(
    "Masses are as bought. What the recipe names no yield for is taken as if nothing "
    "were trimmed off."
)
_BLANKS = ("Ordered", "Came", "Initials")
_PLACES = 3


def order_page(found: OrderForm, session: Session) -> ListPage:
    """The form in words: each thing with what to order, and why so much."""
    units = session.kitchen.units
    sections = []
    if found.lines:
        rows = tuple(_row(one, found, units) for one in found.lines)
        sections.append(Section(sentence("By the piece"), rows, _BLANKS))
    cautions = [_AVERAGE]
    if found.recipe is not None:
        part = found.recipe
        head = sentences(
            "{recipe}, version {version}: {count} portion",
            "{recipe}, version {version}: {count} portions",
            part.portions,
            recipe=part.name,
            version=figure(part.version),
        )
        rows = tuple(_row(one, found, units) for one in part.lines)
        sections.append(Section(head, rows, _BLANKS))
        cautions.append(_TRIMMED)
    return ListPage(
        "Order form",
        session.kitchen.name,
        say_day(local_date(session.now, session.kitchen.zone)),
        (_cover_line(found),),
        tuple(sections),
        tuple(cautions),
    )


def _cover_line(found: OrderForm) -> str:
    return sentences(
        "To last {count} day: {lead} until it comes, {review} until the next order.",
        "To last {count} days: {lead} until it comes, {review} until the next order.",
        found.cover,
        lead=figure(found.lead),
        review=figure(found.review),
    )


def _row(one: Line, found: OrderForm, units: str) -> Row:
    if one.order:
        amount = _bought(one, Fraction(one.order), units)
        main = sentence("{name}: order {amount}", name=one.name, amount=amount)
    else:
        main = sentence("{name}: enough is there", name=one.name)
    return Row(main, tuple(_details(one, found, units)))


def _details(one: Line, found: OrderForm, units: str) -> list[str]:
    told: list[str] = []
    if one.use:
        told.append(
            sentences(
                "{use} a day for {count} day",
                "{use} a day for {count} days",
                found.cover,
                use=_bought(one, one.use, units),
            )
        )
    if one.promised:
        told.append(
            sentence(
                "{amount} for one occasion", amount=_bought(one, one.promised, units)
            )
        )
    told.append(sentence("{amount} on hand", amount=_bought(one, one.on_hand, units)))
    if one.yielded != 1:
        told.append(
            sentence(
                "{mass} to weigh in, at a yield of {percent} %",
                mass=say_mass(one.needed * one.yielded, units),
                percent=Figure(decimal_text(one.yielded * 100, 2)),
            )
        )
    return told


def _bought(one: Line, amount: Fraction, units: str) -> str:
    if one.in_grams:
        return say_mass(amount, units)
    return Figure(decimal_text(amount, _PLACES))


def order_json(found: OrderForm, session: Session) -> dict[str, Any]:
    """The form as JSON-ready data: numbers are decimals written as text."""
    part = found.recipe
    return {
        "day": local_date(session.now, session.kitchen.zone).isoformat(),
        "lead_days": found.lead,
        "review_days": found.review,
        "cover_days": found.cover,
        "items": [_line_json(one) for one in found.lines],
        "recipe": None
        if part is None
        else {
            "name": part.name,
            "version": part.version,
            "portions": part.portions,
            "inputs": [_line_json(one) for one in part.lines],
        },
    }


def _line_json(one: Line) -> dict[str, Any]:
    facts = {
        "name": one.name,
        "unit": "g" if one.in_grams else None,
        "use_per_day": decimal_text(one.use),
        "for_one_occasion": decimal_text(one.promised),
        "needed": decimal_text(one.needed),
        "on_hand": decimal_text(one.on_hand),
        "order": one.order,
    }
    if one.in_grams:
        facts["yield"] = decimal_text(one.yielded)
        facts["weighed_in"] = decimal_text(one.needed * one.yielded)
    return facts
