"""A logger's file into readings: looked at first, recorded when all is clear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta, tzinfo
from typing import TYPE_CHECKING

from lidclock.app.logger_file import LoggerFile, Progress, silent
from lidclock.app.temp_source import (
    Remembered,
    fixed_offset,
    read_zone,
    recall,
    say_zone,
)
from lidclock.app.temp_targets import Target, TargetFinder
from lidclock.errors import InputError, RefusedError
from lidclock.templog.logger_csv.choice import Wishes
from lidclock.templog.logger_csv.findings import Finding, Findings, quoted
from lidclock.templog.logger_csv.guess import Guess, Question, guess, source_of
from lidclock.templog.logger_csv.layout import Layout
from lidclock.templog.logger_csv.order import ORDER_WORDS, OrderEvidence
from lidclock.templog.logger_csv.reader import Clock, FileReader, Part
from lidclock.templog.logger_csv.survey import Span, spans
from lidclock.templog.logger_csv.words import say_local

if TYPE_CHECKING:
    from lidclock.app.session import Session

_US = timedelta(microseconds=1)
_DAY_US = 86_400_000_000


@dataclass(frozen=True, slots=True)
class Options:
    """What a person says of a file; whatever is left out is found, or remembered.

    `sensors` and `places` go with the temperatures of the file, in their order.
    """

    sensors: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    times: tuple[str, ...] = ()
    temps: tuple[str, ...] = ()
    unit: str = ""
    zone: str = ""
    order: str = ""
    shift: timedelta | None = None


@dataclass(frozen=True, slots=True)
class ZoneChoice:
    """The zone of a file's times, and why it is that."""

    zone: tzinfo
    reason: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A file that was looked at from end to end: what it holds, and what will be done.

    `batch` holds its readings where they fit into memory; else it is read again.
    """

    file: LoggerFile
    guess: Guess
    layout: Layout
    order_reason: str
    zone: ZoneChoice
    clock: Clock
    spans: tuple[Span, ...]
    targets: tuple[Target, ...]
    findings: tuple[Finding, ...]
    refused: int
    notes: tuple[str, ...]
    doubts: tuple[str, ...]
    memory: Remembered
    is_known: bool
    batch: tuple[Part, ...] | None

    @property
    def count(self) -> int:
        """How many readings there are."""
        return sum(span.count for span in self.spans)

    def batches(self, progress: Progress = silent) -> Iterator[list[Part]]:
        """The readings, from memory or from the file once more."""
        if self.batch is not None:
            yield list(self.batch)
            return
        reader = FileReader(self.layout, self.clock)
        yield from reader.batches(self.file.lines(reader.findings, progress))


@dataclass(frozen=True, slots=True)
class Open:
    """What a file leaves open: questions, each answered by an option."""

    file: LoggerFile
    questions: tuple[Question, ...]


def look(
    session: Session,
    file: LoggerFile,
    options: Options,
    progress: Progress = silent,
) -> Plan | Open:
    """Everything about a file before any of it is recorded.

    InputError if it cannot be read as a log at all.
    """
    head = file.head()
    with session.read() as unit:
        memory = recall(unit, source_of(head))
    known = memory or Remembered()
    found = guess(head, _wishes(options, known))
    layout, order_reason, question = _ordered(file, found, known)
    questions = (*found.questions, *([question] if question else []))
    if questions:
        return Open(file, questions)
    zone, layout, notes = _zone(session, found, layout, options, known)
    shift = timedelta(seconds=known.shift_s) if options.shift is None else options.shift
    clock = Clock(zone.zone, _us(session), shift // _US)
    reader = FileReader(layout, clock)
    batch, seen = _surveyed(reader, file, progress)
    _check_whole(file, reader)
    if not seen:
        raise _nothing(file, reader.findings)
    finder = TargetFinder(session, found, layout, options, known)
    wanted = finder.targets(seen)
    return Plan(
        file=file,
        guess=found,
        layout=layout,
        order_reason=order_reason,
        zone=zone,
        clock=clock,
        spans=tuple(seen),
        targets=wanted,
        findings=reader.findings.all(),
        refused=reader.findings.refused,
        notes=(*found.notes, *notes, *_shift_note(known, shift, memory is not None)),
        doubts=finder.doubts(wanted),
        memory=_new_memory(options, known, layout, order_reason, shift),
        is_known=memory is not None,
        batch=batch,
    )


def _wishes(options: Options, known: Remembered) -> Wishes:
    return Wishes(
        options.times or known.times,
        options.temps or known.temps,
        options.unit or known.unit,
        options.order,
        "as you say" if options.unit or options.order else "as the last time",
    )


def _us(session: Session) -> int:
    from lidclock.store.rows import micros

    return micros(session.now)


def _ordered(
    file: LoggerFile, found: Guess, known: Remembered
) -> tuple[Layout, str, Question | None]:
    """The layout with the order of day and month, its reason, or what to ask.

    The rows of this file outweigh what was so the last time.
    """
    if not found.needs_order:
        return found.layout, found.order_from, None
    evidence = OrderEvidence(found.layout)
    settled = evidence.read(file.lines(Findings()))
    if settled is not None:
        return replace(found.layout, order=settled.order), settled.reason, None
    if evidence.contradiction:
        text = f"{evidence.contradiction} occur, which no order of numerals fits"
        return found.layout, "", Question("--order", text, ("dmy", "mdy", "ymd"))
    spans_ = evidence.spans()
    if known.order in spans_:
        return replace(found.layout, order=known.order), "as the last time", None
    said = [
        f"{ORDER_WORDS[order]} ({order}) they are of {_days(first, last)}"
        for order, (first, last) in spans_.items()
    ]
    text = f"no row tells days from months: {', '.join(said)}"
    return found.layout, "", Question("--order", text, tuple(spans_))


def _days(first: int, last: int) -> str:
    begin, end = (say_local(day * _DAY_US).rsplit(" ", 1)[0] for day in (first, last))
    return begin if first == last else f"{begin} to {end}"


def _zone(
    session: Session,
    found: Guess,
    layout: Layout,
    options: Options,
    known: Remembered,
) -> tuple[ZoneChoice, Layout, tuple[str, ...]]:
    """The zone of times without an offset: as said, as the file says, the kitchen's."""
    said = options.zone or known.zone
    if said:
        reason = "as you say" if options.zone else "as the last time"
        choice = ZoneChoice(read_zone(said), reason)
        return choice, replace(layout, offset_us=None), ()
    kitchen = session.kitchen.zone
    if layout.offset_us is not None:
        from datetime import timezone

        fixed = timezone(timedelta(microseconds=layout.offset_us))
        return ZoneChoice(fixed, "by its heading"), layout, ()
    if found.zone_said:
        try:
            fixed_zone = fixed_offset(found.zone_said) or read_zone(found.zone_said)
            return ZoneChoice(fixed_zone, "by a line above"), layout, ()
        except InputError:
            note = (
                f"a line above says {quoted(found.zone_said)} of the zone; the times "
                f"are read as {say_zone(kitchen)}'s, --zone says otherwise"
            )
            return ZoneChoice(kitchen, "as the kitchen"), layout, (note,)
    return ZoneChoice(kitchen, "as the kitchen"), layout, ()


def _surveyed(
    reader: FileReader, file: LoggerFile, progress: Progress
) -> tuple[tuple[Part, ...] | None, list[Span]]:
    """What the file holds; the readings themselves if they are one batch."""
    kept: list[tuple[Part, ...]] = []

    def passing() -> Iterator[list[Part]]:
        for count, batch in enumerate(
            reader.batches(file.lines(reader.findings, progress)), start=1
        ):
            kept[:] = [tuple(batch)] if count == 1 else []
            yield batch

    seen = spans(passing())
    return (kept[0] if kept else None), seen


def _check_whole(file: LoggerFile, reader: FileReader) -> None:
    """InputError where the file as a whole cannot be one sensor's, or told apart."""
    others = [one for one in reader.findings.all() if one.kind == "other-device"]
    if others:
        raise InputError(
            f"{file.name}, {others[0].say()} begins the rows of another logger: split "
            "the file there, and import its parts"
        )
    if reader.lacks_halves:
        raise InputError(
            f"{file.name}: hours run from 1 to 12 twice a day without AM or PM, so no "
            "row tells its half of the day; export it with a 24-hour clock"
        )


def _nothing(file: LoggerFile, findings: Findings) -> RefusedError:
    said = "; ".join(one.say() for one in findings.all()[:3])
    return RefusedError(
        f"{file.name} holds no reading that can be used: {said or 'no rows'}"
    )


def _shift_note(known: Remembered, shift: timedelta, is_known: bool) -> tuple[str, ...]:
    if not is_known or shift.total_seconds() == known.shift_s:
        return ()
    return (
        "times were moved otherwise the last time; readings that are recorded stay "
        "where they are",
    )


def _new_memory(
    options: Options,
    known: Remembered,
    layout: Layout,
    order_reason: str,
    shift: timedelta,
) -> Remembered:
    """What is worth knowing the next time, but for the sensors."""
    return replace(
        known,
        times=options.times or known.times,
        temps=options.temps or known.temps,
        unit=options.unit or known.unit,
        order=known.order if order_reason == "plain" else layout.order,
        zone=options.zone or known.zone,
        shift_s=shift.total_seconds(),
    )
