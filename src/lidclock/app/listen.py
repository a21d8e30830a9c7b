"""Listening for readings until told to stop: a broker, a door over HTTP, or both."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.intake import Intake, Tell
from lidclock.app.now import now as clock
from lidclock.app.sensor_topics import all_topics, topics_of
from lidclock.app.session import Session
from lidclock.domain.topics import covers, read_filter
from lidclock.errors import InputError
from lidclock.gateways.in_doubt import InDoubt

if TYPE_CHECKING:
    from lidclock.gateways.broker import Broker
    from lidclock.gateways.http_intake import Door
    from lidclock.gateways.mqtt import Listener

# How often the line of progress comes, and how often topics are looked up that
# somebody named meanwhile.
_TELL_EVERY, _LOOK_EVERY = timedelta(minutes=1), timedelta(seconds=5)
_MOST_SECRET_BYTES = 10_000
# Waits in seconds, and says whether the end has come.
Wait = Callable[[float], bool]


@dataclass(frozen=True, slots=True)
class Sources:
    """Where readings come from; `filters` are topics beyond those of the sensors."""

    broker: Broker | None = None
    filters: tuple[str, ...] = ()
    door: Door | None = None


def sources(
    *,
    mqtt: str = "",
    password: str = "",
    authorities: str = "",
    topics: Sequence[str] = (),
    http: str = "",
    token: str = "",
) -> Sources:
    """What was asked for, checked; InputError says what does not fit."""
    from lidclock.gateways.broker import read_broker
    from lidclock.gateways.http_intake import read_door

    if not mqtt and not http:
        raise InputError("say where readings come from: --mqtt URL, --http PORT")
    if topics and not mqtt:
        raise InputError("--topic goes with --mqtt URL")
    broker = None
    if mqtt:
        broker = replace(read_broker(mqtt), password=password, authorities=authorities)
        if password and not broker.user:
            raise InputError("a password needs a name: mqtt://NAME@HOST")
        if authorities and not broker.is_encrypted:
            raise InputError("--ca goes with an encrypted line: mqtts://HOST")
    door = read_door(http, token) if http else None
    return Sources(broker, tuple(map(read_filter, topics)), door)


def secret(path: str | None, value: str | None) -> str:
    """A secret from the first line of a file, or else from the environment."""
    if path is None:
        return value or ""
    try:
        with Path(path).open("rb") as file:
            text = file.read(_MOST_SECRET_BYTES).decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"{path} cannot be read as text: {error}") from error
    first = text.split("\n", 1)[0].strip()
    if not first:
        raise InputError(f"{path} holds no secret in its first line")
    return first


def listen(session: Session, found: Sources, tell: Tell, wait: Wait) -> None:
    """Keep readings as they come, until `wait` says that the end has come.

    GatewayError where nothing answers, or an address is taken. What is in hand is kept
    before it returns.
    """
    # Time goes on from the moment that the session stands at.
    behind = clock() - session.now

    def now() -> datetime:
        return clock() - behind

    intake = Intake(session, now=now, tell=tell)
    watch = _Watch(session, intake, tell, now)
    try:
        with _door(found.door, intake, now, tell):
            if found.broker is None:
                while not wait(1.0):
                    watch.look()
            else:
                _listen_to(found, session, watch, wait)
    finally:
        if intake.counts.received:
            watch.tell()


class _Watch:
    """Looks after a listening program: its line of progress, topics that are new."""

    def __init__(
        self,
        session: Session,
        intake: Intake,
        tell: Tell,
        now: Callable[[], datetime],
    ) -> None:
        self.intake, self.now, self.say = intake, now, tell
        self._session = session
        self._told_at = self._looked_at = now()
        self._told = 0

    def look(self, listener: Listener | None = None) -> None:
        """Tell how many came, if that is due; take up topics that are new."""
        at = self.now()
        if at - self._told_at >= _TELL_EVERY:
            self._told_at = at
            if self.intake.counts.received != self._told:
                self.tell()
        if listener is not None and at - self._looked_at >= _LOOK_EVERY:
            self._looked_at = at
            for topic in _uncovered(self._session, listener.filters):
                listener.want(topic)
                self.say(f"listening for {topic}")

    def tell(self) -> None:
        """The line of progress."""
        counts = self.intake.counts
        self._told = counts.received
        known = f", {counts.known:,} known already" if counts.known else ""
        self.say(
            f"{counts.received:,} received: {counts.kept:,} kept{known}, "
            f"{counts.refused:,} refused"
        )


def _listen_to(found: Sources, session: Session, watch: _Watch, wait: Wait) -> None:
    from lidclock.gateways.mqtt import Listener

    assert found.broker is not None
    # The same name each time: under it the broker keeps what we have not heard.
    broker = replace(found.broker, client_id=f"lidclock-{session.kitchen.id}")
    filters = [*found.filters, *_uncovered(session, found.filters)]
    if not filters:
        raise InputError(
            "no sensor has a topic yet: say `lidclock temp sensor topic SENSOR TOPIC`, "
            "or see what is sent with --topic '#'"
        )
    client = f"{broker.client_id} at {broker}"
    with session.read() as unit:
        before = InDoubt.read(topics_of(unit).recall(client)).filters
    listener = Listener(
        broker,
        filters,
        lambda batch, settled: watch.intake.messages(
            *(client, listener.filters, batch, settled)
        ),
        now=watch.now,
        tell=watch.say,
        stale=before,
    )

    def is_over() -> bool:
        watch.look(listener)
        return wait(0.0)

    listener.run(is_over)


def _uncovered(session: Session, filters: Sequence[str]) -> list[str]:
    """The sensors' topics that no filter takes in."""
    return [
        one.topic
        for one in all_topics(session)
        if not any(covers(filter_, one.topic) for filter_ in filters)
    ]


@contextmanager
def _door(
    door: Door | None, intake: Intake, now: Callable[[], datetime], tell: Tell
) -> Iterator[None]:
    if door is None:
        yield
        return
    from lidclock.gateways.http_intake import PATH, open_door

    with open_door(door, intake.readings, now=now) as (host, port):
        shown = f"[{host}]" if ":" in host else host
        tell(f"listening at http://{shown}:{port}{PATH}")
        yield
