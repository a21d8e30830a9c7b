"""A recipe as a form has it: lines of text, made of a kept document and back."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

from lidclock.app.mixing import as_share, with_unit
from lidclock.app.recipe_values import Values, parsed
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import sentence
from lidclock.plan.recipe import HUNDRED
from lidclock.plan.units import decimal_text, read_number
from lidclock.store.recipes import Kept

# What the fields are called where one is spoken of.
FIELDS: Mapping[str, str] = {
    "name": sentence("name"),
    "count": sentence("portions that it makes"),
    "portion": sentence("each portion"),
    "loss": sentence("lost on the way"),
    "currency": sentence("money"),
    "note": sentence("note"),
    "amount": sentence("how much"),
    "allergens": sentence("allergens"),
    "is_base": sentence("counts as 100 %"),
    "usable": sentence("usable share"),
    "price": sentence("price"),
    "price_per": sentence("what the price is for"),
    "density": sentence("density"),
}
_COMMENT = "#"


@dataclass(frozen=True, slots=True)
class Line:
    """One ingredient as it was typed; no allergens and not `has_none` is unknown."""

    name: str = ""
    amount: str = ""
    allergens: str = ""
    has_none: bool = False
    is_base: bool = False
    usable: str = ""
    price: str = ""
    price_per: str = ""
    density: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing was typed into it."""
        return self == Line()

    @property
    def more(self) -> tuple[str, ...]:
        """What it says beyond what every recipe says, in figures."""
        price = " / ".join(filter(None, (self.price, self.price_per)))
        base = "100 %" if self.is_base else ""
        return tuple(filter(None, (base, self.usable, self.density, price)))


@dataclass(frozen=True, slots=True)
class RecipeForm:
    """A recipe as it was typed; it makes a count, or loses a share of its mix."""

    name: str = ""
    count: str = ""
    portion: str = ""
    loss: str = ""
    currency: str = ""
    note: str = ""
    lines: tuple[Line, ...] = ()


def form_of(kept: Kept) -> RecipeForm:
    """The form that shows a kept recipe, whichever way its document was written."""
    document = parsed(kept.text, is_toml=kept.is_toml)
    makes = document.get("makes") or {}
    base = document.get("base") or []
    of = {one.casefold() for one in ([base] if isinstance(base, str) else base)}
    return RecipeForm(
        kept.name,
        _number_text(makes.get("count")),
        _mass_text(makes.get("portion")),
        _percent_text(document.get("loss")),
        document.get("currency") or "",
        document.get("note") or "",
        tuple(_line(one, of) for one in document["inputs"]),
    )


def has_comments(kept: Kept) -> bool:
    """Whether its document says something beside the recipe, which no form shows."""
    return kept.is_toml and _COMMENT in kept.text


def document_of(form: RecipeForm, units: str, values: Values) -> str:
    """The document that says what was typed; bare masses are in the kitchen's unit.

    What only a form can say wrongly becomes a fault of `values`.
    """
    lines = [one for one in form.lines if not one.is_empty]
    if not lines:
        values.fault("inputs", sentence("write down at least one ingredient"))
    if not form.name.strip():
        values.fault(
            "name", sentence("is missing; a recipe is kept and found by its name")
        )
    makes = _given(count=form.count, portion=with_unit(form.portion, units))
    document = _given(
        name=form.name,
        base=[one.name for one in lines if one.is_base],
        loss=as_share(form.loss) if _is_plain(form.loss) else form.loss,
        makes=makes,
        currency=form.currency,
        note=form.note,
        inputs=[_input(values, at, one, units) for at, one in enumerate(lines)],
    )
    return json.dumps(document, ensure_ascii=False, indent=2)


def differences(
    before: RecipeForm, after: RecipeForm
) -> Iterator[tuple[str, str, str]]:
    """What is called how, what it was, and what it is now; empty for nothing."""
    for one in fields(RecipeForm):
        was, now = getattr(before, one.name), getattr(after, one.name)
        if one.name != "lines" and was != now:
            yield FIELDS[one.name], was, now
    known = {one.name.casefold(): one for one in before.lines}
    there = {one.name.casefold(): one for one in after.lines}
    for key in known | there:
        was_line, now_line = known.get(key, Line()), there.get(key, Line())
        name = now_line.name or was_line.name
        for field in fields(Line):
            was, now = _said(was_line, field.name), _said(now_line, field.name)
            if field.name in FIELDS and field.name != "name" and was != now:
                what = FIELDS[field.name]
                yield with_commas([name, what]), was, now


def _said(line: Line, field: str) -> str:
    """What a field of a line says, in words where it is a tick."""
    if field == "allergens" and line.has_none:
        return sentence("none")
    value = getattr(line, field)
    if isinstance(value, bool):
        return sentence("yes") if value else ""
    return str(value)


def _line(given: Mapping[str, Any], base: set[str]) -> Line:
    allergens, percent = given.get("allergens"), given.get("percent")
    amount = _mass_text(given.get("mass"))
    if percent is not None:
        amount = f"{_number_text(percent).removesuffix('%').strip()} %"
    return Line(
        given["name"],
        amount,
        ", ".join(allergens or ()),
        allergens == [],
        given["name"].casefold() in base,
        _percent_text(given.get("yield")),
        _number_text(given.get("price")),
        _mass_text(given.get("price_per")),
        _number_text(given.get("density")),
    )


def _input(values: Values, at: int, line: Line, units: str) -> dict[str, Any]:
    """One ingredient of the document; a fault where it says two things at once."""
    names = [one for part in line.allergens.split(",") if (one := part.strip())]
    if names and line.has_none:
        values.fault(
            f"inputs[{at}].allergens",
            sentence("name allergens, or say that there are none: one of the two"),
        )
    is_percent = line.amount.strip().endswith("%")
    mass = "" if is_percent else with_unit(line.amount, units)
    found = _given(
        name=line.name,
        mass=mass,
        percent=line.amount if is_percent else "",
        density=line.density,
        price=line.price,
        price_per=with_unit(line.price_per, units),
    )
    if line.usable.strip():
        is_plain = _is_plain(line.usable)
        found["yield"] = as_share(line.usable) if is_plain else line.usable
    if names or line.has_none:
        found["allergens"] = names
    return found


def _given(**values: Any) -> dict[str, Any]:
    """Those that say something."""
    bare = {
        name: one.strip() if isinstance(one, str) else one
        for name, one in values.items()
    }
    return {name: one for name, one in bare.items() if one}


def _is_plain(text: str) -> bool:
    """Whether it is a number in percent, with the sign or without."""
    return "/" not in text


def _number_text(given: Any) -> str:
    """A number as the document has it: text as it is, others without an exponent."""
    if given is None:
        return ""
    return given.strip() if isinstance(given, str) else f"{Decimal(given):f}"


def _mass_text(given: Any) -> str:
    """A mass with its unit: a bare number in a document is in grams."""
    text = _number_text(given)
    return text if not text or read_number(text) is None else f"{text} g"


def _percent_text(given: Any) -> str:
    """A share in percent; one without an end, such as a third, stays as it is."""
    text = _number_text(given)
    share = None if text.endswith("%") else read_number(text)
    if share is None:
        return text
    percent = decimal_text(share * HUNDRED)
    if Fraction(percent) != share * HUNDRED:
        return text
    return "" if share == 0 else f"{percent}%"
