"""`recipe show`, `recipe sheet`: a recipe at a size, on the screen and on paper."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option, paper_option
from lidclock.cli.recipe_scale import size_options
from lidclock.cli.recipe_source import Source, source_of, version_option
from lidclock.cli.show import columns
from lidclock.domain.screen_text import shown

if TYPE_CHECKING:
    from lidclock.app.recipes import Plan

units_option = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="[the kitchen's]"
)


@click.command()
@click.argument("name", metavar="NAME|FILE|-")
@size_options
@units_option
@version_option
@json_option
@pass_desk
def show(
    desk: Desk, name: str, version: int | None, as_json: bool, **size: Any
) -> None:
    """Show a kept recipe, or one in a file, as a table for so many portions.

    What ends in .toml or .json is a file; anything else is a name.

    \b
    Example:
      lidclock recipe show "bun dough" --count 6 --portion 300g
    """
    source = source_of(desk, name, version)
    plan = planned(source, size)
    if as_json:
        from lidclock.app.recipes import plan_json

        echo_json({"version": source.version, **plan_json(plan)})
    else:
        echo_lines([shown(line) for line in _lines(plan, source.version)])


@click.command()
@click.argument("name", metavar="NAME|FILE|-")
@size_options
@units_option
@version_option
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    required=True,
    help="The file to write.",
)
@paper_option
@pass_desk
def sheet(
    desk: Desk,
    name: str,
    version: int | None,
    out: Path,
    paper: str | None,
    **size: Any,
) -> None:
    """Write a batch sheet: one page to weigh, tick and fill by.

    \b
    Example:
      lidclock recipe sheet "bun dough" --count 6 --portion 300g --out dough.pdf
    """
    source = source_of(desk, name, version)
    plan = planned(source, size)
    from lidclock.app.recipe_sheet import write_batch_sheet

    chosen = paper or ("letter" if plan.units == "us" else "a4")
    write_batch_sheet(plan, out, version=source.version, paper=chosen)
    click.echo(shown(f"wrote: {out}, {plan.asked.recipe.name}, {chosen}"))


def planned(source: Source, size: dict[str, Any]) -> Plan:
    """The recipe at the size of the options."""
    from lidclock.app.recipes import Size, plan_recipe

    wanted = Size(**{**size, "units": size["units"] or source.units})
    return plan_recipe(source.text, wanted, is_toml=source.is_toml, tree=source.tree)


def _lines(plan: Plan, version: int | None) -> list[str]:
    """The table, then what a cook wants to know beside it."""
    from lidclock.app import recipe_sheet
    from lidclock.app.recipes import plan_json

    sheet = recipe_sheet.batch_sheet(plan, version)
    table = [(one.name, one.percent, one.mass) for one in (*sheet.rows, sheet.total)]
    wide = [max(len(row[at]) for row in table) for at in (1, 2)]
    rows = [
        [name, f"{percent:>{wide[0]}} %", f"{mass:>{wide[1]}}"]
        for name, percent, mass in table
    ]
    answer = plan_json(plan)
    lines = [sheet.title, *sheet.facts, "", *columns(rows), ""]
    lines += [sheet.divide] if sheet.divide else []
    lines.append(f"allergens: {recipe_sheet.allergen_line(plan)}")
    lines += _cost_lines(answer)
    if plan.asked.note:
        lines.append(f"note: {plan.asked.note}")
    return lines + [f"look at this again: {remark}" for remark in plan.remarks]


def _cost_lines(answer: dict[str, Any]) -> list[str]:
    """Money to two decimals: common practice, no source."""
    missing = [one for one in answer["unknown"] if one.startswith("price of ")]
    money = f" {answer['currency']}" if answer["currency"] else ""
    if answer["cost"] is None:
        if not any(one["cost"] for one in answer["inputs"]):
            return []
        part = f"{float(answer['cost_of_priced']):.2f}{money}"
        return [f"cost: unknown; {part} without the {', '.join(missing)}"]
    each, total = float(answer["cost_per_portion"]), float(answer["cost"])
    return [f"cost: {total:.2f}{money}, {each:.2f}{money} a portion"]
