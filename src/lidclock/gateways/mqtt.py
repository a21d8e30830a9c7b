"""Messages from an MQTT broker: acknowledged only once they are on disk.

The session is the broker's to keep (MQTT 5.0, section 3.1.2.11.2, Session Expiry
Interval), and every message is taken at QoS 1 and acknowledged by hand after it was
stored. So what the broker has accepted is either stored or sent again, also where this
program dies in between.
"""

from __future__ import annotations

import queue
import ssl
import threading
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from lidclock.errors import GatewayError, InputError
from lidclock.gateways.broker import Broker
from lidclock.gateways.in_doubt import MOST_UNACKNOWLEDGED, Message

if TYPE_CHECKING:
    from paho.mqtt.client import Client, MQTTMessage
    from paho.mqtt.properties import Properties

_QOS = 1
# One act of storing takes what comes within this time, but no more messages than this,
# and waits no longer once nothing more comes: the broker may be waiting for us.
_AT_MOST, _MOST_AT_ONCE = timedelta(milliseconds=250), MOST_UNACKNOWLEDGED // 2
_QUIET_S = 0.02
_KEEP_ALIVE_S = 30
_WAIT_S = 0.2
_SOONEST_S, _LATEST_S = 1, 30
_FOR_EVER = 0xFFFF_FFFF  # seconds; section 3.1.2.11.2
_ONLY_IF_NEW = 1  # kept messages are sent for new subscriptions; section 3.8.3.1
_TAKEN_OVER = 0x8E  # another client came with our name; section 4.13
# Brokers need not say so. Two of one name throw each other out again and again, which
# so many connections in a row tell that last no longer than this (our choice).
_MOST_BRIEF, _BRIEF = 4, timedelta(seconds=10)

Tell = Callable[[str], None]
# Stores a batch; after it come earlier ones of which the broker has heard meanwhile.
Keep = Callable[[Sequence[Message], Sequence[Message]], None]
# Nobody publishes there. To leave it asks the broker for an answer, and the answer says
# that it has taken every acknowledgement that went before (section 4.6).
_NOBODY = "lidclock/nobody"


class Listener:
    """Takes messages from a broker and hands them on in batches, until told to stop.

    `stale` are filters of an earlier run that are no longer wanted.
    """

    def __init__(
        self,
        broker: Broker,
        filters: Sequence[str],
        keep: Keep,
        *,
        now: Callable[[], datetime],
        tell: Tell,
        stale: Iterable[str] = (),
    ) -> None:
        self.broker = broker
        self.filters = list(filters)
        self._stale = [one for one in stale if one not in self.filters]
        self._keep, self._now, self._tell = keep, now, tell
        self._waiting: queue.Queue[tuple[int, Message]] = queue.Queue()
        self._last_at: datetime | None = None
        # What the library's own thread has to tell: it would end, unseen, on a screen
        # that is gone.
        self._news: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._lock = threading.Lock()
        # Acknowledged, by the question to which the answer is awaited; and answered.
        self._asked: dict[int, list[Message]] = {}
        self._settled: list[Message] = []
        # Which connection it is; -1 until the first stands.
        self._connection = -1
        self._is_connected = False
        self._connected_at = now()
        self._brief = 0
        self._trouble = ""
        self._client: Client | None = None

    def run(self, is_over: Callable[[], bool]) -> None:
        """Listen until `is_over`, and store what has come by then.

        GatewayError if the broker cannot be reached at all, or refuses us. A broker
        that goes away later is waited for. An error of `keep` ends it: what was not
        stored is not acknowledged, and comes again.
        """
        client = self._client = self._made()
        self._connect(client)
        client.loop_start()
        try:
            while not self._trouble and not is_over():
                self._store(client)
                self._tell_news()
            left = self._waiting.qsize()
            while left > 0:
                left -= self._store(client)
        finally:
            client.disconnect()
            client.loop_stop()
        self._tell_news()
        if self._trouble:
            raise GatewayError(self._trouble)

    def _tell_news(self) -> None:
        while not self._news.empty():
            self._tell(self._news.get())

    def want(self, filter_: str) -> None:
        """Listen for one more filter, from now on."""
        self.filters.append(filter_)
        if self._client is not None and self._is_connected:
            self._client.subscribe(_asked([filter_]))

    def _connect(self, client: Client) -> None:
        try:
            client.connect(
                self.broker.host,
                self.broker.port,
                keepalive=_KEEP_ALIVE_S,
                clean_start=False,
                properties=_session(),
            )
        except (OSError, ssl.SSLError, ValueError) as error:
            raise GatewayError(
                f"no broker answers at {self.broker}: {error}; check the address and "
                "that it is running"
            ) from error

    def _made(self) -> Client:
        from paho.mqtt.client import Client, MQTTv5
        from paho.mqtt.enums import CallbackAPIVersion

        client = Client(
            CallbackAPIVersion.VERSION2,
            client_id=self.broker.client_id,
            protocol=MQTTv5,
            manual_ack=True,
        )
        client.reconnect_delay_set(_SOONEST_S, _LATEST_S)
        if self.broker.user:
            client.username_pw_set(self.broker.user, self.broker.password or None)
        if self.broker.is_encrypted:
            client.tls_set_context(_context(self.broker.authorities))
        client.on_connect = self._connected
        client.on_disconnect = self._disconnected
        client.on_message = self._arrived
        client.on_unsubscribe = self._answered
        return client

    def _connected(
        self, client: Client, _: Any, __: Any, reason: Any, ___: Any
    ) -> None:
        if reason.is_failure:
            said = f"{self.broker} refuses us: {str(reason).lower()}"
            if self._connection < 0:
                self._trouble = f"{said}; check name and password, and its rules"
            else:
                self._news.put(said)
            return
        again = " again" if self._connection >= 0 else ""
        self._connection += 1
        self._is_connected, self._connected_at = True, self._now()
        if self._stale:
            client.unsubscribe(self._stale)
        client.subscribe(_asked(self.filters))
        self._news.put(f"listening{again} to {self.broker}")

    def _disconnected(self, *facts: Any) -> None:
        reason = facts[3]
        # An acknowledgement belongs to the connection on which its message came: on a
        # later one the same number may be another message's.
        was_connected, self._is_connected = self._is_connected, False
        self._connection += was_connected
        with self._lock:
            self._asked.clear()
        if not reason.is_failure or not was_connected:
            return
        is_brief = self._now() - self._connected_at < _BRIEF
        self._brief = self._brief + 1 if is_brief else 0
        if reason.value == _TAKEN_OVER or self._brief > _MOST_BRIEF:
            self._trouble = (
                f"{self.broker} ends each connection at once: does another program "
                "listen there for this kitchen? Stop one of the two"
            )
        else:
            why = str(reason).lower()
            self._news.put(f"{self.broker} is gone ({why}); trying again")

    def _arrived(self, _: Client, __: Any, message: MQTTMessage) -> None:
        """On the library's own thread: only put it down, with its time of arrival."""
        at = self._now()
        if self._last_at is not None and abs(at - self._last_at) < _TICK:
            # No two messages came at one instant: their readings would be one.
            at = self._last_at + _TICK
        self._last_at = at
        try:
            topic = message.topic
        except UnicodeDecodeError:
            topic = ""  # no sensor has it
        found = Message(
            *(topic, bytes(message.payload), at, message.mid),
            is_repeat=message.dup,
            is_retained=message.retain,
        )
        self._waiting.put((self._connection, found))

    def _store(self, client: Client) -> int:
        """Store what has come so far in one go, then acknowledge it; how many."""
        batch = self._taken()
        if not batch:
            return 0
        with self._lock:
            settled, self._settled = self._settled, []
        self._keep([one for _, one in batch], settled)
        self._acknowledge(
            client,
            [one for made, one in batch if one.number and made == self._connection],
        )
        return len(batch)

    def _acknowledge(self, client: Client, stored: list[Message]) -> None:
        """Let the broker hear of what was stored, and let it say that it has heard."""
        if not stored:
            return
        for one in stored:
            client.ack(one.number, _QOS)
        with self._lock:
            _, question = client.unsubscribe(_NOBODY)
            if question is not None:
                self._asked[question] = stored

    def _answered(self, _: Client, __: Any, question: int, *___: Any) -> None:
        with self._lock:
            self._settled += self._asked.pop(question, [])

    def _taken(self) -> list[tuple[int, Message]]:
        batch: list[tuple[int, Message]] = []
        wait_s = _WAIT_S
        while len(batch) < _MOST_AT_ONCE:
            try:
                batch.append(self._waiting.get(timeout=wait_s))
            except queue.Empty:
                break
            wait_s = _QUIET_S
            if batch[-1][1].received_at - batch[0][1].received_at >= _AT_MOST:
                break
        return batch


_TICK = timedelta(microseconds=1)


def _context(authorities: str) -> ssl.SSLContext:
    try:
        return ssl.create_default_context(cafile=authorities or None)
    except (OSError, ssl.SSLError) as error:
        raise InputError(
            f"{authorities} holds no certificates ({error}); give a PEM file"
        ) from error


def _session() -> Properties:
    """Kept by the broker until we come back; so many messages at once."""
    from paho.mqtt.packettypes import PacketTypes
    from paho.mqtt.properties import Properties

    found = Properties(PacketTypes.CONNECT)  # type: ignore[no-untyped-call]
    found.SessionExpiryInterval = _FOR_EVER
    found.ReceiveMaximum = MOST_UNACKNOWLEDGED
    return found


def _asked(filters: Iterable[str]) -> list[tuple[str, Any]]:
    from paho.mqtt.subscribeoptions import SubscribeOptions

    options = SubscribeOptions(qos=_QOS, retainHandling=_ONLY_IF_NEW)
    return [(one, options) for one in filters]
