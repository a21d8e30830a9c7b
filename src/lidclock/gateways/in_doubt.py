"""Messages that were stored, but whose acknowledgement the broker may not have.

A process that dies between the two gets them again. A reading that tells its own time
is then the same reading twice, and kept once; a bare number is not to be told from
another like it, so what was stored last is remembered in the same transaction.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

# The broker is asked to send no more than so many before it hears from us (MQTT 5.0,
# section 3.1.2.11.3, Receive Maximum). Not every broker keeps to it after a new start.
MOST_UNACKNOWLEDGED = 1000
_DIGEST_BYTES = 8


@dataclass(frozen=True, slots=True)
class Message:
    """One message of a broker; `number` is its packet identifier, 0 at QoS 0.

    `is_repeat` where the broker says that it sent it before, `is_retained` where it
    kept it for whoever comes next: its age is then unknown.
    """

    topic: str
    payload: bytes
    received_at: datetime
    number: int = 0
    is_repeat: bool = False
    is_retained: bool = False


class InDoubt:
    """Messages that were stored, by the numbers that the broker gave them."""

    def __init__(self) -> None:
        self.filters: tuple[str, ...] = ()
        self._known: dict[int, str] = {}

    @classmethod
    def read(cls, text: str) -> InDoubt:
        """What `text` wrote down; nothing is in doubt where it is empty."""
        found = cls()
        if text:
            body = json.loads(text)
            found.filters = tuple(body["filters"])
            found._known = {int(number): digest for number, digest in body["taken"]}
        return found

    def text(self) -> str:
        """All of it, for a line in the database."""
        taken = list(self._known.items())
        return json.dumps(
            {"filters": self.filters, "taken": taken}, separators=(",", ":")
        )

    def holds(self, message: Message) -> bool:
        """Whether this very message was stored already."""
        return message.is_repeat and self._known.get(message.number) == _digest(message)

    def add(self, messages: Sequence[Message]) -> None:
        """Remember that these were stored."""
        for one in messages:
            if one.number:
                self._known[one.number] = _digest(one)

    def settle(self, messages: Sequence[Message]) -> None:
        """Forget messages of which the broker has heard that they were stored."""
        for one in messages:
            if self._known.get(one.number) == _digest(one):
                del self._known[one.number]


def _digest(message: Message) -> str:
    told = message.topic.encode() + b"\0" + message.payload
    return hashlib.blake2b(told, digest_size=_DIGEST_BYTES).hexdigest()
