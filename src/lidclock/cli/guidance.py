"""`guidance`: whose limits count, what they say, and how they differ."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.lazy import LazyGroup
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, plural

if TYPE_CHECKING:
    from lidclock.app.guidance import Changed
    from lidclock.app.values import GuidanceSet

_HERE = "lidclock.cli"
COMMANDS = {
    "sets": f"{_HERE}.guidance:sets",
    "categories": f"{_HERE}.guidance_categories:categories",
    "explain": f"{_HERE}.guidance_explain:explain",
    "compare": f"{_HERE}.guidance_explain:compare",
    "target": f"{_HERE}.guidance_target:target",
    "tcs": f"{_HERE}.guidance_tcs:tcs",
    "allergens": f"{_HERE}.guidance_allergens:allergens",
    "use": f"{_HERE}.guidance:use",
    "add": f"{_HERE}.guidance:add",
}


@click.group(cls=LazyGroup, lazy=COMMANDS)
def guidance() -> None:
    """Whose limits count here, what they say, where they come from, how they differ."""


@guidance.command()
@json_option
@click.option("--unverified", is_flag=True, help="Only figures that nobody checked.")
def sets(as_json: bool, unverified: bool) -> None:
    """List the guidance sets: whose they are, how they count, how far checked.

    \b
    Example:
      lidclock guidance sets
    """
    from lidclock.app import guidance as app

    shipped = list(app.shipped())
    if unverified:
        rows = [row for one in shipped for row in _unverified_rows(one)]
        keys = ("set", "rule", "says", "source")
        if as_json:
            echo_json([dict(zip(keys, row, strict=True)) for row in rows])
        else:
            echo_lines(
                [
                    line
                    for _, rule, says, source in rows
                    for line in (f"{rule}: {says}", f"  {source}")
                ]
            )
    elif as_json:
        echo_json([_set_json(one) for one in shipped])
    else:
        echo_lines([line for one in shipped for line in _set_lines(one)])


def _unverified_rows(one: GuidanceSet) -> list[tuple[str, str, str, str]]:
    return [
        (
            *(one.id, f"{one.id}: {rule.id}", rule.says),
            f"{rule.source.authority}, {rule.source.document}, {rule.source.year}; "
            f"{rule.source.grade}, unverified",
        )
        for rule in one.rules
        if not rule.source.verified
    ]


def _set_lines(one: GuidanceSet) -> list[str]:
    from lidclock.app.guidance import limits_of

    limits, unchecked = limits_of(one)
    checked = f", {unchecked} of them unverified" if unchecked else ""
    return [
        f"{one.id}: {one.title}",
        f"  {one.authority}",
        f"  {plural(limits, 'limit')}{checked}; cold is {one.cold_c:g} °C or below",
        f"  {one.counting.says}",
        f"  {one.advice}",
    ]


def _set_json(one: GuidanceSet) -> dict[str, object]:
    from lidclock.app.guidance import limits_of

    limits, unchecked = limits_of(one)
    return {
        "id": one.id,
        "title": one.title,
        "authority": one.authority,
        "advice": one.advice,
        "cold_c": one.cold_c,
        "allergens": one.allergens,
        "limits": limits,
        "unverified": unchecked,
        "freeze_day_counts": one.counting.freeze_day_counts,
        "thaw_day_counts": one.counting.thaw_day_counts,
        "fresh_hours": one.counting.fresh_hours,
        "counting": one.counting.says,
    }


@guidance.command()
@click.argument("name", metavar="[SET]", required=False)
@click.option(
    "--high-risk/--no-high-risk",
    default=None,
    help="People at higher risk eat here: the low end of every range is the limit.",
)
@pass_desk
def use(desk: Desk, name: str | None, high_risk: bool | None) -> None:
    """Go by a shipped SET from now on; every last day is worked out anew.

    \b
    Examples:
      lidclock guidance use uk-home
      lidclock guidance use --high-risk
    """
    from lidclock.app import guidance as app

    if name is None and high_risk is None:
        raise click.UsageError("name a set, or say --high-risk or --no-high-risk")
    with desk.session() as session:
        was = session.kitchen
        changed = app.use(session, name, is_high_risk=high_risk)
        echo_lines(_changed_lines(changed))
        if was.guidance_text and not session.kitchen.guidance_text:
            click.echo(
                f"the local set {was.guidance} is put away; "
                "`lidclock guidance add FILE` brings it back"
            )


@guidance.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--check", is_flag=True, help="Only read it, and say what is wrong.")
@pass_desk
def add(desk: Desk, file: Path, check: bool) -> None:
    """Go by the local set in FILE, which adds rules to a shipped set.

    It may shorten any limit. A longer one names the authority that approved it and
    the date, and every verdict, list and label made under it says so. The format
    stands in docs/rule-files.md.

    \b
    Example:
      lidclock guidance add our-rules.toml --check
    """
    from lidclock.app import guidance as app

    if check:
        found = app.check(file)
        click.echo(
            f"{file}: {found.id} is in order ({plural(len(found.rules), 'rule')})"
        )
        return
    with desk.session() as session:
        echo_lines(_changed_lines(app.add(session, file)))


def _changed_lines(changed: Changed) -> list[str]:
    """The set now in force, and what that did to the last days."""
    found = changed.guidance
    risk = ", read for people at higher risk" if found.is_high_risk else ""
    counts = [
        (changed.earlier, "end earlier now"),
        (changed.later, "end later now"),
        (changed.settled, "have a last moment now"),
        (changed.unsettled, "have none any more"),
        (changed.same, "as before"),
    ]
    rows = [[str(count), what] for count, what in counts if count]
    lines = [f"guidance: {found.id}, {found.title}{risk}", *columns(rows, indent=2)]
    approved = [rule for rule in found.rules if rule.approval is not None]
    for rule in approved:
        approval = rule.approval
        if approval is not None:
            lines.append(
                f"longer than its set: {rule.says} (approved by {approval.authority}, "
                f"{approval.on:%-d %b %Y})"
            )
    moved = changed.earlier + changed.later + changed.settled + changed.unsettled
    if moved:
        lines.append("lids that say another day: `lidclock label --unlabelled`")
    return lines
