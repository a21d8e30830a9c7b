"""Counts under way: lids that were scanned for a stock-take that has not ended yet.

They are kept like everything else that was said, so that a count goes on where it was
after a reload, and on another device.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from lidclock.domain.codes import is_code
from lidclock.domain.events import Event
from lidclock.domain.fold import corrected

# Events of kind `noted`: that counts began and ended, and the lines of each.
COUNTS_SUBJECT = "count/list"
_LINES = "count/lines/"
COUNT_PREFIX = "count/"
RECORDED, DROPPED = "recorded", "dropped"


def lines_subject(count_id: str) -> str:
    """The subject under which the lines of one count are recorded."""
    return _LINES + count_id


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that was scanned: a lid's code, or text that is no code of one."""

    at: datetime
    code: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Count:
    """A count of one place; `ended` is empty while it is under way.

    `act` is what its recording is undone by; `who` began it.
    """

    id: str
    place: str
    began_at: datetime
    who: str = ""
    ended: str = ""
    act: str = ""

    @property
    def is_open(self) -> bool:
        """Whether lids can still be scanned for it."""
        return not self.ended


def counts_from(events: Iterable[Event]) -> dict[str, Count]:
    """Every count by its id, as it stands; the latest began last."""
    found: dict[str, Count] = {}
    for event in corrected(events):
        body = event.body
        if event.subject != COUNTS_SUBJECT:
            continue
        if "place" in body:
            count = Count(body["count"], body["place"], event.happened_at, event.who)
            found[count.id] = count
        elif body["count"] in found:
            known = found[body["count"]]
            found[known.id] = Count(
                *(known.id, known.place, known.began_at, known.who),
                ended=body["ended"],
                act=event.act,
            )
    return found


def lines_from(events: Iterable[Event]) -> list[Line]:
    """What was scanned for one count, in order, what was taken back left out."""
    return [
        Line(event.happened_at, event.body.get("code", ""), event.body.get("text", ""))
        for event in corrected(events)
        if event.subject.startswith(_LINES)
    ]


def check_counts(events: Iterable[Event]) -> None:
    """KeyError or ValueError if what was noted of a count is malformed."""
    for event in corrected(events):
        if event.kind != "noted" or not event.subject.startswith(COUNT_PREFIX):
            continue
        body = event.body
        if event.subject.startswith(_LINES):
            code, text = body.get("code", ""), body.get("text", "")
            if not isinstance(text, str) or (code and not _is_code(code)):
                raise ValueError("a count has a line that is neither code nor text")
            continue
        said = (body["count"], body["place"] if "place" in body else body["ended"])
        if not all(isinstance(one, str) and one for one in said):
            raise ValueError("a count says what place it is of, or how it ended")


def _is_code(value: object) -> bool:
    return isinstance(value, str) and is_code(value)
