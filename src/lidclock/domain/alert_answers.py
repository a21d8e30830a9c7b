"""What somebody said to an alert: seen to, or theirs to see to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from lidclock.domain.events import Event
from lidclock.domain.fold import corrected
from lidclock.errors import InputError

# Events of kind `noted` under this and the local day on which it was said.
ALERT_SUBJECT = "alert/"
SEEN_TO, MINE = ALERT_ANSWERS = ("seen-to", "mine")
_LONGEST_KEY, _LONGEST_WORDS = 500, 300


@dataclass(frozen=True, slots=True)
class AlertAnswer:
    """What was said to the alert called `key`, when, by whom; `act` takes it back."""

    key: str
    answer: str
    at: datetime
    who: str = ""
    act: str = ""


def alert_answers_from(events: Iterable[Event]) -> dict[str, AlertAnswer]:
    """The latest answer that stands to each alert, by its key."""
    noted = [one for one in corrected(events) if one.kind == "noted"]
    return {
        one.body["key"]: AlertAnswer(
            one.body["key"], one.body["answer"], one.happened_at, one.who, one.act
        )
        for one in sorted(noted, key=lambda one: (one.recorded_at, one.id))
    }


def check_alert_answers(events: Iterable[Event]) -> None:
    """InputError for the first answer to an alert that no list could be made with."""
    ours = [one for one in events if one.subject.startswith(ALERT_SUBJECT)]
    for event in corrected(ours):
        if event.kind != "noted":
            continue
        try:
            date.fromisoformat(event.subject.removeprefix(ALERT_SUBJECT))
            _check(event.body)
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise InputError(
                f"{event.subject:.80} has a body that fails: {error!r:.200}"
            ) from error


def _check(body: Mapping[str, Any]) -> None:
    _text(body["key"], _LONGEST_KEY)
    if body["answer"] not in ALERT_ANSWERS:
        raise ValueError(f"an answer is one of {', '.join(ALERT_ANSWERS)}")
    for name, value in body.get("alert", {}).items():
        _text(name, _LONGEST_WORDS)
        _text(value, _LONGEST_WORDS)


def _text(value: Any, most: int) -> None:
    if not isinstance(value, str) or len(value) > most:
        raise ValueError(f"{value!r:.40} must be text of at most {most} letters")
