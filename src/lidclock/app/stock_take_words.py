"""What a stock-take answers to each line, in a few words."""

from __future__ import annotations

import shlex
from collections.abc import Collection

from lidclock.app.keyboards import SET_UP
from lidclock.app.lists import Listed
from lidclock.app.pack_words import pack_line
from lidclock.domain.codes import nearest, spaced
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date, say_near_day
from lidclock.domain.screen_text import shown
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import is_to_be_found
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import is_set_up
from lidclock.scan.payload import PLACE_ACTION, ActionRead, Unread
from lidclock.scan.reading import is_of_other_layout

_LONGEST = 60
_MOST_NAMED = 3
OVER_FOR_FREEZER = "past its last moment: freezing does not bring it back; discard it"
NOTHING_READ = "! nothing in that line can be read"
NOTHING_SCANNED = (
    "no lid was scanned, so nothing is recorded; scan what is there, or say of each "
    "what became of it, for example with `lidclock missing CODE`"
)


def clipped(text: str) -> str:
    """As much of what was scanned as fits a line."""
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def count(seen: int, expected: int) -> str:
    """`12 of 13`, the numbers of one stock-take beneath each other."""
    return f"{seen:>{len(str(expected))}} of {expected}"


def name(one: Snapshot) -> str:
    """`bun dough box 2`, or the food alone where there was one box."""
    return (
        f"{one.food} box {one.index}" if one.index and (one.of or 1) > 1 else one.food
    )


def seen_line(number: str, one: Listed, void: str = "") -> str:
    """`12 of 13  bun dough box 2`, and what there is to mind."""
    return "; ".join(
        filter(None, [f"{number}  {name(one.container)}", _mind(one), void])
    )


def _mind(one: Listed) -> str:
    """What must not wait until the end: it is over, ends today, or has no last day."""
    if not one.container.is_live:
        return ""
    if one.status == "over":
        return "OVER: discard it"
    if one.status == "last-day":
        return "its last day is today"
    return "unmarked: no last day" if one.container.standing == "unknown" else ""


def again_line(one: Snapshot) -> str:
    """A second scan changes nothing."""
    return f"scanned before: {name(one)}"


def stranger_line(code: str) -> str:
    """A well-formed code that this kitchen never gave out."""
    return f"! not known: {spaced(code)} is not in this kitchen"


def elsewhere_line(one: Listed) -> str:
    """`4F7 K2M0 stew box 2: was in Fridge`, or how it had ended."""
    known = one.container
    told = was_where(one) if is_to_be_found(known) else ended(one)
    line = f"? {spaced(known.code)} {name(known)}: {told}"
    return "; ".join(filter(None, [line, _mind(one)]))


def was_where(one: Listed) -> str:
    """`was in Fridge`, where it is recorded; or since when it was missing."""
    known = one.container
    if known.is_live:
        return f"was in {known.place}" if known.place else "had no place"
    return f"was missing{_since(one, 'since ')}"


def ended(one: Listed) -> str:
    """`used Mon 2 Nov: is there something in it?`"""
    return f"{one.container.end_kind}{_since(one)}: is there something in it?"


def _since(one: Listed, word: str = "") -> str:
    at = one.container.ended_at
    if at is None:
        return ""
    today = local_date(one.now, one.zone)
    return f" {word}{say_near_day(local_date(at, one.zone), today)}"


def no_action_line(read: ActionRead) -> str:
    """An action symbol does nothing here."""
    word = f"{read.action}={read.place}" if read.action == PLACE_ACTION else read.action
    return f"! a stock-take only counts: {clipped(word)} does nothing; DONE ends it"


def pack_words_of(pack: Pack) -> str:
    """A supplier's pack without a lid of this kitchen."""
    return f"not known: {pack_line(pack)}"


def hint(line: str, read: object, here: Collection[str], *, has_map: bool) -> str:
    """What is no code, with the nearest one of this place."""
    if is_set_up(line):
        return f"not known: that is the set-up symbol: {SET_UP} takes it"
    text = clipped(read.text) if isinstance(read, Unread) else ""
    closest = read.closest if isinstance(read, Unread) else ""
    close = nearest(closest, here)[:_MOST_NAMED] if closest else []
    told = f"not known: '{shown(text)}' is no code"
    if close:
        told += f"; did you mean {' or '.join(map(spaced, close))}?"
    if not has_map and is_of_other_layout(line):
        told += f"; this keyboard may change what is scanned: {SET_UP}"
    return told


def time_needed(one: Snapshot, where: Place) -> str:
    """It came from a colder place, and nobody knows when."""
    return (
        f"since when is not recorded: `lidclock scan {one.code} --to "
        f"{shlex.quote(where.name)} --at TIME`"
    )


def eaten_late(one: Snapshot) -> str:
    """It is past its last moment: when it was eaten has to be said."""
    return (
        f"{spaced(one.code)} {name(one)} is past its last moment: if it was eaten "
        f"before, `lidclock scan {one.code} --use --at TIME`"
    )


def did(where: Place) -> str:
    """What was recorded of a lid that belonged elsewhere."""
    return "frozen" if where.state == "freezer" else f"in {where.name}"
