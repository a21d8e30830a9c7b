"""The scan loop: one line in, one line out; an action stays until the next."""

from __future__ import annotations

import json
import shlex
from dataclasses import dataclass
from pathlib import Path

from lidclock.app import corrections, moves
from lidclock.app.files import write_whole
from lidclock.app.lids import lid_remark
from lidclock.app.moves import Done
from lidclock.app.session import Session, Unit, View
from lidclock.clock.verdict import Verdict
from lidclock.domain.codes import spaced
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date, say_day, say_near_day
from lidclock.errors import LidclockError, OddFactError, RefusedError, StoreError
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import KeyMap, is_set_up, learn
from lidclock.scan.payload import PLACE_ACTION, ActionRead, CodeRead, Unread
from lidclock.scan.reading import Reading, is_of_other_layout, read_line

LOOK = "LOOK"


KEYBOARDS = "lidclock keyboards 1"
_SET_UP = "`lidclock scan --set-up`"


@dataclass(slots=True)
class Scanner:
    """What the loop remembers: the action chosen, and what waits for a second scan."""

    session: Session
    action: str = LOOK
    place: Place | None = None
    doubted: str = ""
    keyboard: KeyMap | None = None

    def hear(self, line: str) -> str:
        """The answer to one scanned or typed line; errors are answers too."""
        read: Reading = Unread(line)
        try:
            read = read_line(line, _year(self.session), self.keyboard)
            if isinstance(read, ActionRead):
                return self._choose(read)
            if isinstance(read, CodeRead):
                return self._act(read.code)
            if isinstance(read, Pack):
                self.doubted = ""
                return f"! {pack_line(read)}"
            with self.session.read() as unit:
                return self._act(unit.find(read.text).code)
        except OddFactError as error:
            self.doubted = read.code if isinstance(read, CodeRead) else ""
            return f"? {error} (or scan it again)"
        except LidclockError as error:
            return self._refusal(line, read, error)

    def _refusal(self, line: str, read: Reading, error: LidclockError) -> str:
        self.doubted = ""
        is_foreign = self.keyboard is None and is_of_other_layout(line)
        is_lid = isinstance(read, CodeRead) or (
            isinstance(read, Unread) and read.closest != ""
        )
        if is_lid and not is_foreign:
            return f"! {error}"
        # What was meant as an action must not leave the one before in force.
        self.action, self.place = LOOK, None
        if is_set_up(line):
            return f"! that is the set-up symbol: {_SET_UP} takes it; now looking only"
        hint = f"; this keyboard may change what is scanned: {_SET_UP}"
        return f"! {error}{hint if is_foreign else ''}; now looking only"

    def _choose(self, read: ActionRead) -> str:
        self.doubted = ""
        if read.action == "UNDO":
            with self.session.write() as unit:
                return undone_line(unit, corrections.undo(unit)[0].subject)
        if read.action == "DONE":
            self.action, self.place = LOOK, None
            return "looking only: a scan changes nothing"
        if read.action == PLACE_ACTION:
            self.place = self.session.place(read.place)
            self.action = PLACE_ACTION
            return f"now scan the lids that go into {self.place.name}"
        self.action, self.place = read.action, None
        return f"{read.action.lower()}: now scan the lids"

    def _act(self, code: str) -> str:
        anyway, self.doubted = self.doubted == code, ""
        if self.action == LOOK:
            with self.session.read() as unit:
                return look_line(unit.view(unit.find(code).code))
        with self.session.write() as unit:
            return done_line(self._do(unit, code, anyway=anyway))

    def _do(self, unit: Unit, code: str, *, anyway: bool) -> Done:
        if self.action == PLACE_ACTION and self.place is not None:
            return moves.place(unit, code, self.place, anyway=anyway)
        if self.action == "FREEZE":
            return moves.freeze(unit, code, anyway=anyway)
        if self.action == "THAW":
            return moves.thaw(unit, code, anyway=anyway)
        if self.action == "OPEN":
            return moves.open_container(unit, code, anyway=anyway)
        if self.action == "USE":
            return moves.use(unit, code, anyway=anyway)
        return moves.discard(unit, code, "", anyway=anyway)


def code_of(session: Session, typed: str) -> str:
    """The code in `typed`, as the scanner meant it; else `typed`, to be looked up.

    RefusedError for a supplier's pack.
    """
    read = read_symbol(session, typed)
    if isinstance(read, Pack):
        raise RefusedError(pack_line(read))
    return read.code if isinstance(read, CodeRead) else typed


def read_symbol(session: Session, text: str) -> Reading:
    """What a scanned symbol means in this kitchen, on this device's keyboard."""
    return read_line(text, _year(session), keyboard_of(session))


def _year(session: Session) -> int:
    return local_date(session.now, session.kitchen.zone).year


def pack_line(pack: Pack) -> str:
    """What a supplier's symbol says, and what to do with it."""
    text = pack.bracketed
    is_plain = all("(" not in value and ")" not in value for _, value in pack.elements)
    # A value with brackets of its own could not be told from the next element.
    symbol = shlex.quote(text) if is_plain else "-"
    return (
        f"that is a supplier's pack ({pack_words(pack)}): "
        f"`lidclock open --symbol {symbol}`"
    )


def pack_words(pack: Pack) -> str:
    """`GTIN 09501101530003, lot AB12, use by Thu 31 Dec 2026`."""
    words = [f"GTIN {pack.gtin}"]
    if pack.lot:
        words.append(f"lot {pack.lot}")
    if pack.use_by:
        words.append(f"use by {say_day(pack.use_by)}")
    if pack.best_before:
        words.append(f"best before {say_day(pack.best_before)}, which is quality only")
    return ", ".join(words)


def keyboard_of(session: Session) -> KeyMap | None:
    """How this device's keyboard changes what is scanned; None until it was set up."""
    typed = _keyboards(session).get(session.device)
    return learn(typed) if typed is not None else None


def set_up_keyboard(session: Session, typed: str) -> KeyMap:
    """Learn this device's keyboard from a scan of the set-up symbol, and keep it."""
    keymap = learn(typed)
    known = {**_keyboards(session), session.device: keymap.typed}
    _keep_keyboards(session, known)
    return keymap


def forget_keyboard(session: Session) -> bool:
    """Take scans as they arrive from now on; whether a keyboard was known."""
    known = _keyboards(session)
    if known.pop(session.device, None) is None:
        return False
    _keep_keyboards(session, known)
    return True


def _keyboard_file(session: Session) -> Path:
    """Beside the database; in the user's state folder if that has an address only."""
    where = session.database.where
    if not where.startswith("file:"):
        return Path(where).with_suffix(".keyboards.json")
    import platformdirs

    return Path(platformdirs.user_state_dir("lidclock", ensure_exists=True)) / (
        "keyboards.json"
    )


def _keyboards(session: Session) -> dict[str, str]:
    """The set-up lines as they arrived, by device."""
    path = _keyboard_file(session)
    try:
        document = json.loads(path.read_text("utf-8"))
        if document["format"] != KEYBOARDS:
            raise ValueError(document["format"])
        devices: dict[str, str] = dict(document["devices"])
        for typed in devices.values():
            learn(typed)
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise StoreError(f"cannot read {path}: {error.strerror}") from error
    except (ValueError, KeyError, TypeError, LidclockError) as error:
        raise StoreError(
            f"{path} does not hold what scanning keeps there: delete it, then {_SET_UP}"
        ) from error
    return devices


def _keep_keyboards(session: Session, devices: dict[str, str]) -> None:
    document = {"format": KEYBOARDS, "devices": devices}
    text = json.dumps(document, ensure_ascii=False, indent=2)
    write_whole(_keyboard_file(session), [f"{text}\n".encode()])


def look_line(view: View) -> str:
    """`4F7 K2M0 dough, box 2 of 6: keep, best by Thu 5 Nov (house rule), Fridge`."""
    return f"{_name(view)}: {standing_words(view)}{_where(view)}"


def done_line(done: Done) -> str:
    """`4F7 K2M0 bun dough, box 2 of 6: frozen; 5 days left after thawing`."""
    name, view = _name(done.view), done.view
    if view.container.after_end and view.container.end is not None:
        end = view.container.end.kind
        return f"{name}: recorded, but it was {end} already: a contradiction, kept"
    if view.verdict.status == "ended":
        return f"{name}: {done.did}{_handing_on(view)}"
    standing = standing_words(view).removeprefix("frozen, ")
    remark = lid_remark(view)
    return f"{name}: {done.did}; {standing}" + (f"; {remark}" if remark else "")


def _handing_on(view: View) -> str:
    """What a kitchen has to mind that gives its food to others."""
    if view.container.end is None or view.container.end.kind != "given":
        return ""
    caution = view.verdict.guidance.cautions["sale"]
    return f"; {caution[0].lower()}{caution[1:]}"


def undone_line(unit: Unit, subject: str) -> str:
    """What an undo took back."""
    known = unit.snapshots.get(subject)
    if known is None:
        return "undone"
    return f"undone; {look_line(unit.view(known.code))}"


def _name(view: View) -> str:
    container = view.container
    box = (
        f", box {container.index} of {container.of}" if (container.of or 1) > 1 else ""
    )
    return f"{spaced(view.code)} {view.food.name}{box}"


def _where(view: View) -> str:
    if not view.container.is_live:
        return ""
    return f", {view.container.place or 'no place'}"


def standing_words(view: View) -> str:
    """How it stands, in a few words."""
    verdict = view.verdict
    if verdict.status == "ended":
        end = view.container.end
        return end.kind if end else "ended"
    if verdict.status == "paused":
        days = verdict.days_left or 0
        if days < 1:
            return "frozen, no days left after thawing: discard"
        return f"frozen, {days} day{'' if days == 1 else 's'} left after thawing"
    if verdict.last_day is None:
        return "unknown: " + (verdict.unknown[0] if verdict.unknown else "no last day")
    word = "best by" if verdict.is_house_rule else "use by"
    rule = " (house rule)" if verdict.is_house_rule else ""
    when = last_words(verdict)
    if verdict.status == "over":
        return f"OVER, {word} was {when}{rule}: discard"
    return f"{verdict.status}, {word} {when}{rule}"


def last_words(verdict: Verdict) -> str:
    """`Thu 5 Nov`, or `19:10 Sat 31 Oct` where an hour clock binds."""
    if verdict.last_day is None or verdict.last_moment is None:
        return "not known"
    today = local_date(verdict.now, verdict.zone)
    day, binding = say_near_day(verdict.last_day, today), verdict.binding
    if binding is not None and binding.includes_moment:
        return f"{verdict.last_moment.astimezone(verdict.zone):%H:%M} {day}"
    return day
