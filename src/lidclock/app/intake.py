"""Readings that arrive, into the store: each batch is one transaction.

What is told of a batch, and what its senders hear, comes after the commit.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime

from lidclock.app.arriving import Batch, Counts, Directory
from lidclock.app.sensor_topics import topics_of
from lidclock.app.session import Session
from lidclock.errors import ReadingError
from lidclock.gateways.arrivals import Arrival, read_payload
from lidclock.gateways.in_doubt import InDoubt, Message

Tell = Callable[[str], None]
# Whoever may publish could invent topics without end; we tell of so many.
_MOST_TOLD = 500
_NO_NAME = "http"


class Intake:
    """Takes readings in for a kitchen, a batch at a time, from any thread."""

    def __init__(
        self, session: Session, *, now: Callable[[], datetime], tell: Tell
    ) -> None:
        self.counts = Counts()
        self._session, self._now, self._tell = session, now, tell
        self._turn = threading.Lock()
        self._told: set[tuple[str, str]] = set()

    def messages(
        self,
        client: str,
        filters: Sequence[str],
        batch: Sequence[Message],
        settled: Sequence[Message] = (),
    ) -> None:
        """Keep what came from a broker, together with the knowledge that it came.

        A message that says nothing is told of, and is done with. That `settled` came
        need not be known any more.
        """
        with self._batch() as found:
            directory = Directory(found.unit)
            topics = topics_of(found.unit)
            doubt = InDoubt.read(topics.recall(client))
            fresh = [one for one in batch if not doubt.holds(one)]
            found.counts.received = len(batch)
            found.counts.known = len(batch) - len(fresh)
            for one in fresh:
                try:
                    self._message(found, directory, one)
                except ReadingError as error:
                    found.refuse(one.topic, error)
            doubt.filters = tuple(filters)
            doubt.settle(settled)
            doubt.add(batch)
            topics.remember(client, doubt.text())

    @staticmethod
    def _message(found: Batch, directory: Directory, one: Message) -> None:
        known = directory.of_topic(one.topic)
        arrival = read_payload(one.topic, one.payload, one.received_at, unit=known.unit)
        if one.is_retained and arrival.at == one.received_at:
            raise ReadingError(
                f"{one.topic}: a message that the broker kept has no time; its age is "
                "not known",
                "retained",
            )
        found.take(known.sensor, arrival, one.received_at)

    def readings(self, arrivals: Sequence[Arrival | ReadingError]) -> list[str]:
        """Keep what came over HTTP; why not, for each in turn, or nothing."""
        answers, taken = [""] * len(arrivals), []
        with self._batch() as found:
            directory = Directory(found.unit)
            found.counts.received = len(arrivals)
            for place, one in enumerate(arrivals):
                if isinstance(one, ReadingError):
                    answers[place] = found.refuse(_NO_NAME, one)
                    continue
                try:
                    sensor = directory.of_name(one.sensor)
                    found.take(sensor, one)
                    taken.append((place, sensor, one))
                except ReadingError as error:
                    answers[place] = found.refuse(one.sensor, error)
        for place, sensor, arrival in taken:
            answers[place] = found.clash_of(sensor, arrival)
        return answers

    @contextmanager
    def _batch(self) -> Iterator[Batch]:
        """A batch to fill, stored in one transaction; then it is counted and told."""
        with self._turn:
            self._session.now = self._now()
            with self._session.write() as unit:
                found = Batch(unit)
                yield found
                found.store()
            self.counts.add(found.counts)
            self._tell_new(found)

    def _tell_new(self, found: Batch) -> None:
        """What is the matter, once for each sensor or topic."""
        for who, kind, words in found.faults:
            if (who, kind) not in self._told and len(self._told) < _MOST_TOLD:
                self._told.add((who, kind))
                self._tell(words)
