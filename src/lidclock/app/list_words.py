"""How containers and hours read on a list, on the screen and on paper alike."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.files import write_whole
from lidclock.app.listed_words import is_unknown
from lidclock.app.verdict_words import by_date, not_after
from lidclock.domain.codes import spaced
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import local_date, say_day, say_moment, say_short_day
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import (
    figure,
    joined,
    quoted,
    sentence,
    sentences,
    strung,
    typed,
)
from lidclock.errors import InputError
from lidclock.labels.list_page import ListPage, Row, Section, draw_list
from lidclock.labels.sheet_part import PAPERS

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from lidclock.app.lists import Listed
    from lidclock.app.session import Session
    from lidclock.domain.kitchens import Kitchen
    from lidclock.domain.snapshots import Snapshot

__all__ = ["PAPERS", "ListPage", "Row", "Section"]

HOUSE = sentence("house rule, no authority")
JOIN = " · "
_UNKNOWN = sentence("no last day: check, or discard")
_TICK = timedelta(microseconds=1)
_CAUTIONS = ("cold-chain", "senses")


def cautions_of(session: Session) -> tuple[str, ...]:
    """What stands at the foot of every list."""
    known = session.guidance.cautions
    return (*(known[key] for key in _CAUTIONS), session.guidance.advice)


def blanks_of(kitchen: Kitchen) -> tuple[str, ...]:
    """The columns to write in: when it was done, how warm it was, and by whom."""
    return ("Hour", "°F" if kitchen.units == "us" else "°C", "Initials")


def recorded_line(session: Session) -> str:
    """Up to when facts are in it."""
    when = say_moment(session.now, session.kitchen.zone)
    return sentence("As recorded by {when}.", when=when)


def say_when(at: datetime, zone: ZoneInfo) -> str:
    """`Thu 5 Nov 18:30`."""
    day, clock = say_short_day(local_date(at, zone)), f"{at.astimezone(zone):%H:%M}"
    return joined("{day} {clock}", day=day, clock=clock)


def container_row(one: Listed, kitchen: Kitchen) -> Row:
    """A container: what it is, then its code, mass, place and date."""
    known = one.container
    grams = "" if known.mass_g is None else say_mass(known.mass_g, kitchen.units)
    where = (spaced(known.code), grams, _place(known.place))
    return Row(_boxed(known), (strung(JOIN, where), date_words(one)))


def _boxed(known: Snapshot) -> str:
    """The food, and which of its batch's boxes it is."""
    if not known.index or (known.of or 1) <= 1:
        return typed(known.food)
    return sentence(
        "{food}, box {index} of {of}",
        food=known.food,
        index=figure(known.index),
        of=figure(known.of or 1),
    )


def _place(name: str) -> str:
    return name or sentence("no place")


def group_rows(listed: Iterable[Listed], kitchen: Kitchen) -> tuple[Row, ...]:
    """One row for containers of one food in one place of which the same is said."""
    groups: dict[tuple[str, str, str], list[Listed]] = {}
    for one in listed:
        key = (one.container.food, one.container.place, date_words(one))
        groups.setdefault(key, []).append(one)
    return tuple(_group_row(*key, group, kitchen) for key, group in groups.items())


def _group_row(
    food: str, place: str, says: str, group: list[Listed], kitchen: Kitchen
) -> Row:
    masses = [one.container.mass_g for one in group]
    known = [mass for mass in masses if mass is not None]
    grams = say_mass(sum(known), kitchen.units) if len(known) == len(masses) else ""
    codes = strung(JOIN, [typed(spaced(one.container.code)) for one in group])
    main: str = typed(food)
    if len(group) > 1:
        main = joined("{food} x{count}", food=food, count=figure(len(group)))
    return Row(main, (codes, strung(JOIN, (grams, _place(place), says))))


def date_words(one: Listed) -> str:
    """`use by Thu 5 Nov 2026`, `2 days left if thawed today`, as labels word it."""
    known = one.container
    if one.status == "paused":
        return strung(JOIN, (_left(one), _dated(one)))
    if known.last_moment is None:
        return _UNKNOWN
    return with_commas([_UNKNOWN, _dated(one)]) if is_unknown(one) else _dated(one)


def _left(one: Listed) -> str:
    days = one.days_left or 0
    if not days:
        return sentence("no days left after thawing")
    return sentences(
        "{count} day left if thawed on this day",
        "{count} days left if thawed on this day",
        days,
    )


def _dated(one: Listed) -> str:
    """The date with what must stand beside it; empty where it has none."""
    known = one.container
    notes = [
        *([HOUSE] * known.is_house_rule),
        *([sentence("unverified figure")] * known.is_unverified),
        *([quoted(known.approval)] * bool(known.approval)),
    ]
    if known.last_moment is None:
        return with_commas(notes)
    end = known.last_moment - _TICK
    when: str = say_day(local_date(end, one.zone))
    if known.has_hour:
        clock = f"{end.astimezone(one.zone):%H:%M}"
        when = joined("{clock} {day}", clock=clock, day=when)
    dated = by_date(when, known.is_house_rule)
    return with_commas([not_after(when) if is_unknown(one) else dated, *notes])


def write_list(page: ListPage, path: Path, paper: str) -> None:
    """Write the list to a PDF, whole or not at all."""
    if path.suffix.lower() != ".pdf":
        raise InputError(f"{path.name} must end in .pdf")
    write_whole(path, [draw_list(page, paper)])


def paper_of(kitchen: Kitchen) -> str:
    """Letter in a kitchen of US units, else A4."""
    return "letter" if kitchen.units == "us" else "a4"


def list_pdf(page: ListPage, kitchen: Kitchen) -> bytes:
    """The list on the kitchen's usual paper."""
    return draw_list(page, paper_of(kitchen))
