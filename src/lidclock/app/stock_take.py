"""Stock-take: a place counted by scanning what is in it; nothing recorded unless said.

Each line is answered at once; what is recorded at the end is one act, so that one undo
takes all of it back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from lidclock.app import stock_take_words as words
from lidclock.app.keyboards import keyboard_of
from lidclock.app.lists import listed
from lidclock.app.moves import Done
from lidclock.app.remarks import void_remark
from lidclock.app.session import Fact, Session, Unit
from lidclock.app.stock_take_answers import (
    DISCARDED,
    EATEN,
    ELSEWHERE,
    LOST,
    STILL_THERE,
    Answer,
    became,
    placed,
    refusal,
)
from lidclock.app.stock_take_report import (
    Recorded,
    Report,
    by_answer,
    taken_from,
)
from lidclock.app.stock_take_words import BAD, GOOD, ODD, Heard
from lidclock.domain.counting import Line
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import (
    STOCK_TAKE_SUBJECT,
    compare,
    is_time_needed,
    last_taken,
    stock_take_subject,
)
from lidclock.errors import InputError, RefusedError
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import KeyMap
from lidclock.scan.payload import ActionRead, CodeRead, Unread
from lidclock.scan.reading import Reading, read_line
from lidclock.scan.wedge import clean

__all__ = [
    "DISCARDED",
    "EATEN",
    "ELSEWHERE",
    "LOST",
    "STILL_THERE",
    "Answer",
    "Recorded",
    "Report",
    "StockTake",
    "last_stock_takes",
]
_END = "DONE"


class StockTake:
    """One stock-take of one place, from its first lid to what is recorded."""

    def __init__(
        self,
        session: Session,
        place: Place,
        *,
        keyboard: KeyMap | None = None,
        before: Iterable[Line] = (),
    ) -> None:
        """A stock-take of `place`; `before` is what was scanned for it already."""
        self.session = session
        self.place = place
        self.is_over = False
        self._keyboard = keyboard
        lines = list(before)
        codes = [line.code for line in lines if line.code]
        with session.read() as unit:
            here = unit.snapshots.find(place=place.name)
            known = unit.snapshots.those(set(codes)) if codes else {}
        self._here = {one.code: one for one in here}
        found = {**known, **self._here}
        self._scanned = {code: found.get(code) for code in codes}
        self._seen = set(codes) & self._here.keys()
        self._unread = {line.text: None for line in lines if line.text}

    @classmethod
    def of(cls, session: Session, name: str) -> StockTake:
        """A stock-take of the place called `name`; UnknownThingError if none is."""
        return cls(session, session.place(name), keyboard=keyboard_of(session))

    @property
    def expected_count(self) -> int:
        """How many containers the place should hold."""
        return len(self._here)

    @property
    def seen_count(self) -> int:
        """How many of them were scanned."""
        return len(self._seen)

    @property
    def has_read(self) -> bool:
        """Whether anything at all was scanned."""
        return bool(self._scanned or self._unread)

    @property
    def scanned(self) -> list[tuple[str, str]]:
        """All that was scanned, each once: a code, or text that is none."""
        codes = [(code, "") for code in self._scanned]
        return codes + [("", text) for text in self._unread]

    def hear(self, line: str) -> str:
        """The answer to one scanned or typed line; errors are answers too."""
        return self.listen(line).line

    def hear_symbol(self, text: str) -> str:
        """The answer to a symbol that was read from a photo, past any keyboard."""
        return self.listen_symbol(text).line

    def listen(self, line: str) -> Heard:
        """The same with its kind, and the lid that it is about."""
        return self._answer(line, self._keyboard)

    def listen_symbol(self, text: str) -> Heard:
        """The same of a symbol in a photo."""
        return self._answer(text, None)

    def again(self, line: Line) -> Heard:
        """What there is to say of something that was scanned before, as things are."""
        if not line.code:
            read = Unread(line.text)
            return Heard(BAD, words.hint(line.text, read, (), has_map=True))
        known = self._scanned[line.code]
        if known is None:
            return Heard(BAD, words.stranger_line(line.code), line.code)
        one = listed(self.session, known)
        if line.code not in self._here:
            return Heard(ODD, words.elsewhere_line(one), line.code)
        kind = ODD if words.needs_minding(one) else GOOD
        return Heard(kind, words.known_line(one), line.code)

    def _answer(self, line: str, keyboard: KeyMap | None) -> Heard:
        try:
            read = self._read(line, keyboard)
        except InputError as error:
            return self._not_known(line, str(error))
        if isinstance(read, CodeRead):
            return self._lid(read)
        if isinstance(read, ActionRead):
            self.is_over = read.action == _END
            return Heard(BAD, "" if self.is_over else words.no_action_line(read))
        if isinstance(read, Pack):
            return self._not_known(line, words.pack_words_of(read))
        hint = words.hint(line, read, self._here, has_map=self._keyboard is not None)
        return self._not_known(line, hint)

    def _read(self, line: str, keyboard: KeyMap | None) -> Reading:
        year = local_date(self.session.now, self.session.kitchen.zone).year
        return read_line(line, year, keyboard)

    def _not_known(self, line: str, why: str) -> Heard:
        text = words.clipped(clean(line).text)
        if not text:
            return Heard(BAD, words.NOTHING_READ)
        self._unread[text] = None
        return Heard(BAD, why)

    def _lid(self, lid: CodeRead) -> Heard:
        code = lid.code
        is_again = code in self._scanned
        if not is_again:
            self._scanned[code] = self._here.get(code) or self._elsewhere(code)
        known = self._scanned[code]
        if known is None:
            return Heard(BAD, words.stranger_line(code), code)
        if is_again:
            return Heard(GOOD, words.again_line(known), code)
        if code in self._here:
            self._seen.add(code)
        number = words.count(len(self._seen), self.expected_count)
        void = self._void(lid) if code in self._here else ""
        return self._said(code, known, number, void)

    def _said(self, code: str, known: Snapshot, number: str, void: str = "") -> Heard:
        one = listed(self.session, known)
        if code not in self._here:
            return Heard(ODD, words.elsewhere_line(one), code)
        kind = ODD if words.needs_minding(one) else GOOD
        return Heard(kind, words.seen_line(number, one, void), code)

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
            self.place,
            found,
            {code: why for code, why in waiting.items() if why},
            frozenset(x.code for x in found.elsewhere if self._is_undated(x)),
        )

    def _hindrance(self, one: Snapshot) -> str:
        """Why it cannot be recorded as placed here now; nothing where it can."""
        if is_time_needed(one, self.place):
            return words.time_needed(one, self.place)
        if self.place.state == "freezer" and self._is_over(one):
            return words.OVER_FOR_FREEZER
        return ""

    def _is_undated(self, one: Snapshot) -> bool:
        return is_time_needed(one, self.place)

    def _is_over(self, one: Snapshot) -> bool:
        return one.last_moment is not None and self.session.now >= one.last_moment

    def refused(self, answers: Mapping[str, Answer]) -> dict[str, str]:
        """Why some answers cannot hold, by code; nothing is recorded."""
        with self.session.read() as unit:
            return self._believed(unit, self._report(unit), answers)[1]

    def record(
        self,
        answers: Mapping[str, Answer],
        *,
        moves: bool,
        since: Mapping[str, datetime] | None = None,
    ) -> Recorded:
        """Record that the place was counted, and what was said, as one act.

        `answers` are by the code of what was not seen; `moves` places here what belongs
        elsewhere, and `since` says of what came out of the cold since when it is here.
        RefusedError where something should be there and nothing was scanned.
        """
        with self.session.write() as unit:
            return self.record_in(unit, answers, moves=moves, since=since)

    def record_in(
        self,
        unit: Unit,
        answers: Mapping[str, Answer],
        *,
        moves: bool,
        since: Mapping[str, datetime] | None = None,
        closing: Fact | None = None,
    ) -> Recorded:
        """The same within a unit of work; `closing` is recorded along."""
        if self.expected_count and not self.has_read:
            raise RefusedError(words.NOTHING_SCANNED)
        report = self._report(unit)
        said, refused = self._believed(unit, report, answers)
        taken = taken_from(report, said)
        here = self._placed(unit, report, moves=moves, since=since or {})
        facts = [fact for code in said for fact in became(unit, code, said[code])]
        note = Fact("noted", stock_take_subject(taken.place), taken.as_dict())
        end = [closing] if closing else []
        act = unit.record([*here, *facts, note, *end])[0].act
        did = words.did(self.place)
        moved = tuple(Done(did, unit.view(fact.subject)) for fact in here)
        return Recorded(taken, moved, by_answer(said), refused, act)

    def _believed(
        self, unit: Unit, report: Report, answers: Mapping[str, Answer]
    ) -> tuple[dict[str, Answer], dict[str, str]]:
        """The answers about what is missing, and by code why some do not hold.

        What is past its last moment was not eaten now: when it was has to be said.
        """
        missing = {one.code: one for one in report.found.missing}
        said = {code: answer for code, answer in answers.items() if code in missing}
        judged = {
            code: refusal(unit, self.place, missing[code], answer)
            for code, answer in said.items()
        }
        refused = {code: why for code, why in judged.items() if why}
        return {code: said[code] for code in said if code not in refused}, refused

    def _placed(
        self,
        unit: Unit,
        report: Report,
        *,
        moves: bool,
        since: Mapping[str, datetime],
    ) -> list[Fact]:
        """Lids from elsewhere that are here from now on, or since a time given."""
        facts = [placed(x.code, self.place, None) for x in report.movable if moves]
        for one in report.found.elsewhere:
            if one.code not in report.undated or one.code not in since:
                continue
            at = since[one.code]
            why = refusal(
                unit,
                Place("", one.state),
                one,
                Answer(ELSEWHERE, place=self.place.name, at=at),
            )
            if why:
                raise InputError(f"{words.name(one)}: {why}")
            facts.append(placed(one.code, self.place, at))
        return facts


def last_stock_takes(unit: Unit) -> dict[str, datetime]:
    """When each place was last counted, by casefolded name, undone ones left out."""
    return last_taken(unit.ledger.starting(STOCK_TAKE_SUBJECT))
