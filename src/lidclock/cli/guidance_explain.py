"""`guidance explain` and `guidance compare`: one history, its arithmetic, all sets."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, gathered, json_option
from lidclock.cli.show import limit_lines, plural, source_words, status_line
from lidclock.domain.codes import spaced
from lidclock.domain.moments import say_day, say_moment

if TYPE_CHECKING:
    from lidclock.app.compare import Asked
    from lidclock.app.values import Verdict

# The longest bar that is drawn whole, one mark a day.
_LONGEST_BAR = 31
_COLUMNS = 88


@click.command()
@click.argument("words", metavar="CODE|FILE", nargs=-1, required=True)
@json_option
@pass_desk
def explain(desk: Desk, words: tuple[str, ...], as_json: bool) -> None:
    """Show the arithmetic of a last day in steps, the binding limit first.

    CODE is on the lid; FILE is a JSON document as for `lidclock assess`, - the input.

    \b
    Example:
      lidclock guidance explain 4F7 K2M0
    """
    from lidclock.app.assess import verdict_json
    from lidclock.app.compare import judged

    what, asked = _asked(desk, words)
    verdict = judged(asked, asked.guidance)
    if as_json:
        echo_json({"guidance": verdict.guidance.id, **verdict_json(verdict)})
    else:
        echo_lines(_explained(what, asked, verdict))


def _asked(desk: Desk, words: tuple[str, ...]) -> tuple[str, Asked]:
    """What is meant: a document if there is one by that name, else a container."""
    from lidclock.app import compare as app
    from lidclock.cli.assess import read_text

    name = " ".join(words)
    if name == "-" or Path(name).is_file():
        asked = app.asked_in(read_text(name), desk.now(ZoneInfo("UTC")))
        return asked.food.name, asked
    codes = gathered(words)
    if len(codes) != 1:
        raise click.UsageError("one container or one file at a time")
    with desk.session() as session:
        asked = app.asked_of(session, codes[0])
    return f"{spaced(codes[0].replace(' ', '').upper())}  {asked.food.name}", asked


def _explained(what: str, asked: Asked, verdict: Verdict) -> list[str]:
    guidance = verdict.guidance
    risk = ", for people at higher risk" if guidance.is_high_risk else ""
    lines = [what, f"{guidance.id}{risk}: {status_line(verdict)}"]
    for number, limit in enumerate(verdict.limits, start=1):
        end = limit.last_moment
        until = say_moment(end, asked.zone) if end is not None else "no moment yet"
        first, *rest = limit_lines(limit)
        lines += [f"{number}. {limit.id}: {until}", f"   {first}"]
        lines += [f"   {line}" for line in rest]
    if verdict.unknown:
        lines += ["not known", *(f"  {line}" for line in verdict.unknown)]
    return [*lines, "cautions", *(f"  {line}" for line in verdict.cautions)]


@click.command()
@click.argument("words", metavar="CODE|FILE", nargs=-1, required=True)
@click.option("--set", "sets", multiple=True, metavar="SET", help="Only these; repeat.")
@json_option
@pass_desk
def compare(
    desk: Desk, words: tuple[str, ...], sets: tuple[str, ...], as_json: bool
) -> None:
    """Judge one history under every authority's limits, the strictest first.

    CODE is on the lid; FILE is a JSON document as for `lidclock assess`, - the input.

    \b
    Example:
      lidclock guidance compare 4F7 K2M0
    """
    from lidclock.app import compare as app
    from lidclock.app.assess import verdict_json

    what, asked = _asked(desk, words)
    verdicts = app.compare(asked, sets)
    if as_json:
        echo_json(
            [{"guidance": one.guidance.id, **verdict_json(one)} for one in verdicts]
        )
        return
    lines = [f"{what} on {say_moment(asked.as_of, asked.zone)}", ""]
    for verdict in verdicts:
        lines += _compared(asked, verdict)
    echo_lines([*lines, *_differences(verdicts, asked.guidance.id)])


def _compared(asked: Asked, verdict: Verdict) -> list[str]:
    """One set: when, a mark for each day, and the rule that says so."""
    name = verdict.guidance.id
    mark = "*" if name == asked.guidance.id else " "
    lines = [f"{mark} {name:<28} {_when(verdict)}"]
    bar = _bar(asked, verdict)
    if bar:
        lines.append(f"    {bar}")
    binding = verdict.binding
    if binding is not None and verdict.status != "unknown":
        said = f"{binding.rule.says} ({source_words(binding)})"
        lines += _wrapped(said)
    elif verdict.status == "paused":
        counted = [x for x in verdict.limits if x.days_left is not None]
        tightest = min(counted, key=lambda x: x.days_left or 0)
        lines += _wrapped(f"{tightest.rule.says} ({source_words(tightest)})")
    else:
        lines += _wrapped(verdict.unknown[0])
    return lines


def _when(verdict: Verdict) -> str:
    if verdict.status == "paused":
        return f"frozen, {plural(verdict.days_left or 0, 'day')} left after thawing"
    if verdict.last_day is None:
        return verdict.status
    binding = verdict.binding
    hour = ""
    if binding is not None and binding.includes_moment and binding.last_moment:
        hour = f" {binding.last_moment.astimezone(verdict.zone):%H:%M}"
    over = ", over" if verdict.status == "over" else ""
    return f"until {say_day(verdict.last_day)}{hour}{over}"


def _bar(asked: Asked, verdict: Verdict) -> str:
    """One mark for each day from the first to the last, those gone by hollow."""
    first, last = asked.began_on, verdict.last_day
    if first is None or last is None or last < first:
        return ""
    today = asked.as_of.astimezone(asked.zone).date()
    days = (last - first).days + 1
    gone = min(max((today - first).days, 0), days)
    shown = "○" * gone + "●" * (days - gone)
    if days > _LONGEST_BAR:
        shown = f"{shown[: _LONGEST_BAR - 3]}..."
    return f"{shown} {plural(days, 'day')}"


def _wrapped(text: str) -> list[str]:
    return wrap(text, _COLUMNS, initial_indent="    ", subsequent_indent="    ")


def _differences(verdicts: list[Verdict], in_force: str) -> list[str]:
    """How far apart the sets are, and how they count a freezing."""
    dated = [one for one in verdicts if one.last_day is not None]
    lines = [""]
    if len(dated) > 1:
        first, last = dated[0], dated[-1]
        if first.last_day != last.last_day and first.last_day and last.last_day:
            days = (last.last_day - first.last_day).days
            lines.append(
                f"{plural(days, 'day')} between the strictest ({first.guidance.id}) "
                f"and the longest ({last.guidance.id})"
            )
        else:
            lines.append("all sets that give a last day give the same")
    unknown = sum(1 for one in verdicts if one.status == "unknown")
    if unknown:
        verb = "gives" if unknown == 1 else "give"
        lines.append(
            f"{plural(unknown, 'set')} {verb} no last day: that is no permission"
        )
    lines.append(f"* {in_force} is asked for; a mark is a day, ○ gone by, ● to come")
    lines.append("Ask your local food authority which of them counts where you are.")
    return lines
