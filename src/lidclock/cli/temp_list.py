"""`temp list` and `temp stats`: what places did."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.instants import to_second
from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, say_when
from lidclock.domain.readings import say_temp

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_report import PlaceReport

_MOST_ROWS = 20
since_option = click.option(
    "--since",
    metavar="SPAN",
    default="7d",
    show_default=True,
    help="How far back to look.",
)


def _span(text: str) -> timedelta:
    from lidclock.cli.when import read_span

    return read_span(text)


@click.command("list")
@click.argument("place", required=False)
@since_option
@json_option
@pass_desk
def list_(desk: Desk, place: str | None, since: str, as_json: bool) -> None:
    """Say how warm each place is and was; of one PLACE, everything.

    \b
    Example:
      lidclock temp list
      lidclock temp list "Fridge 2" --since 2d
    """
    from lidclock.app import temp_report

    within = _span(since)
    with desk.session() as session:
        if place is not None:
            found = temp_report.report(session, place, within)
            if as_json:
                echo_json(_json(found, session))
            else:
                echo_lines([*_place_lines(found, session)])
            return
        all_found = temp_report.report_all(session, within)
        if as_json:
            echo_json([_json(one, session) for one in all_found])
        else:
            echo_lines(columns([_row(one, session) for one in all_found]))


@click.command()
@click.argument("place")
@since_option
@json_option
@pass_desk
def stats(desk: Desk, place: str, since: str, as_json: bool) -> None:
    """Sum up what PLACE did: range, mean, time beyond its limit.

    \b
    Example:
      lidclock temp stats "Fridge 2" --since 30d
    """
    from lidclock.app import temp_report

    with desk.session() as session:
        found = temp_report.report(session, place, _span(since))
        if as_json:
            echo_json(_stats_json(found, session))
        else:
            echo_lines([*_stats_lines(found, session), *_kinetic_lines(found, session)])


def _kinetic_lines(found: PlaceReport, session: Session) -> list[str]:
    """The mean kinetic temperature with what it is not; none for a freezer."""
    if found.stats is None or found.place.state == "freezer":
        return []
    from lidclock.app.temp_values import MEAN_KINETIC
    from lidclock.domain.readings import say_about

    kinetic = say_about(found.stats.kinetic_c, session.kitchen.units)
    return [f"mean kinetic temperature {kinetic}", f"  {MEAN_KINETIC}"]


def _kinetic_json(found: PlaceReport) -> dict[str, Any]:
    """The same as data, never without what it is not."""
    from lidclock.app.temp_values import MEAN_KINETIC

    known = found.stats if found.place.state != "freezer" else None
    return {
        "mean_kinetic_c": known and round(known.kinetic_c, 4),
        "mean_kinetic_says": MEAN_KINETIC if known else None,
    }


def _row(found: PlaceReport, session: Session) -> list[str]:
    """One place as cells: last reading, range, what went beyond, who is silent."""
    from lidclock.cli.temp_words import ago, counted, current_words, silence_words

    units, latest = session.kitchen.units, found.found.latest
    if not found.found.members:
        return [found.place.name, "nobody measures it", "", "", "", ""]
    silent = [x for x in found.found.current if x.silence and x.silence.is_alarm]
    said = "no reading yet"
    if latest is not None:
        said = f"{say_temp(latest.temp_c, units)} {ago(latest.at, session.now)}"
    beyond = [
        counted(len(found.excursions), "excursion"),
        counted(len(found.spikes), "spike"),
    ]
    return [
        found.place.name,
        said,
        _range(found, session),
        ", ".join(part for part in beyond if part),
        current_words(found, session),
        "; ".join(f"{x.sensor.name} {silence_words(x)}" for x in silent),
    ]


def _range(found: PlaceReport, session: Session) -> str:
    from lidclock.domain.readings import say_about

    if found.stats is None:
        return "one reading" if found.has_readings else "not measured"
    units = session.kitchen.units
    low, high = found.stats.min_c, found.stats.max_c
    return f"{say_about(low, units)} to {say_about(high, units)}"


def _place_lines(found: PlaceReport, session: Session) -> Iterator[str]:
    """Everything about one place, what matters now first."""
    from lidclock.app.temp_values import limit_words
    from lidclock.cli.temp_words import (
        current_words,
        disagreement_words,
        excursion_row,
        reading_words,
        silence_words,
    )
    from lidclock.domain.moments import say_span

    kitchen, limit = session.kitchen, found.found.limit
    held_to = limit_words(limit, kitchen.units)
    yield f"{found.place.name} ({found.place.state}): {held_to}"
    if limit is not None:
        source = f" ({limit.source})" if limit.source else ""
        yield f"  {limit.says}{source}"
    if now := current_words(found, session):
        yield f"now: {now}"
    if not found.found.members:
        yield "nobody measures it: what it does is not known"
        return
    for member in found.found.current:
        said = reading_words(member.latest, session)
        yield f"{member.sensor.name}: {said}, {silence_words(member)}"
    yield from _stats_lines(found, session)
    if found.excursions:
        yield "excursions"
        rows = [excursion_row(one, found, session) for one in found.excursions]
        yield from columns(rows[-_MOST_ROWS:], indent=2)
    if found.spikes:
        lag = say_span(timedelta(seconds=found.found.lag_s))
        yield f"spikes: beyond the limit while food {lag} behind the air was not"
        rows = [excursion_row(one, found, session) for one in found.spikes]
        yield from columns(rows[-_MOST_ROWS:], indent=2)
    if found.gaps:
        yield "gaps: nobody measured"
        zone = kitchen.zone
        rows = [
            [
                f"{say_when(one.began, zone)} to {say_when(one.ended, zone)}",
                say_span(one.length),
            ]
            for one in found.gaps[-_MOST_ROWS:]
        ]
        yield from columns(rows, indent=2)
    for apart in found.disagreements[-_MOST_ROWS:]:
        one = apart.found
        began, ended = (say_when(at, kitchen.zone) for at in (one.began, one.ended))
        when = began if one.ended == one.began else f"{began} to {ended}"
        names = apart.first.sensor.name, apart.second.sensor.name
        yield f"{when}: {disagreement_words(*names, one.most_c, session)}"


def _stats_lines(found: PlaceReport, session: Session) -> list[str]:
    from lidclock.cli.temp_words import counted, say_degree_hours
    from lidclock.domain.moments import say_span
    from lidclock.domain.readings import say_about

    since = say_when(found.since, session.kitchen.zone)
    if found.stats is None:
        return [f"since {since}: {_range(found, session)}"]
    units, limit = session.kitchen.units, found.found.limit
    lines = [
        f"since {since}: {_range(found, session)}, mean "
        f"{say_about(found.stats.mean_c, units)} over time, "
        f"{say_span(found.stats.measured)} measured of "
        f"{say_span(found.until - found.since)}"
    ]
    if limit is not None and found.stats.share_beyond is not None:
        total = sum(one.degree_hours for one in (*found.excursions, *found.spikes))
        parts = [
            f"{found.stats.share_beyond:.1%} of it {limit.side} "
            f"{say_about(limit.limit_c, units)}",
            counted(len(found.excursions), "excursion"),
            counted(len(found.spikes), "spike"),
            say_degree_hours(total, units) if total else "",
        ]
        lines.append(", ".join(part for part in parts if part))
    return lines


def _json(found: PlaceReport, session: Session) -> dict[str, Any]:
    from lidclock.cli.temp_words import excursion_json, reading_json

    zone, limit = session.kitchen.zone, found.found.limit
    return {
        **_stats_json(found, session),
        "latest": reading_json(found.found.latest, zone),
        "limit_says": limit.says if limit else None,
        "limit_source": (limit.source or None) if limit else None,
        "lag_minutes": found.found.lag_s / 60,
        "now": found.current and ("spike" if found.current.is_spike else "excursion"),
        "sensors": [
            {
                "name": one.sensor.name,
                "latest": reading_json(one.latest, zone),
                "expected_minutes": round(one.pace.interval_s / 60, 2),
                "silent_minutes": one.silence
                and round(one.silence.lasted / timedelta(minutes=1), 1),
                "is_silent": bool(one.silence and one.silence.is_alarm),
            }
            for one in found.found.current
        ],
        "excursions": [excursion_json(one, zone) for one in found.excursions],
        "spikes": [excursion_json(one, zone) for one in found.spikes],
        "gaps": [
            {
                "began": to_second(one.began, zone),
                "ended": to_second(one.ended, zone),
            }
            for one in found.gaps
        ],
        "disagreements": [
            {
                "sensors": [one.first.sensor.name, one.second.sensor.name],
                "began": to_second(one.found.began, zone),
                "ended": to_second(one.found.ended, zone),
                "most_c": round(one.found.most_c, 4),
            }
            for one in found.disagreements
        ],
    }


def _stats_json(found: PlaceReport, session: Session) -> dict[str, Any]:
    zone, limit, known = session.kitchen.zone, found.found.limit, found.stats
    return {
        "place": found.place.name,
        "state": found.place.state,
        "since": to_second(found.since, zone),
        "until": to_second(found.until, zone),
        "limit_c": round(limit.limit_c, 4) if limit else None,
        "limit_is_floor": limit.is_floor if limit else None,
        "min_c": known and round(known.min_c, 4),
        "mean_c": known and round(known.mean_c, 4),
        "max_c": known and round(known.max_c, 4),
        **_kinetic_json(found),
        "measured_hours": known and round(known.measured / timedelta(hours=1), 3),
        "share_beyond": None
        if known is None or known.share_beyond is None
        else round(known.share_beyond, 5),
        "excursion_count": len(found.excursions),
        "spike_count": len(found.spikes),
        "degree_hours": round(
            sum(one.degree_hours for one in (*found.excursions, *found.spikes)), 4
        ),
    }
