"""Stock-take: a place counted by scanning what is in it; nothing recorded unless said.

Each line is answered at once; what is recorded at the end is one act, so that one undo
takes all of it back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from lidclock.app import stock_take_words as words
from lidclock.app.keyboards import keyboard_of
from lidclock.app.lists import listed
from lidclock.app.moves import Done
from lidclock.app.remarks import void_remark
from lidclock.app.session import Fact, Session, Unit
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import (
    STOCK_TAKE_SUBJECT,
    Comparison,
    StockTaken,
    compare,
    is_time_needed,
    last_taken,
    stock_take_subject,
)
from lidclock.errors import InputError, RefusedError
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import KeyMap
from lidclock.scan.payload import ActionRead, CodeRead
from lidclock.scan.reading import Reading, read_line
from lidclock.scan.wedge import clean

_END = "DONE"
EATEN, LOST, DISCARDED, STILL_THERE = "eaten", "lost", "discarded", "still there"
_KINDS = {EATEN: "used", LOST: "missing", DISCARDED: "discarded"}


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of a container that was not seen; `reason` goes with discarded."""

    what: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Report:
    """What the stock-take found; `waiting` says why some lids cannot be placed here."""

    place: Place
    found: Comparison
    waiting: Mapping[str, str]

    @property
    def movable(self) -> tuple[Snapshot, ...]:
        """Lids from elsewhere that may be recorded as placed here now."""
        return tuple(
            one for one in self.found.elsewhere if one.code not in self.waiting
        )


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was recorded: lids placed here, and codes by what became of them.

    `refused` says by code why an answer was not recorded.
    """

    taken: StockTaken
    moved: tuple[Done, ...] = ()
    answered: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)


class StockTake:
    """One stock-take of one place, from its first lid to what is recorded."""

    def __init__(self, session: Session, place: Place) -> None:
        self.session = session
        self.place = place
        self.is_over = False
        self._keyboard = keyboard_of(session)
        with session.read() as unit:
            here = unit.snapshots.find(place=place.name)
        self._here = {one.code: one for one in here}
        self._seen: set[str] = set()
        self._scanned: dict[str, Snapshot | None] = {}
        self._unread: dict[str, None] = {}

    @classmethod
    def of(cls, session: Session, name: str) -> StockTake:
        """A stock-take of the place called `name`; UnknownThingError if none is."""
        return cls(session, session.place(name))

    @property
    def expected_count(self) -> int:
        """How many containers the place should hold."""
        return len(self._here)

    @property
    def has_read(self) -> bool:
        """Whether anything at all was scanned."""
        return bool(self._scanned or self._unread)

    def hear(self, line: str) -> str:
        """The answer to one scanned or typed line; errors are answers too."""
        return self._answer(line, self._keyboard)

    def hear_symbol(self, text: str) -> str:
        """The answer to a symbol that was read from a photo, past any keyboard."""
        return self._answer(text, None)

    def _answer(self, line: str, keyboard: KeyMap | None) -> str:
        try:
            read = self._read(line, keyboard)
        except InputError as error:
            return self._not_known(line, str(error))
        if isinstance(read, CodeRead):
            return self._lid(read)
        if isinstance(read, ActionRead):
            self.is_over = read.action == _END
            return "" if self.is_over else words.no_action_line(read)
        if isinstance(read, Pack):
            return self._not_known(line, words.pack_words_of(read))
        hint = words.hint(line, read, self._here, has_map=self._keyboard is not None)
        return self._not_known(line, hint)

    def _read(self, line: str, keyboard: KeyMap | None) -> Reading:
        year = local_date(self.session.now, self.session.kitchen.zone).year
        return read_line(line, year, keyboard)

    def _not_known(self, line: str, why: str) -> str:
        text = words.clipped(clean(line).text)
        if not text:
            return words.NOTHING_READ
        self._unread[text] = None
        return f"! {why}"

    def _lid(self, lid: CodeRead) -> str:
        code = lid.code
        is_again = code in self._scanned
        if not is_again:
            self._scanned[code] = self._here.get(code) or self._elsewhere(code)
        known = self._scanned[code]
        if known is None:
            return words.stranger_line(code)
        if is_again:
            return words.again_line(known)
        one = listed(self.session, known)
        if code not in self._here:
            return words.elsewhere_line(one)
        self._seen.add(code)
        count = words.count(len(self._seen), self.expected_count)
        return words.seen_line(count, one, self._void(lid))

    def _elsewhere(self, code: str) -> Snapshot | None:
        with self.session.read() as unit:
            return unit.snapshots.get(code)

    def _void(self, lid: CodeRead) -> str:
        """That the label which was scanned is an old one, where the symbol tells."""
        if not lid.number:
            return ""
        with self.session.read() as unit:
            return void_remark(unit.view(lid.code), lid.number)

    def names(self, line: str, code: str) -> bool:
        """Whether `line` is a scan of that lid: then it is still there."""
        try:
            return self._read(line, self._keyboard) == CodeRead(code)
        except InputError:
            return False

    def report(self) -> Report:
        """What was found, beside what the kitchen says by now."""
        with self.session.read() as unit:
            return self._report(unit)

    def _report(self, unit: Unit) -> Report:
        here = unit.snapshots.find(place=self.place.name)
        codes = {one.code for one in here}
        others = [unit.snapshots.get(code) for code in self._scanned.keys() - codes]
        known = [*here, *(one for one in others if one is not None)]
        found = compare(self.place.name, known, self._scanned, self._unread)
        waiting = {one.code: self._hindrance(one) for one in found.elsewhere}
        return Report(
            self.place, found, {code: why for code, why in waiting.items() if why}
        )

    def _hindrance(self, one: Snapshot) -> str:
        """Why it cannot be recorded as placed here now; nothing where it can."""
        if is_time_needed(one, self.place):
            return words.time_needed(one, self.place)
        if self.place.state == "freezer" and self._is_over(one):
            return words.OVER_FOR_FREEZER
        return ""

    def _is_over(self, one: Snapshot) -> bool:
        return one.last_moment is not None and self.session.now >= one.last_moment

    def record(self, answers: Mapping[str, Answer], *, moves: bool) -> Recorded:
        """Record that the place was counted, and what was said, as one act.

        `answers` are by the code of what was not seen; `moves` places here what belongs
        elsewhere. RefusedError where something should be there and nothing was scanned.
        """
        if self.expected_count and not self.has_read:
            raise RefusedError(words.NOTHING_SCANNED)
        with self.session.write() as unit:
            report = self._report(unit)
            said, refused = self._believed(report, answers)
            taken = _taken(report, said)
            movable = report.movable if moves else ()
            note = Fact("noted", stock_take_subject(taken.place), taken.as_dict())
            unit.record([*self._placed(movable), *_became(said), note])
            did = words.did(self.place)
            moved = tuple(Done(did, unit.view(one.code)) for one in movable)
        return Recorded(taken, moved, _by_answer(said), refused)

    def _believed(
        self, report: Report, answers: Mapping[str, Answer]
    ) -> tuple[dict[str, Answer], dict[str, str]]:
        """The answers about what is missing, and by code why some do not hold.

        What is past its last moment was not eaten now: when it was has to be said.
        """
        missing = {one.code: one for one in report.found.missing}
        said = {code: answer for code, answer in answers.items() if code in missing}
        refused = {
            code: words.eaten_late(missing[code])
            for code, answer in said.items()
            if answer.what == EATEN and self._is_over(missing[code])
        }
        return {code: said[code] for code in said if code not in refused}, refused

    def _placed(self, movable: Iterable[Snapshot]) -> list[Fact]:
        body = {"place": self.place.name, "state": self.place.state}
        return [Fact("placed", one.code, body) for one in movable]


def _taken(report: Report, said: Mapping[str, Answer]) -> StockTaken:
    """Somebody who says that it is still there has seen it."""
    found = report.found
    missing = tuple(
        one.code
        for one in found.missing
        if one.code not in said or said[one.code].what != STILL_THERE
    )
    expected = len(found.expected)
    return StockTaken(
        *(report.place.name, expected - len(missing), expected, missing),
        unknown=found.unknown_count,
    )


def _became(said: Mapping[str, Answer]) -> list[Fact]:
    facts = []
    for code, answer in said.items():
        if answer.what in _KINDS:
            reason = answer.reason.strip() or "not said"
            body = {"reason": reason} if answer.what == DISCARDED else {}
            facts.append(Fact(_KINDS[answer.what], code, body))
    return facts


def _by_answer(said: Mapping[str, Answer]) -> dict[str, tuple[str, ...]]:
    return {
        what: codes
        for what in (EATEN, LOST, DISCARDED, STILL_THERE)
        if (codes := tuple(code for code, x in said.items() if x.what == what))
    }


def last_stock_takes(unit: Unit) -> dict[str, datetime]:
    """When each place was last counted, by casefolded name, undone ones left out."""
    return last_taken(unit.ledger.starting(STOCK_TAKE_SUBJECT))
