"""`due` and `alert`: what ends soon, and what needs a voice now."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.instants import to_second
from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import (
    columns,
    listed_json,
    listed_row,
    missing_lines,
    moment_words,
    plural,
    say_when,
    unmarked_reason,
    unmarked_row,
)
from lidclock.domain.alert_answers import SEEN_TO
from lidclock.domain.moments import local_date, say_short_day, working_day

if TYPE_CHECKING:
    from lidclock.app.alert_list import Found
    from lidclock.app.lists import DueList, Listed
    from lidclock.app.session import Session

NOTHING, SOMETHING = 0, 3


@click.command()
@click.option(
    "--within", metavar="SPAN", help="How far ahead, e.g. 36h, 2d. [the kitchen's lead]"
)
@json_option
@pass_desk
def due(desk: Desk, within: str | None, as_json: bool) -> None:
    """List what is due: by place and last moment, then what is unmarked.

    \b
    Example:
      lidclock due --within 3d
    """
    from lidclock.app import lists

    span = None
    if within:
        from lidclock.cli.when import read_span

        span = read_span(within)
    with desk.session() as session:
        found = lists.due(session, span)
        if as_json:
            echo_json(_due_json(found, session))
        else:
            echo_lines(due_lines(found, session))


def due_lines(found: DueList, session: Session) -> list[str]:
    """The due list as a cook reads it."""
    lines = [_heading(found, session)]
    for place, group in found.by_place().items():
        lines += [place, *columns([listed_row(one) for one in group], indent=2)]
    if not found.due:
        lines.append("nothing")
    if found.unmarked:
        rows = [unmarked_row(one) for one in found.unmarked]
        lines += ["unmarked: give them a place or a date", *columns(rows, indent=2)]
    lines += missing_lines(found.missing)
    lines += _cooling_lines(found, session)
    if found.paused_count:
        lines.append(f"frozen: {plural(found.paused_count, 'container')}")
    return lines


def _cooling_lines(found: DueList, session: Session) -> list[str]:
    """What is still cooling: hours, not days, count there."""
    if not found.cooling:
        return []
    from lidclock.cli.cool_list import list_lines

    return ["cooling", *(f"  {line}" for line in list_lines(found.cooling, session))]


def _cooling_json(found: DueList, session: Session) -> list[dict[str, Any]]:
    if not found.cooling:
        return []
    from lidclock.app.cooling_facts import standing_json

    return [standing_json(one, session) for one in found.cooling]


def _heading(found: DueList, session: Session) -> str:
    """When this was asked, for which working day, and how far it looks ahead."""
    kitchen = session.kitchen
    day = working_day(session.now, kitchen.zone, kitchen.day_start_h)
    shift = ""
    if day != local_date(session.now, kitchen.zone):
        shift = f" (working day {say_short_day(day)})"
    until = say_when(session.now + found.within, kitchen.zone)
    return f"{say_when(session.now, kitchen.zone)}{shift}: due by {until}"


def _due_json(found: DueList, session: Session) -> dict[str, Any]:
    zone = session.kitchen.zone
    return {
        "now": to_second(session.now, zone),
        "working_day": working_day(
            session.now, zone, session.kitchen.day_start_h
        ).isoformat(),
        "until": to_second(session.now + found.within, zone),
        "due": [listed_json(one, zone) for one in found.due],
        "unmarked": [listed_json(one, zone) for one in found.unmarked],
        "missing": [listed_json(one, zone) for one in found.missing],
        "cooling": _cooling_json(found, session),
        "frozen": found.paused_count,
    }


@click.command()
@click.option(
    "--within",
    metavar="SPAN",
    default="36h",
    show_default=True,
    help="How far ahead to warn.",
)
@json_option
@click.pass_context
def alert(ctx: click.Context, within: str, as_json: bool) -> None:
    """Say only what needs somebody, the most urgent first; exit 3 if anything does.

    Places that are beyond their limit, or silent, come before containers. Thermometers
    that are due for a check come then, and alone do not end with 3. Neither does what
    somebody answered on the page: it comes last, with who sees to it, and counts again
    at the hour named there, or as soon as it changes.

    \b
    Example:
      lidclock alert --within 36h || notify-the-cook
    """
    from lidclock.app.alert_list import alerts_found
    from lidclock.cli.when import read_span

    span = read_span(within)
    with ctx.find_object(Desk).session() as session:  # type: ignore[union-attr]
        found = alerts_found(session, span)
        waiting = [_alert_row(x, session) for x in found if x.answered is None]
        answered = [_alert_row(x, session) for x in found if x.answered is not None]
        rows = [*waiting, *_check_alerts(session), *answered]
    if as_json:
        echo_json([facts for facts, _ in rows])
    else:
        echo_lines([line for _, line in rows])
    ctx.exit(SOMETHING if waiting else NOTHING)


def _alert_row(found: Found, session: Session) -> tuple[dict[str, Any], str]:
    """One alert as JSON-ready data and as a line, with who sees to it."""
    zone, answered = session.kitchen.zone, found.answered
    facts, line = _alert_facts(found, session)
    given = answered.given if answered else None
    facts |= {
        "answer": given.answer if given else None,
        "answered_by": given.who or None if given else None,
        "answered_at": to_second(given.at, zone) if given else None,
        "back_at": to_second(answered.until, zone) if answered else None,
    }
    if answered is None or given is None:
        return facts, line
    said = "seen to" if given.answer == SEEN_TO else "will be seen to"
    who = f" by {given.who}" if given.who else ""
    back = say_when(answered.until, zone)
    return facts, (
        f"{line}  [{said}{who}, {say_when(given.at, zone)}; if it is still so, again "
        f"{back}]"
    )


def _alert_facts(found: Found, session: Session) -> tuple[dict[str, Any], str]:
    zone = session.kitchen.zone
    if found.place is not None:
        from lidclock.cli.temp_words import alert_json, alert_line

        return alert_json(found.place, zone), alert_line(found.place, session)
    from lidclock.app.lists import listed as list_one

    assert found.container is not None
    note = found.container.note
    one = list_one(session, found.container.container)
    listed = replace(one, status=found.kind)
    facts = {"kind": found.kind, **listed_json(listed, zone), "note": note or None}
    return facts, _alert_line(listed, note)


def _check_alerts(session: Session) -> list[tuple[dict[str, Any], str]]:
    """Thermometers that are due for a check, as JSON-ready data and as a line."""
    from lidclock.app.sensor_checks import due_checks

    found = due_checks(session)
    if not found:
        return []
    from lidclock.cli.temp_check import check_json, check_line

    return [(check_json(one, session), check_line(one, session)) for one in found]


def _alert_line(listed: Listed, note: str) -> str:
    one = listed.container
    code, food, number, grams, _, day = listed_row(listed)
    day = note or day
    if listed.status == "unmarked":
        day = ", ".join(
            part for part in (unmarked_reason(one), moment_words(listed)) if part
        )
    cells = (listed.status, code, food, number, grams, one.place or "no place", day)
    return "  ".join(cell for cell in dict.fromkeys(cells) if cell)
