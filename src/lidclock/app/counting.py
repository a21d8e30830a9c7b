"""A stock-take on the page: begun, scanned for by any device, recorded or dropped."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from lidclock.app import corrections
from lidclock.app.now import new_ids
from lidclock.app.photos import Upload, symbols_in
from lidclock.app.scan_page import LONGEST_LINE
from lidclock.app.session import Fact, Session, Unit
from lidclock.app.stock_take import (
    Answer,
    Recorded,
    Report,
    StockTake,
    last_stock_takes,
)
from lidclock.app.stock_take_words import BAD, Heard
from lidclock.domain.advice import without_commands
from lidclock.domain.counting import (
    COUNTS_SUBJECT,
    DROPPED,
    RECORDED,
    Count,
    Line,
    counts_from,
    lines_from,
    lines_subject,
)
from lidclock.domain.kitchens import Place
from lidclock.domain.sentences import Sentence, sentence
from lidclock.errors import InputError, RefusedError, UnknownThingError
from lidclock.scan.keyboard import learn

MOST_LINES = 2000
_TOO_LONG = sentence("that is longer than any label: scan one lid")


@dataclass(frozen=True, slots=True)
class Countable:
    """A place as it may be counted: what it should hold, when it last was, and by whom.

    `count` is the one under way.
    """

    place: Place
    expected: int
    last_at: datetime | None
    count: Count | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """A count as it stands: what was scanned, the latest first, and what it found.

    `count` is None where nothing was scanned yet.
    """

    count: Count | None
    place: Place
    lines: tuple[tuple[Line, Heard], ...]
    report: Report

    @property
    def seen(self) -> int:
        """How many of those that should be there were scanned."""
        return len(self.report.found.seen)

    @property
    def expected(self) -> int:
        """How many should be there."""
        return len(self.report.found.expected)


def countable(session: Session) -> list[Countable]:
    """Every place in the kitchen's order."""
    with session.read() as unit:
        last = last_stock_takes(unit)
        under_way = {one.place.casefold(): one for one in _open(unit)}
        held = [len(unit.snapshots.find(place=x.name)) for x in session.places]
    return [
        Countable(place, number, last.get(key), under_way.get(key))
        for place, number in zip(session.places, held, strict=True)
        for key in [place.name.casefold()]
    ]


def begin(session: Session, name: str) -> Count:
    """Begin a count of the place called `name`, or go on with the one under way."""
    place = session.place(name)
    with session.write() as unit:
        known = _open_of(unit, place)
        if known is not None:
            return known
        (count_id,) = new_ids(1)
        body = {"count": count_id, "place": place.name}
        unit.record([Fact("noted", COUNTS_SUBJECT, body)])
        return _found(unit, count_id)


def count_of(session: Session, count_id: str) -> Count:
    """The count with that id, under way or not; UnknownThingError if there is none."""
    with session.read() as unit:
        return _found(unit, count_id)


def standing(session: Session, count_id: str) -> Standing:
    """How a count stands; RefusedError where it has ended."""
    with session.read() as unit:
        count, lines = _under_way(unit, count_id)
    return _standing(session, session.place(count.place), count, lines)


def standing_of(session: Session, name: str) -> Standing:
    """How the count of a place stands, whether or not there is one under way."""
    place = session.place(name)
    with session.read() as unit:
        count = _open_of(unit, place)
        lines = lines_from(unit.ledger.of([lines_subject(count.id)])) if count else []
    return _standing(session, place, count, lines)


def _standing(
    session: Session, place: Place, count: Count | None, lines: list[Line]
) -> Standing:
    take = StockTake(session, place, before=lines)
    said = tuple((line, on_pages(take.again(line))) for line in reversed(lines))
    return Standing(count, place, said, take.report())


def hear(
    session: Session, count_id: str, lines: Sequence[str], *, typed: str = ""
) -> list[Heard]:
    """Take in scanned or typed lines and answer each; a lid twice does no harm.

    `typed` is what this browser's keyboard made of the set-up symbol. RefusedError
    where the count has ended: then nothing of it is taken in.
    """
    if len(lines) > MOST_LINES:
        raise InputError(f"send at most {MOST_LINES} lids at once")
    keyboard = learn(typed) if typed else None
    with session.read() as unit:
        count, before = _under_way(unit, count_id)
    place = session.place(count.place)
    take = StockTake(session, place, keyboard=keyboard, before=before)
    heard = [_heard(take, line) for line in lines]
    _keep(session, count, take, before)
    return heard


def hear_photo(session: Session, count_id: str, photo: Upload) -> list[Heard]:
    """Take in every symbol of a photo; InputError where none can be read."""
    with session.read() as unit:
        count, before = _under_way(unit, count_id)
    take = StockTake(session, session.place(count.place), before=before)
    heard = [on_pages(take.listen_symbol(text)) for text in symbols_in(photo)]
    _keep(session, count, take, before)
    return heard


def refused(
    session: Session, count_id: str, answers: Mapping[str, Answer]
) -> dict[str, str]:
    """Why some answers cannot hold, by code; nothing is recorded."""
    return _take(session, count_id).refused(answers)


def record(
    session: Session,
    count_id: str,
    answers: Mapping[str, Answer],
    *,
    moves: bool = False,
    since: Mapping[str, datetime] | None = None,
) -> Recorded:
    """Record that the place was counted and what was said; the count has ended then.

    All of it is one act. Errors as for `StockTake.record`; RefusedError where it has
    ended, by another device or by a second tap.
    """
    with session.write() as unit:
        # Read while nobody else can scan for it, or end it.
        take = _take(session, count_id)
        if take.expected_count and not take.has_read:
            raise RefusedError(
                sentence(
                    "no lid was scanned, so nothing is recorded: scan what is there"
                )
            )
        closing = _ended(count_id, RECORDED)
        return take.record_in(unit, answers, moves=moves, since=since, closing=closing)


def drop(session: Session, count_id: str) -> str:
    """End a count without recording that the place was counted; the act."""
    with session.write() as unit:
        _under_way(unit, count_id)
        return unit.record([_ended(count_id, DROPPED)])[0].act


def take_up_again(session: Session, count_id: str) -> Count:
    """Take back how a count ended, and all that was recorded with it: it goes on.

    RefusedError where it has not ended.
    """
    with session.write() as unit:
        count = _found(unit, count_id)
        if count.is_open:
            raise RefusedError(sentence("this count is under way"))
        corrections.undo_act(unit, count.act)
        return _found(unit, count_id)


def on_pages(heard: Heard) -> Heard:
    """An answer without the parts that only a command line can follow."""
    if isinstance(heard.says, Sentence):
        return heard
    return Heard(heard.kind, without_commands(heard.says), heard.code)


def _heard(take: StockTake, line: str) -> Heard:
    if len(line) > LONGEST_LINE:
        return Heard(BAD, _TOO_LONG)
    return on_pages(take.listen(line))


def _take(session: Session, count_id: str) -> StockTake:
    with session.read() as unit:
        count, lines = _under_way(unit, count_id)
    return StockTake(session, session.place(count.place), before=lines)


def _keep(
    session: Session, count: Count, take: StockTake, before: Iterable[Line]
) -> None:
    """Keep what was scanned for the first time, as long as the count is under way."""
    known = {(line.code, line.text) for line in before}
    fresh = [pair for pair in take.scanned if pair not in known]
    if not fresh:
        return
    with session.write() as unit:
        _under_way(unit, count.id)
        subject = lines_subject(count.id)
        unit.record(
            Fact("noted", subject, {"code": code} if code else {"text": text})
            for code, text in fresh
        )


def _ended(count_id: str, how: str) -> Fact:
    return Fact("noted", COUNTS_SUBJECT, {"count": count_id, "ended": how})


def _counts(unit: Unit) -> dict[str, Count]:
    return counts_from(unit.ledger.of([COUNTS_SUBJECT]))


def _open(unit: Unit) -> list[Count]:
    return [one for one in _counts(unit).values() if one.is_open]


def _open_of(unit: Unit, place: Place) -> Count | None:
    key = place.name.casefold()
    return next((x for x in _open(unit) if x.place.casefold() == key), None)


def _found(unit: Unit, count_id: str) -> Count:
    found = _counts(unit).get(count_id)
    if found is None:
        raise UnknownThingError(sentence("no such count here: begin one of a place"))
    return found


def _under_way(unit: Unit, count_id: str) -> tuple[Count, list[Line]]:
    count = _found(unit, count_id)
    if not count.is_open:
        raise RefusedError(sentence("this count has ended: begin another one"))
    return count, lines_from(unit.ledger.of([lines_subject(count_id)]))
