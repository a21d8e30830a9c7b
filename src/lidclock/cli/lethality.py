"""`lethality`: what a probe's trace of a cooking or reheating is worth."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.growth import read_text
from lidclock.cli.guidance_target import source_words
from lidclock.cli.options import echo_json, echo_lines, json_option

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lidclock.app.lethality import Answer, Judged

_A_SECOND_MIN = 1 / 60


@click.command()
@click.argument("file", default="-", metavar="[FILE|-]")
@click.option(
    "--for", "words", metavar="WORDS", help="What it was, e.g. 'ground beef'."
)
@click.option(
    "--topic",
    type=click.Choice(["cooking", "reheating"]),
    help="Targets of this alone.",
)
@click.option("--set", "set_id", metavar="SET", help="The targets of this set alone.")
@click.option("--unit", type=click.Choice(["C", "F"]), help="If the file does not say.")
@click.option("--temp", default="", metavar="COLUMN", help="Which column is the probe.")
@click.option("--order", type=click.Choice(["dmy", "mdy", "ymd"]), help="Of its dates.")
@click.option("--zone", default="UTC", metavar="ZONE", help="Of its times. [UTC]")
@click.option("--list", "is_list", is_flag=True, help="Show the tables of lethality.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Draw it to FILE.png, FILE.svg or FILE.pdf.",
)
@json_option
@pass_desk
def lethality(desk: Desk, file: str, as_json: bool, **options: Any) -> None:
    """Set a probe's trace of a cooking or reheating against the authorities' targets.

    FILE is a CSV of minutes or times and °C or °F, as probes and loggers write it, or
    JSON: {"profile": [[minutes, temp_c], ...]} with "organism", a table of --list, or
    with "z_c", "reference_c" and "d_min". Each target is met, not met or unknown by
    these readings. Lethality is a model's and judges nothing. No kitchen is needed.

    \b
    Example:
      lidclock lethality probe.csv --for 'ground beef' --out burger.png
      lidclock lethality probe.csv --for reheat --set us-food-code
    """
    from lidclock.app import lethality as app

    if options["is_list"]:
        _show_list(app.processes(), as_json)
        return
    found = app.answer(
        _trace(desk, file, options),
        (options["words"] or "").split(),
        options["set_id"],
        options["topic"],
    )
    if as_json:
        echo_json(app.answer_json(found))
    else:
        echo_lines(list(answer_lines(found)))
    if options["out"] is not None:
        from lidclock.app.lethality_figure import draw_answer

        name = "trace" if file == "-" else Path(file).stem
        draw_answer(found, name, options["out"])
        click.echo(f"drawing: {options['out']}", err=as_json)


def _trace(desk: Desk, file: str, options: dict[str, Any]) -> Any:
    from lidclock.app.heating_file import Reading, read_trace
    from lidclock.domain.moments import zone_of

    zone = zone_of(options["zone"])
    how = Reading(
        zone,
        desk.now(zone),
        options["unit"] or "",
        options["order"] or "",
        options["temp"],
    )
    return read_trace(read_text(file), how)


def answer_lines(found: Answer) -> Iterator[str]:
    """The targets first, then the tables, then what to be careful of."""
    heating = found.trace.heating
    span = float(heating.minutes[-1] - heating.minutes[0])
    low, high = float(heating.temps_c.min()), float(heating.temps_c.max())
    yield (
        f"{heating.minutes.size} readings over {_minutes(span)}, "
        f"{low:.1f} to {high:.1f} °C"
    )
    yield from (f"  {note}" for note in found.trace.notes)
    yield "targets, by these readings"
    for group in _grouped(found.judged):
        yield from _group_lines(group)
    yield "lethality, a model"
    for one in found.worth:
        yield f"  {one.process.name} ({one.process.id})"
        yield from (f"    {line}" for line in _worth_lines(one))
    yield "cautions"
    yield from (f"  {one}" for one in found.cautions)


def _grouped(judged: tuple[Judged, ...]) -> list[list[Judged]]:
    """Rows of one section for one food are alternatives: one of them is enough."""
    groups: dict[tuple[str, ...], list[Judged]] = {}
    for one in judged:
        target = one.target
        key = (target.set, target.topic, target.section, target.food)
        groups.setdefault(key, []).append(one)
    return list(groups.values())


def _group_lines(group: list[Judged]) -> Iterator[str]:
    from lidclock.app.targets import set_title

    target = group[0].target
    states = [one.state for one in group]
    best = next((x for x in ("met", "unknown") if x in states), "not met")
    several = f" by one of {len(group)} rows" if len(group) > 1 else ""
    yield f"  {set_title(target.set)}, {target.topic}: {best}{several}"
    for one in group:
        yield f"    {one.target.says}"
        yield f"      {one.state}{_why(one)}"
    yield f"      source: {source_words(target)}"


def _why(one: Judged) -> str:
    if one.why:
        return f": {one.why}"
    if one.held_min is None or one.since_min is None or one.needed_c is None:
        return ""
    if one.held_min < _A_SECOND_MIN:
        return f": {one.needed_c:.1f} °C reached at minute {one.since_min:.1f}"
    return (
        f": {_minutes(one.held_min)} at or above {one.needed_c:.1f} °C, "
        f"from minute {one.since_min:.1f} on"
    )


def _minutes(minutes: float) -> str:
    """`12 s`, `3.4 min`, `96 min`."""
    if 0 < minutes < 1:
        return f"{minutes * 60:.0f} s"
    return f"{minutes:.1f} min" if minutes < 10 else f"{minutes:.0f} min"


def _worth_lines(one: Any) -> Iterator[str]:
    process = one.process
    at = f"{process.reference_c:.1f} °C"
    for words, worth in (
        (f"slow way up not credited (counted from minute {one.reached:.1f})",
         one.after_come_up),
        ("slow way up credited", one.whole),
    ):  # fmt: skip
        logs = one.logs(worth)
        told = "" if logs is None else f", {logs:.1f} log reductions"
        if one.is_more_than_table(worth):
            told = f", more than the table's {process.logs:g} log reductions"
        yield f"{_minutes(worth)} at {at}{told}: {words}"
    if process.minutes is not None:
        yield f"the table: {process.minutes:g} min at {at} for {process.logs:g} logs"
        low, high = process.valid_c
        yield (
            f"its figures: {low:.1f} to {high:.1f} °C; colder counts nothing, warmer "
            "as the warmest of them"
        )
    if one.has_gaps:
        yield "gaps counted nothing"
    if process.says:
        yield process.says
    source = process.source
    parts = [source.authority, source.document, source.section, source.year]
    if not source.is_verified:
        parts.append("unverified")
    yield f"source: {', '.join(part for part in parts if part)}"


def _show_list(found: list[dict[str, Any]], as_json: bool) -> None:
    if as_json:
        echo_json(found)
        return
    lines = []
    for one in found:
        source = one["source"]
        cited = ", ".join(
            source[key] for key in ("authority", "document", "section", "year")
        )
        lines += [f"{one['id']}: {one['name']}", f"  {one['says']}", f"  {cited}"]
    echo_lines(lines)
