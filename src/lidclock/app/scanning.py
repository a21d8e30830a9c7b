"""The scan loop: one line in, one line out; an action stays until the next."""

from __future__ import annotations

from dataclasses import dataclass, field

from lidclock.app import corrections, moves
from lidclock.app.end_words import end_words
from lidclock.app.keyboards import SET_UP, keyboard_of
from lidclock.app.listed_words import FROZEN_OUT, days_after_thawing
from lidclock.app.moves import Done
from lidclock.app.pack_words import pack_fact, pack_line
from lidclock.app.planning_undone import planning_line
from lidclock.app.remarks import lid_remark, needs_no_label, void_remark
from lidclock.app.session import Session, Unit, View
from lidclock.app.verdict_words import NO_LAST_DAY, box, by_date, was_by_date
from lidclock.clock.verdict import Verdict
from lidclock.domain.codes import spaced
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date, say_near_day
from lidclock.domain.phrases import boxed, told_of, with_commas, with_semicolons
from lidclock.domain.sentences import joined, sentence
from lidclock.errors import LidclockError, OddFactError, PrinterError, RefusedError
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import KeyMap, is_set_up
from lidclock.scan.payload import PLACE_ACTION, ActionRead, CodeRead, Unread
from lidclock.scan.reading import Reading, is_of_other_layout, read_line

LOOK = "LOOK"


@dataclass(frozen=True, slots=True)
class Chosen:
    """What the next lids are scanned for; `reason` goes with a discard."""

    action: str = LOOK
    place: Place | None = None
    reason: str = ""


@dataclass(slots=True)
class Scanner:
    """What the loop remembers: the action chosen, and what waits for a second scan.

    `waiting` are the lids that were scanned and need a new label.
    """

    session: Session
    action: str = LOOK
    place: Place | None = None
    doubted: str = ""
    keyboard: KeyMap | None = None
    waiting: dict[str, None] = field(default_factory=dict)

    def hear(self, line: str) -> str:
        """The answer to one scanned or typed line; errors are answers too."""
        read: Reading = Unread(line)
        try:
            read = read_line(line, _year(self.session), self.keyboard)
            if isinstance(read, ActionRead):
                return self._choose(read)
            if isinstance(read, CodeRead):
                return self._act(read)
            if isinstance(read, Pack):
                self.doubted = ""
                return f"! {pack_line(read)}"
            with self.session.read() as unit:
                return self._act(CodeRead(unit.find(read.text).code))
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
            return f"! that is the set-up symbol: {SET_UP} takes it; now looking only"
        hint = f"; this keyboard may change what is scanned: {SET_UP}"
        return f"! {error}{hint if is_foreign else ''}; now looking only"

    def _choose(self, read: ActionRead) -> str:
        self.doubted = ""
        if read.action == "UNDO":
            with self.session.write() as unit:
                return undone_line(unit, corrections.undo(unit)[0].subject)
        if read.action == "LABEL":
            return self._label()
        if read.action == "DONE":
            self.action, self.place = LOOK, None
            return "looking only: a scan changes nothing"
        if read.action == PLACE_ACTION:
            self.place = self.session.place(read.place)
            self.action = PLACE_ACTION
            return f"now scan the lids that go into {self.place.name}"
        self.action, self.place = read.action, None
        return f"{read.action.lower()}: now scan the lids"

    def _act(self, lid: CodeRead) -> str:
        code = lid.code
        anyway, self.doubted = self.doubted == code, ""
        if self.action == LOOK:
            with self.session.read() as unit:
                view = unit.view(unit.find(code).code)
            self._remember(view)
            return look_line(view, lid.number)
        with self.session.write() as unit:
            done = self._do(unit, code, anyway=anyway)
        self._remember(done.view)
        return done_line(done, lid.number)

    def _remember(self, view: View) -> None:
        """Keep in mind whether its lid needs a label."""
        self.waiting.pop(view.code, None)
        if view.container.is_live and not needs_no_label(view):
            self.waiting[view.code] = None

    def _label(self) -> str:
        """Print what the scanned lids need on the printer that has the kitchen's stock.

        They go on waiting where nothing came out.
        """
        from lidclock.app import lids, printing

        if not self.waiting:
            return "no lid that was scanned needs a label"
        printer = printing.printer_for(self.session)
        with self.session.read() as unit:
            views = lids.views_to_label(unit, list(self.waiting))
            drawn = lids.draw_labels(
                unit, views, stock=printer.stock, offset_mm=printer.offset_mm
            )
        report = printing.print_drawn(self.session, drawn, printer)
        if not report.is_printed:
            raise PrinterError(report.message)
        count = len(self.waiting)
        self.waiting.clear()
        return f"{count} label{'' if count == 1 else 's'} printed on {printer.name}"

    def _do(self, unit: Unit, code: str, *, anyway: bool) -> Done:
        chosen = Chosen(self.action, self.place)
        return carry_out(unit, chosen, code, anyway=anyway)


def carry_out(unit: Unit, chosen: Chosen, code: str, *, anyway: bool) -> Done:
    """Record what was chosen, other than looking, of the container `code`."""
    if chosen.action == PLACE_ACTION and chosen.place is not None:
        return moves.place(unit, code, chosen.place, anyway=anyway)
    if chosen.action == "FREEZE":
        return moves.freeze(unit, code, anyway=anyway)
    if chosen.action == "THAW":
        return moves.thaw(unit, code, anyway=anyway)
    if chosen.action == "OPEN":
        return moves.open_container(unit, code, anyway=anyway)
    if chosen.action == "USE":
        return moves.use(unit, code, anyway=anyway)
    return moves.discard(unit, code, chosen.reason, anyway=anyway)


def lid_of(session: Session, typed: str) -> CodeRead:
    """The lid in `typed`, as the scanner meant it; else `typed`, to be looked up.

    RefusedError for a supplier's pack.
    """
    read = read_symbol(session, typed)
    if isinstance(read, Pack):
        raise RefusedError(pack_line(read), pack_fact(read))
    return read if isinstance(read, CodeRead) else CodeRead(typed)


def read_symbol(session: Session, text: str) -> Reading:
    """What a scanned symbol means in this kitchen, on this device's keyboard."""
    return read_line(text, _year(session), keyboard_of(session))


def _year(session: Session) -> int:
    return local_date(session.now, session.kitchen.zone).year


def look_line(view: View, number: int = 0) -> str:
    """What a command line says of it: also what else may be true if it is over."""
    how = "used or frozen before that? --use or --freeze with --at TIME"
    return _looked(view, number, how if view.verdict.status == "over" else "")


def look_words(view: View, number: int = 0) -> str:
    """`4F7 K2M0 dough, box 2 of 6: keep, best by Thu 5 Nov (house rule), Fridge`.

    `number` is that of the label that was scanned, 0 if the symbol does not tell.
    """
    return _looked(view, number, "")


def _looked(view: View, number: int, how: str) -> str:
    place = ""
    if view.container.is_live:
        place = view.container.place or sentence("no place")
    stands = told_of(_name(view), with_commas([standing_words(view), place]))
    return with_semicolons([stands, how, void_remark(view, number)])


def done_line(done: Done, number: int = 0) -> str:
    """`4F7 K2M0 bun dough, box 2 of 6: frozen; 5 days left after thawing`."""
    name, view = _name(done.view), done.view
    if view.container.after_end and view.container.end is not None:
        return sentence(
            "{name}: recorded, but it was {end} already: a contradiction, kept",
            name=name,
            end=end_words(view.container.end.kind),
        )
    if view.verdict.status == "ended":
        return with_semicolons([told_of(name, done.did), _handing_on(view)])
    remarks = [lid_remark(view), void_remark(view, number) if number else ""]
    stands = _left_words(view) or standing_words(view)
    return with_semicolons([told_of(name, done.did), stands, *remarks])


def _handing_on(view: View) -> str:
    """What a kitchen has to mind that gives its food to others."""
    if view.container.end is None or view.container.end.kind != "given":
        return ""
    return _SALE


_SALE = sentence(
    "selling or giving food to the public can need a permit and a checked label: ask "
    "your local food authority."
)


def undone_line(unit: Unit, subject: str) -> str:
    """What an undo took back."""
    known = unit.snapshots.get(subject)
    if known is None:
        line = planning_line(unit, subject)
        return f"undone; {line}" if line else "undone"
    return f"undone; {look_line(unit.view(known.code))}"


def _name(view: View) -> str:
    container = view.container
    name = joined("{code} {food}", code=spaced(view.code), food=view.food.name)
    if (container.of or 1) <= 1:
        return name
    return with_commas([name, box(container.index, container.of)])


def standing_words(view: View) -> str:
    """How it stands, in a few words."""
    verdict = view.verdict
    if verdict.status == "ended":
        end = view.container.end
        return end_words(end.kind) if end else sentence("ended")
    if verdict.status == "paused":
        return with_commas([sentence("frozen"), _left_words(view)])
    if verdict.last_day is None:
        reason = verdict.unknown[0] if verdict.unknown else NO_LAST_DAY
        return sentence("unknown: {reason}", reason=reason)
    when, is_house_rule = last_words(verdict), verdict.is_house_rule
    dated = was_by_date if verdict.status == "over" else by_date
    until: str = dated(when, is_house_rule)
    if is_house_rule:
        until = boxed(until, sentence("house rule"))
    match verdict.status:
        case "over":
            return sentence("OVER, {until}: discard", until=until)
        case "last-day":
            return sentence("last-day, {until}", until=until)
        case "soon":
            return sentence("soon, {until}", until=until)
    return sentence("keep, {until}", until=until)


def _left_words(view: View) -> str:
    """Of a frozen one, the days that are left after thawing; else nothing."""
    if view.verdict.status != "paused":
        return ""
    days = view.verdict.days_left or 0
    return days_after_thawing(days) if days >= 1 else FROZEN_OUT


def last_words(verdict: Verdict) -> str:
    """`Thu 5 Nov`, or `19:10 Sat 31 Oct` where an hour clock binds."""
    if verdict.last_day is None or verdict.last_moment is None:
        return sentence("not known")
    today = local_date(verdict.now, verdict.zone)
    day, binding = say_near_day(verdict.last_day, today), verdict.binding
    if binding is not None and binding.includes_moment:
        hour = f"{verdict.last_moment.astimezone(verdict.zone):%H:%M}"
        return joined("{hour} {day}", hour=hour, day=day)
    return day
