"""What an answer to a proposal may say when it comes out of a file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from lidclock.domain.events import Event
from lidclock.domain.fold import corrected
from lidclock.domain.planning import ANSWER_SUBJECT, ANSWERS
from lidclock.errors import InputError
from lidclock.plan.proposal import KINDS, proposal_from

_LONGEST_KEY, _LONGEST_REASON, _MOST_PICKS = 500, 500, 10_000


def check_answers(events: Iterable[Event]) -> None:
    """InputError for the first answer that no card could be made with."""
    ours = [one for one in events if one.subject.startswith(ANSWER_SUBJECT)]
    for event in corrected(ours):
        if event.kind != "noted":
            continue
        try:
            date.fromisoformat(event.subject.removeprefix(ANSWER_SUBJECT))
            _check(event.body)
        except InputError as error:
            raise InputError(f"{event.subject:.80}: {error}") from error
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise InputError(
                f"{event.subject:.80} has a body that fails: {error!r:.200}"
            ) from error


def _check(body: Mapping[str, Any]) -> None:
    _text("key", body["key"], _LONGEST_KEY)
    if body["answer"] not in ANSWERS:
        raise InputError(f"an answer is one of {', '.join(ANSWERS)}")
    _text("reason", body.get("reason", ""), _LONGEST_REASON)
    until = body.get("until")
    if until is not None:
        _aware(until)
    if not body.get("proposal"):
        return
    one = proposal_from(body["proposal"])
    texts = (one.key, one.says, one.to, one.meal, one.hint, *one.why, *one.codes)
    if one.kind not in KINDS or not all(isinstance(x, str) for x in texts):
        raise InputError("no such proposal")
    if len(one.picks) > _MOST_PICKS or len(one.steps) > _MOST_PICKS:
        raise InputError(f"a proposal is about at most {_MOST_PICKS} containers")
    moments = [one.at, one.before, *(x.at for x in one.steps)]
    moments += [step.ready_at for step in one.steps]
    if any(at is not None and at.tzinfo is None for at in moments):
        raise InputError("its hours need a time zone")
    portions = [*(x.portions for x in one.picks), *(n for _, n in one.wants)]
    if any(type(n) is not int or not 0 <= n <= _MOST_PICKS for n in portions):
        raise InputError("portions are whole numbers")
    if not all(isinstance(x, int | float) for x in (one.loss.portions, one.loss.money)):
        raise InputError("what is at stake is a number")


def _text(what: str, value: Any, most: int) -> None:
    if not isinstance(value, str) or len(value) > most:
        raise InputError(f"{what} must be text of at most {most} letters")


def _aware(text: str) -> None:
    if datetime.fromisoformat(text).tzinfo is None:
        raise InputError("until needs a time zone")
