"""The words of a pull list."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.instants import to_second
from lidclock.app.list_words import (
    JOIN,
    ListPage,
    Row,
    Section,
    blanks_of,
    cautions_of,
    container_row,
    group_rows,
    recorded_line,
    say_when,
)
from lidclock.app.lists import Listed
from lidclock.app.pull import PullList
from lidclock.app.session import Session
from lidclock.domain.codes import spaced
from lidclock.domain.moments import local_date, say_day, say_moment
from lidclock.domain.sentences import sentence, strung, typed
from lidclock.plan.lists import PullLine


def pull_page(found: PullList, session: Session) -> ListPage:
    """The list in words; a group that is empty says so."""
    kitchen = session.kitchen
    blanks = blanks_of(kitchen)

    def rows(group: Sequence[Listed]) -> tuple[Row, ...]:
        return tuple(container_row(one, kitchen) for one in group)

    judged = () if found.at == session.now else (_judged(found, session),)
    return ListPage(
        "Pull list",
        kitchen.name,
        say_day(found.day),
        (recorded_line(session), *judged),
        (
            Section(
                sentence("Take out"), _lines(found.take_out, found.day, session), blanks
            ),
            Section(sentence("Out already, to be ready"), _out(found, session), blanks),
            Section(sentence("Last day"), rows(found.last_day), blanks),
            Section(sentence("Over: must go"), rows(found.over), blanks),
            Section(
                sentence("No last day or no place: check"), rows(found.no_day), blanks
            ),
            Section(sentence("Frozen"), group_rows(found.frozen, kitchen)),
        ),
        cautions_of(session),
    )


def _judged(found: PullList, session: Session) -> str:
    when = say_moment(found.at, session.kitchen.zone)
    return sentence("Judged for {when}, if nothing happens until then.", when=when)


def _lines(lines: Sequence[PullLine], day: date, session: Session) -> tuple[Row, ...]:
    """What to take out, with its hour in front, and the day where it is another."""
    zone = session.kitchen.zone
    rows = []
    for line in lines:
        is_today = local_date(line.at, zone) == day
        rest = "" if is_today else say_when(line.at, zone)
        row = _line_row(line, session, rest)
        lead = f"{line.at.astimezone(zone):%H:%M}"
        rows.append(Row(row.main, row.details, lead))
    return tuple(rows)


def _out(found: PullList, session: Session) -> tuple[Row, ...]:
    zone = session.kitchen.zone
    rows = []
    for line in found.out:
        taken = sentence("taken out {when}", when=say_when(line.at, zone))
        row = _line_row(line, session, taken)
        assert line.ready_at is not None  # that is what lists it here
        rows.append(
            Row(row.main, row.details, f"{line.ready_at.astimezone(zone):%H:%M}")
        )
    return tuple(rows)


def _line_row(line: PullLine, session: Session, first: str) -> Row:
    zone = session.kitchen.zone
    ways = [
        first,
        sentence("from {place}", place=line.from_place) if line.from_place else "",
        sentence("to {place}", place=line.to_place) if line.to_place else "",
        _ready(line.ready_at, zone) if line.ready_at else "",
        sentence("for {meal}", meal=line.for_meal) if line.for_meal else "",
    ]
    codes = strung(JOIN, [typed(spaced(code)) for code in line.codes])
    details = (codes, strung(JOIN, ways))
    return Row(line.says, tuple(detail for detail in details if detail))


def _ready(at: datetime, zone: ZoneInfo) -> str:
    return sentence("ready {hour}", hour=say_when(at, zone))


def pull_json(found: PullList, session: Session) -> dict[str, Any]:
    """The list as JSON-ready data; containers as `due` lists them, by their codes."""
    zone = session.kitchen.zone

    def line(one: PullLine) -> dict[str, Any]:
        return {
            "at": to_second(one.at, zone),
            "says": one.says,
            "codes": list(one.codes),
            "from": one.from_place or None,
            "to": one.to_place or None,
            "ready_at": to_second(one.ready_at, zone),
            "for_meal": one.for_meal or None,
        }

    def rows(group: Sequence[Listed]) -> list[dict[str, Any]]:
        return [
            {
                "code": one.container.code,
                "food": one.container.food,
                "place": one.container.place or None,
                "mass_g": one.container.mass_g,
                "status": one.status,
                "last_moment": to_second(one.container.last_moment, zone),
                "days_left": one.days_left,
                "house_rule": one.container.is_house_rule,
            }
            for one in group
        ]

    return {
        "day": found.day.isoformat(),
        "at": found.at.astimezone(zone).isoformat(timespec="seconds"),
        "take_out": [line(one) for one in found.take_out],
        "out": [line(one) for one in found.out],
        "last_day": rows(found.last_day),
        "over": rows(found.over),
        "no_last_day_or_place": rows(found.no_day),
        "frozen": rows(found.frozen),
    }
