"""What a stock-take answers to each line, in a few words."""

from __future__ import annotations

import shlex
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from lidclock.app.keyboards import SET_UP
from lidclock.app.lists import Listed
from lidclock.app.pack_words import pack_line
from lidclock.domain.codes import nearest, spaced
from lidclock.domain.kitchens import Place
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import local_date, say_near_day
from lidclock.domain.screen_text import shown
from lidclock.domain.sentences import figure, joined, sentence, sentences
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import is_to_be_found
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import is_set_up
from lidclock.scan.payload import PLACE_ACTION, ActionRead, Unread
from lidclock.scan.reading import is_of_other_layout

_LONGEST = 60
_MOST_NAMED = 3
# How lines are told apart at a glance: nothing to mind, something, not known.
GOOD, ODD, BAD = "good", "odd", "bad"
OVER_FOR_FREEZER = sentence(
    "past its last moment: freezing does not bring it back; discard it"
)
NOTHING_READ = sentence("nothing in that line can be read")
NOTHING_SCANNED = (
    "no lid was scanned, so nothing is recorded; scan what is there, or say of each "
    "what became of it, for example with `lidclock missing CODE`"
)


@dataclass(frozen=True, slots=True)
class Heard:
    """The answer to one line: how good it is, in words, and the lid it is about."""

    kind: str
    says: str
    code: str = ""

    @property
    def line(self) -> str:
        """The words with a sign before them that tells their kind."""
        return _SIGNS[self.kind] + self.says if self.says else ""


_SIGNS = {GOOD: "", ODD: "? ", BAD: "! "}


def clipped(text: str) -> str:
    """As much of what was scanned as fits a line."""
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def count(seen: int, expected: int) -> str:
    """`12 of 13`, the numbers of one stock-take beneath each other."""
    number = f"{seen:>{len(str(expected))}}"
    return sentence("{seen} of {expected}", seen=number, expected=figure(expected))


def name(one: Snapshot) -> str:
    """`bun dough box 2`, or the food alone where there was one box."""
    if one.index and (one.of or 1) > 1:
        return sentence("{food} box {index}", food=one.food, index=figure(one.index))
    return one.food


def missing_name(one: Snapshot, units: str = "metric") -> str:
    """`bun dough box 5, 308 g`: which one is asked about."""
    if one.mass_g is None:
        return name(one)
    return sentence("{name}, {mass}", name=name(one), mass=say_mass(one.mass_g, units))


def missing_head(missing: Sequence[Snapshot], units: str = "metric") -> str:
    """`1 missing: box 5, 308 g`, `5 missing: 1750 g`; the mass if each was weighed."""
    head = sentences("{count} missing", "{count} missing", len(missing))
    said = []
    if len(missing) == 1:
        only = missing[0]
        has_box = only.index and (only.of or 1) > 1
        which = sentence("box {index}", index=figure(only.index or 0))
        said.append(which if has_box else only.food)
    weighed = [one.mass_g for one in missing if one.mass_g is not None]
    if missing and len(weighed) == len(missing):
        said.append(say_mass(round(sum(weighed), 1), units))
    if len(said) == 2:
        said = [sentence("{name}, {mass}", name=said[0], mass=said[1])]
    return joined("{head}: {said}", head=head, said=said[0]) if said else head


def seen_line(number: str, one: Listed, void: str = "") -> str:
    """`12 of 13  bun dough box 2`, and what there is to mind."""
    line = joined("{count}  {name}", count=number, name=name(one.container))
    return _with(line, _mind(one), void)


def known_line(one: Listed) -> str:
    """`bun dough box 2`, and what there is to mind: where it was seen before."""
    return _with(name(one.container), _mind(one))


def _with(line: str, *more: str) -> str:
    for one in filter(None, more):
        line = sentence("{line}; {more}", line=line, more=one)
    return line


def needs_minding(one: Listed) -> bool:
    """Whether something about it must not wait until the end."""
    return bool(_mind(one))


def _mind(one: Listed) -> str:
    """What must not wait until the end: it is over, ends today, or has no last day."""
    if not one.container.is_live:
        return ""
    if one.status == "over":
        return sentence("OVER: discard it")
    if one.status == "last-day":
        return sentence("its last day is today")
    if one.container.standing == "unknown":
        return sentence("unmarked: no last day")
    return ""


def again_line(one: Snapshot) -> str:
    """A second scan changes nothing."""
    return sentence("scanned before: {name}", name=name(one))


def stranger_line(code: str) -> str:
    """A well-formed code that this kitchen never gave out."""
    return sentence("not known: {code} is not in this kitchen", code=spaced(code))


def elsewhere_line(one: Listed) -> str:
    """`4F7 K2M0 stew box 2: was in Fridge`, or how it had ended."""
    known = one.container
    told = was_where(one) if is_to_be_found(known) else ended(one)
    line = joined(
        "{code} {name}: {told}", code=spaced(known.code), name=name(known), told=told
    )
    return _with(line, _mind(one))


def was_where(one: Listed) -> str:
    """`was in Fridge`, where it is recorded; or since when it was missing."""
    known = one.container
    if known.is_live and known.place:
        return sentence("was in {place}", place=known.place)
    if known.is_live:
        return sentence("had no place")
    if known.ended_at is None:
        return sentence("was missing")
    return sentence("was missing since {day}", day=_day(one))


def ended(one: Listed) -> str:
    """`used Mon 2 Nov: is there something in it?`"""
    how = _ENDS.get(one.container.end_kind, one.container.end_kind)
    if one.container.ended_at is not None:
        how = joined("{how} {day}", how=how, day=_day(one))
    return sentence("{how}: is there something in it?", how=how)


_ENDS = {
    "used": sentence("used"),
    "given": sentence("given"),
    "discarded": sentence("discarded"),
    "split": sentence("split"),
    "combined": sentence("combined"),
}


def _day(one: Listed) -> str:
    at = one.container.ended_at or one.now
    return say_near_day(local_date(at, one.zone), local_date(one.now, one.zone))


def no_action_line(read: ActionRead) -> str:
    """An action symbol does nothing here."""
    word = f"{read.action}={read.place}" if read.action == PLACE_ACTION else read.action
    return sentence(
        "a stock-take only counts: {action} does nothing; DONE ends it",
        action=clipped(word),
    )


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
    told: str = sentence("not known: '{text}' is no code", text=shown(text))
    if close:
        # The codes first to last as data: any language can put its own word between.
        near = " / ".join(map(spaced, close))
        told = _with(told, sentence("did you mean {codes}?", codes=near))
    if not has_map and is_of_other_layout(line):
        return f"{told}; this keyboard may change what is scanned: {SET_UP}"
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
