"""What one scanned line does on the page: weighed before, or recorded at once.

Two ways in. A page with scripts makes its own events, so that none is lost without a
signal: it asks first what a line means (`weigh`), then sends the event. A page without
them sends a form, and the line is recorded here (`record`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any

from lidclock.app import corrections, photos
from lidclock.app.moves import Done
from lidclock.app.pack_words import pack_fact
from lidclock.app.scanning import (
    LOOK,
    Chosen,
    carry_out,
    done_line,
    look_words,
)
from lidclock.app.session import Session
from lidclock.domain.advice import without_commands
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.sentences import sentence, sentences
from lidclock.errors import InputError, LidclockError, OddFactError, RefusedError
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import KeyMap, is_set_up, learn
from lidclock.scan.payload import (
    PLACE_ACTION,
    ActionRead,
    CodeRead,
    action_text,
    read_payload,
)
from lidclock.scan.reading import is_of_other_layout, read_line

Act = Callable[[str], Done]
LID, ACTION, KEYBOARD, NOTHING = "lid", "action", "keyboard", "nothing"
LOOKING = LOOK
# Longer than any symbol a scanner types; a photo is no line.
LONGEST_LINE = 4096
LONGEST_REASON = 200


@dataclass(frozen=True, slots=True)
class Heard:
    """The answer to one line; `is_odd` where a second scan is needed to record it.

    `action` is what a scanned action symbol chooses; `table` is how a keyboard changes
    what is scanned, where its set-up symbol came.
    """

    kind: str
    says: str
    code: str = ""
    number: int = 0
    action: str = ""
    is_odd: bool = False
    table: Mapping[str, str] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data."""
        return {one.name: getattr(self, one.name) for one in fields(self)}


@dataclass(frozen=True, slots=True)
class Choice:
    """One action as the page offers it, and the event that it makes of a lid."""

    action: str
    kind: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """One line, and what it is scanned for.

    `typed` is what this browser's keyboard made of the set-up symbol, empty where it
    was never scanned; `doubted` is the lid that was asked about: it is so if it comes
    again.
    """

    line: str
    action: str = LOOK
    reason: str = ""
    typed: str = ""
    doubted: str = ""


def choices(session: Session) -> list[Choice]:
    """The actions in the order of the page; those without a place for them left out."""
    first: dict[str, Place] = {}
    for place in session.places:
        first.setdefault(place.state, place)
    found = [Choice(LOOK), Choice("USE", "used"), Choice("OPEN", "opened")]
    for action, state in (("FREEZE", "freezer"), ("THAW", "fridge")):
        if state in first:
            found.append(Choice(action, "placed", first[state]))
    found.append(Choice("DISCARD", "discarded"))
    return found + [
        Choice(action_text(PLACE_ACTION, str(place.number)), "placed", place)
        for place in session.places
    ]


def weigh(session: Session, ask: Ask) -> Heard:
    """What a line means here and what recording it would say; nothing is recorded."""
    return _answered(session, ask, lambda code: _tried(session, ask, code))


def record(session: Session, ask: Ask, act: str) -> Heard:
    """The same, and recorded as part of `act`, so that one undo takes a batch back."""

    def recorded(code: str) -> Done:
        with session.write() as unit, unit.one_act(act):
            chosen = chosen_of(session, ask)
            return carry_out(unit, chosen, code, anyway=code == ask.doubted)

    return _answered(session, ask, recorded)


def take_back(session: Session, act: str) -> int:
    """Take back what still stands of a batch; how many lids that were."""
    with session.write() as unit:
        return len({event.subject for event in corrections.undo_act(unit, act)})


def chosen_of(session: Session, ask: Ask) -> Chosen:
    """The action as its symbol says it; InputError where there is none of that name."""
    found = read_payload(ask.action)
    if ask.action == LOOK:
        return Chosen()
    if not isinstance(found, ActionRead) or found.action in ("UNDO", "DONE", "LABEL"):
        raise InputError(sentence("choose what to do with the lids: the page lists it"))
    reason = " ".join(ask.reason.split())[:LONGEST_REASON]
    where = session.place(found.place) if found.action == PLACE_ACTION else None
    return Chosen(found.action, where, reason)


def line_in(session: Session, photo: photos.Photo) -> str:
    """The address of the one lid in a photo, as its symbol would be typed."""
    lid = photos.lids_in(session, [photo])[0]
    return f"/C/{lid.code}/{lid.number}" if lid.number > 1 else lid.code


class _NotRecordedError(Exception):
    """Ends a transaction that was only tried; `done` is what it would have done."""

    def __init__(self, done: Done) -> None:
        super().__init__()
        self.done = done


def _tried(session: Session, ask: Ask, code: str) -> Done:
    """Recording it, rolled back: so the refusals are those of recording itself."""
    try:
        with session.write() as unit:
            chosen = chosen_of(session, ask)
            done = carry_out(unit, chosen, code, anyway=code == ask.doubted)
            raise _NotRecordedError(done)
    except _NotRecordedError as tried:
        return tried.done


def _answered(session: Session, ask: Ask, act: Act) -> Heard:
    if len(ask.line) > LONGEST_LINE:
        return Heard(NOTHING, sentence("that is longer than any label; scan one lid"))
    try:
        if is_set_up(ask.line):
            return _keyboard(learn(ask.line))
        keymap = learn(ask.typed) if ask.typed else None
        return _understood(session, ask, keymap, act)
    except LidclockError as error:
        words = [without_commands(error.fact), _hint(ask)]
        return Heard(NOTHING, with_semicolons(words))


def _understood(session: Session, ask: Ask, keymap: KeyMap | None, act: Act) -> Heard:
    year = local_date(session.now, session.kitchen.zone).year
    read = read_line(ask.line, year, keymap)
    if isinstance(read, ActionRead):
        return _action(session, read)
    if isinstance(read, Pack):
        return Heard(NOTHING, without_commands(pack_fact(read)))
    text = read.code if isinstance(read, CodeRead) else read.text
    with session.read() as unit:
        known = unit.find(text)
        code = known.code
        if ask.action == LOOK:
            number = read.number if isinstance(read, CodeRead) else 0
            says = without_commands(look_words(unit.view(code), number))
            return Heard(LID, says, code, number)
    return _acted(read.number if isinstance(read, CodeRead) else 0, code, act)


def _acted(number: int, code: str, act: Act) -> Heard:
    try:
        says = without_commands(done_line(act(code), number))
        return Heard(LID, says, code, number)
    except OddFactError as error:
        fact = without_commands(error.fact)
        says = sentence("{fact}. Scan it again if it is so", fact=fact)
        return Heard(LID, says, code, number, is_odd=True)
    except RefusedError as error:
        return Heard(NOTHING, without_commands(error.fact), code, number)


def _action(session: Session, read: ActionRead) -> Heard:
    if read.action == PLACE_ACTION:
        place = session.place(read.place)
        action = action_text(PLACE_ACTION, str(place.number))
        says = sentence("now scan the lids for {place}", place=place.name)
        return Heard(ACTION, says, action=action)
    if read.action == "LABEL":
        says = sentence("labels are printed on the page of a container or batch")
        return Heard(NOTHING, says)
    if read.action == "DONE":
        says = sentence("looking only: a scan changes nothing")
        return Heard(ACTION, says, action=LOOK)
    if read.action == "UNDO":
        return Heard(ACTION, "", action="UNDO")
    known = _ACTIONS.get(read.action, read.action.lower())
    says = sentence("{action}: now scan the lids", action=known)
    return Heard(ACTION, says, action=read.action)


_ACTIONS: Mapping[str, str] = {
    "USE": sentence("use"),
    "OPEN": sentence("open"),
    "FREEZE": sentence("freeze"),
    "THAW": sentence("thaw"),
    "DISCARD": sentence("discard"),
}


def _keyboard(keymap: KeyMap) -> Heard:
    says = sentence("scanner and keyboard fit: {layout}", layout=keymap.layout)
    if keymap.lost:
        lost = sentence("not sent at all: {symbols}", symbols=" ".join(keymap.lost))
        return Heard(KEYBOARD, with_semicolons([says, lost]), table=keymap.table)
    return Heard(KEYBOARD, says, table=keymap.table)


def _hint(ask: Ask) -> str:
    """Where the keyboard is the likely culprit, what puts it right."""
    if ask.typed or not is_of_other_layout(ask.line):
        return ""
    return sentence(
        "this keyboard changes what is scanned: scan the set-up symbol once"
    )


def lids_taken_back(count: int) -> str:
    """`1 lid taken back`; what was recorded stays in the ledger, struck out."""
    return sentences("{count} lid taken back", "{count} lids taken back", count)
