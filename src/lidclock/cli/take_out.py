"""`take-out`: when to take a container out so that it is ready at a meal."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import click

from lidclock.cli.desk import Desk, coming_time_of, pass_desk
from lidclock.cli.options import (
    code_words,
    echo_json,
    echo_lines,
    json_option,
    one_code,
)
from lidclock.cli.show import say_when
from lidclock.domain.codes import spaced
from lidclock.domain.moments import say_hours, say_moment

if TYPE_CHECKING:
    from lidclock.app.values import Hours, Limit, Option, Refused, Takeout

_WAYS = {
    "fridge": "in the fridge",
    "counter": "on the counter",
    "cold-water": "in cold water",
    "temper": "on the counter, to lose its chill",
    "from-frozen": "cooked from frozen",
    "straight": "straight from the fridge",
}


@click.command(name="take-out")
@code_words()
@click.option("--ready", required=True, metavar="TIME", help="When it must be ready.")
@click.option(
    "--to",
    type=click.Choice(["fridge", "counter"]),
    help="Where it had better be ready.  [the fridge, where there is time]",
)
@json_option
@pass_desk
def take_out(
    desk: Desk, words: tuple[str, ...], ready: str, to: str | None, as_json: bool
) -> None:
    """Say when to take a container out, from where to where, to be ready by a meal.

    The hour goes by the slow case. Counter time is charged before it is spent: a way
    that would leave the food past a limit at the meal is refused, and which limit is
    said. Hours are the kitchen's own (`lidclock plan food`), else those of the model of
    heat, else the trade's rule by weight. Nothing is recorded: `scan` does that when
    it is done.

    \b
    Example:
      lidclock take-out 4F7 K2M0 --ready "Thu 18:30"
      lidclock take-out 4F7 K2M0 --ready "tomorrow 12:00" --to counter
    """
    from lidclock.app.takeout import takeouts
    from lidclock.app.takeout_json import scan_words, takeout_json

    with desk.session() as session:
        ready_by = coming_time_of(session, ready)
        assert ready_by is not None
        with session.read() as unit:
            found = takeouts(unit, one_code(words), ready_by, to=to)
        zone = session.kitchen.zone
    if as_json:
        echo_json(takeout_json(found, zone))
        return
    chosen = found.chosen
    command = scan_words(chosen, found, zone) if chosen else ""
    echo_lines(_lines(found, zone, command))


def _lines(found: Takeout, zone: ZoneInfo, command: str) -> list[str]:
    lines = [f"{spaced(found.code)} {found.food}, in {found.from_place}"]
    if found.chosen is not None:
        lines += _chosen_lines(found.chosen, found, zone)
        lines.append(f"  When it is out: {command}")
    else:
        lines.append("  No hour can be proposed.")
    lines += [f"  ? {ask}" for ask in found.asks]
    lines += [f"  or {_option_words(one, zone)}" for one in found.alternatives]
    for one in found.refused:
        lines += _refused_lines(one, found.ready_by, zone)
    return lines + [f"  {caution}" for caution in found.cautions]


def _chosen_lines(one: Option, found: Takeout, zone: ZoneInfo) -> list[str]:
    hours = one.way.hours
    out_at = say_moment(one.take_out_at, zone)
    lines = [f"  Take it out {out_at}, to {one.way.to_place}."]
    if hours is not None and hours.high > 0:
        lines.append(f"  It takes {_band(hours)}:")
        lines.append(f"  {hours.source}.")
        soonest = say_when(one.ready_low_at or one.take_out_at, zone)
        by, look = say_when(found.ready_by, zone), say_when(one.alarm_at, zone)
        when = by if soonest == by else f"between {soonest} and {by}"
        lines.append(f"  Ready {when}; look at it {look}.")
    if one.way.then:
        lines.append(f"  Then: {one.way.then}.")
    return [*lines, *_cost_lines(one, zone)]


def _cost_lines(one: Option, zone: ZoneInfo) -> list[str]:
    """What the counter time costs the clock, and the last moment that is left."""
    lines = []
    if one.counter_h > 0:
        spent = say_hours(timedelta(hours=one.counter_h))
        lines.append(f"  Counter time up to the meal: {spent}, charged to its clock.")
    if one.last_moment is not None:
        lines.append(f"  Its last moment is then {say_moment(one.last_moment, zone)}.")
    return lines


def _option_words(one: Option, zone: ZoneInfo) -> str:
    hours, what = one.way.hours, _WAYS[one.way.name]
    after = f"; {one.way.then}" if one.way.then else ""
    if hours is None:
        source = f" ({one.way.source})" if one.way.source else ""
        when = f", out {say_when(one.take_out_at, zone)}" if one.way.source else ""
        return f"{what}{when}{source}{after}"
    took = f" ({_band(hours)})" if hours.high > 0 else ""
    spent = ""
    if one.counter_h > 0:
        spent = f", {say_hours(timedelta(hours=one.counter_h))} of counter time"
    return f"{what}, out {say_when(one.take_out_at, zone)}{took}{spent}{after}"


def _refused_lines(one: Refused, ready_by: datetime, zone: ZoneInfo) -> list[str]:
    out_at = say_when(one.take_out_at, zone)
    head = f"  not {_WAYS[one.way.name]}, out {out_at}:"
    if one.limit is None:
        return [f"{head} {one.why}"]
    return [head, f"      {one.why}", *_limit_lines(one.limit, ready_by, zone)]


def _limit_lines(limit: Limit, ready_by: datetime, zone: ZoneInfo) -> list[str]:
    source = limit.rule.source
    lines = []
    if limit.last_moment is not None:
        lines.append(
            f"      its last moment would be {say_when(limit.last_moment, zone)}, the "
            f"meal is {say_when(ready_by, zone)}"
        )
    shaky = "" if source.verified else ", unverified"
    where = f"{source.authority}, {source.document}, {limit.rule.section}"
    return [*lines, f"      {where} ({source.year}{shaky})"]


def _band(hours: Hours) -> str:
    low, high = (say_hours(timedelta(hours=one)) for one in (hours.low, hours.high))
    return low if low == high else f"{low} to {high}"
