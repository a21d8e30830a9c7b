"""The words of a batch sheet, and its file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from lidclock.app.files import write_whole
from lidclock.app.guidance_words import allergen_names
from lidclock.app.recipes import Plan, plan_json
from lidclock.domain.foods import merged_allergens
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError
from lidclock.labels.batch_sheet import BatchSheet, SheetRow, draw_batch_sheet
from lidclock.labels.sheet_part import PAPERS
from lidclock.plan.recipe import Input
from lidclock.plan.units import decimal_text

__all__ = ["PAPERS", "batch_sheet", "write_batch_sheet"]

_FOOT = (
    "This sheet sets no date: the last day stands on the lid, by the guidance set in "
    "force. Read the allergens off the packs in hand."
)


def write_batch_sheet(
    plan: Plan, path: Path, *, version: int | None = None, paper: str = "a4"
) -> None:
    """Write the sheet to a PDF, whole or not at all."""
    if path.suffix.lower() != ".pdf":
        raise InputError(f"{path.name} must end in .pdf")
    write_whole(path, [sheet_pdf(plan, version, paper)])


def sheet_pdf(plan: Plan, version: int | None, paper: str) -> bytes:
    """The sheet as a PDF; LabelError where it does not fit on one page."""
    return draw_batch_sheet(batch_sheet(plan, version), paper)


def batch_sheet(plan: Plan, version: int | None = None) -> BatchSheet:
    """The plan in the words of a sheet."""
    scaled, recipe = plan.scaled, plan.scaled.recipe
    rows = tuple(
        SheetRow(one.name, say_percent(recipe.percent(one)), plan.say(mass))
        for one, mass in zip(recipe.inputs, scaled.masses_g, strict=True)
    )
    total = SheetRow(
        "all together", say_percent(recipe.percent_total), plan.say(scaled.mix_g)
    )
    return BatchSheet(
        recipe.name,
        facts(plan, version),
        rows,
        total,
        divide_line(plan),
        tuple(plan.say(Fraction(one)) for one in plan.shares_g),
        _notes(plan),
        _FOOT,
    )


def facts(plan: Plan, version: int | None) -> tuple[str, ...]:
    """`version 2 · 6 portions of 300 g · loss 2.5 %`."""
    scaled, base = plan.scaled, plan.scaled.recipe.base
    portions = "portion" if scaled.count == 1 else "portions"
    said = [f"{scaled.count} {portions}"]
    if scaled.portion_g is not None:
        said = [f"{scaled.count} {portions} of {plan.say(scaled.portion_g)}"]
    if version is not None:
        said.insert(0, f"version {version}")
    if scaled.loss:
        said.append(f"loss {say_percent(scaled.loss * 100)} %")
    if scaled.factor is not None:
        said.append(f"{decimal_text(scaled.factor, 4)} times the recipe as written")
    what = " and ".join(base) if base else "the whole"
    return (" · ".join(said), f"Percentages are of {what}.")


def divide_line(plan: Plan) -> str:
    """`Divide 1847 g over 6 containers: 5 x 308 g, 1 x 307 g`."""
    if plan.split_g is None or not plan.shares_g:
        return ""
    groups = Counter(plan.say(Fraction(one)) for one in plan.shares_g)
    each = ", ".join(f"{count} x {shown}" for shown, count in groups.items())
    count = len(plan.shares_g)
    containers = "container" if count == 1 else "containers"
    return f"Divide {plan.say(plan.split_g)} over {count} {containers}: {each}"


def say_percent(percent: Fraction) -> str:
    """A percentage to two decimals."""
    return decimal_text(percent, 2)


def allergen_line(plan: Plan) -> str:
    """What is in it, and of what nobody recorded it."""
    return allergens_in(plan.scaled.recipe.inputs)


def allergens_in(inputs: Iterable[Input]) -> str:
    """The same for some inputs, at no size."""
    there = list(inputs)
    known = allergen_names(
        merged_allergens(one.known_allergens for one in there) or ()
    ) or sentence("none recorded as present")
    missing = [one.name for one in there if one.allergens is None]
    if not missing:
        return known
    return sentence(
        "{known}; NOT RECORDED for {names}", known=known, names=with_commas(missing)
    )


def _notes(plan: Plan) -> tuple[tuple[str, str], ...]:
    answer = plan_json(plan)
    notes = [
        ("Allergens", allergen_line(plan)),
        ("Ingredients, the heaviest first", ", ".join(answer["ingredients"])),
    ]
    if plan.asked.note:
        notes.append(("Note", plan.asked.note))
    if plan.remarks:
        notes.append(("Look at this again", "; ".join(plan.remarks)))
    return tuple(notes)
