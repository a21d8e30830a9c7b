"""One occasion as a page asks and shows it: what was typed, the answer, the record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lidclock.app.occasion_answer import Answer, Question, answer, read_before
from lidclock.app.occasion_words import (
    answer_lines,
    error_lines,
    next_line,
    occasion_lines,
    there_line,
)
from lidclock.app.occasions import (
    History,
    Recorded,
    Told,
    histories,
    history_of,
    recorded_by,
)
from lidclock.app.planning import choices_of
from lidclock.app.session import Session
from lidclock.domain.moments import read_iso_day
from lidclock.domain.occasions import Occasion
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError
from lidclock.plan.units import read_number

ASKED = ("name", "eaters", "spread", "before", "short", "worth", "on_hand")
# These want to know how many come.
_WANTING = ("spread", "short", "worth", "on_hand")
_EATERS, _SPREAD = sentence("how many are expected"), sentence("give or take")
_SHORT = sentence("what a missing portion costs")
_WORTH = sentence("what a spare portion costs")
_THERE = sentence("portions there already")
_CAME, _MADE = sentence("how many came"), sentence("how many portions there were")
_WASTED = sentence("how many were thrown away")


@dataclass(frozen=True, slots=True)
class OccasionPage:
    """What stands in the fields, and what there is to show; None where nothing is.

    `history` has each time on record with its words, the latest first; `fault` says
    what of the question cannot be read.
    """

    typed: Mapping[str, str]
    known: tuple[History, ...]
    history: tuple[tuple[Occasion, tuple[str, ...]], ...] = ()
    answer: Answer | None = None
    lines: tuple[str, ...] = ()
    there: str = ""
    record: tuple[str, ...] = ()
    done: Recorded | None = None
    told: tuple[str, ...] = ()
    fault: str = ""


def occasion_page(
    session: Session, sent: Mapping[str, str], did: str = ""
) -> OccasionPage:
    """The page for what was typed, every field a text; `did` names what was recorded.

    Costs that nobody typed are the kitchen's, where it said what a missing one costs.
    """
    typed = {name: sent.get(name, "").strip() for name in ASKED}
    if "short" not in sent and "worth" not in sent:
        typed |= _costs(session)
    known = tuple(histories(session))
    done = recorded_by(session, did) if did else None
    history = history_of(session, typed["name"]) if typed["name"] else None
    fault, found = "", None
    is_known = history is not None and bool(history.occasions)
    if typed["eaters"] or typed["before"] or is_known:
        try:
            found = answer(read_question(typed), history)
        except InputError as error:
            fault = error.fact
    elif any(sent.get(name, "").strip() for name in _WANTING):
        fault = sentence(
            "say how many are expected, or how many came to such occasions before"
        )
    record = () if history is None else _record(history)
    return OccasionPage(
        typed,
        known,
        _told_of(history),
        found,
        () if found is None else tuple(answer_lines(found)),
        "" if found is None else there_line(found.found),
        record,
        done,
        () if done is None else tuple(occasion_lines(done.occasion, done.history)),
        fault,
    )


def _told_of(history: History | None) -> tuple[tuple[Occasion, tuple[str, ...]], ...]:
    """Each time on record with what to say of it, the latest first."""
    known = () if history is None else history.occasions
    told = [(one, tuple(occasion_lines(one, History("", known)))) for one in known]
    return tuple(reversed(told))


def _costs(session: Session) -> dict[str, str]:
    with session.read() as unit:
        chosen = choices_of(unit)
    if chosen.short is None:
        return {}
    return {"short": f"{chosen.short:g}", "worth": f"{chosen.worth:g}"}


def _record(history: History) -> tuple[str, ...]:
    lines = [*error_lines(history.errors), next_line(history)]
    return tuple(line for line in lines if line)


def read_question(typed: Mapping[str, str]) -> Question:
    """The question in texts; InputError for what is no number."""
    return Question(
        typed.get("name", ""),
        _number(typed, "eaters", _EATERS),
        _number(typed, "spread", _SPREAD),
        read_before(typed.get("before", "")),
        _number(typed, "short", _SHORT),
        _number(typed, "worth", _WORTH),
        on_hand=_whole(typed, "on_hand", _THERE) or 0,
    )


def read_told(typed: Mapping[str, str]) -> Told:
    """How it came out, in texts; InputError for what is missing or is no number."""
    came = _whole(typed, "came", _CAME)
    if came is None:
        raise InputError(sentence("say how many came"))
    day = typed.get("on", "").strip()
    return Told(
        typed.get("name", ""),
        came,
        read_iso_day(day) if day else None,
        _number(typed, "expected", _EATERS),
        made=_whole(typed, "made", _MADE),
        wasted=_whole(typed, "wasted", _WASTED),
    )


def _number(typed: Mapping[str, str], name: str, what: str) -> float | None:
    found = _read(typed, name, what)
    return None if found is None else float(found)


def _whole(typed: Mapping[str, str], name: str, what: str) -> int | None:
    found = _read(typed, name, what)
    if found is not None and found.denominator != 1:
        raise InputError(
            sentence(
                "{field}: {text} is not a whole number",
                field=what,
                text=repr(typed[name].strip()),
            )
        )
    return None if found is None else int(found)


def _read(typed: Mapping[str, str], name: str, what: str) -> Fraction | None:
    text = typed.get(name, "").strip()
    if not text:
        return None
    found = read_number(text)
    if found is None:
        raise InputError(
            sentence(
                "{field}: {text} is not a number", field=what, text=repr(text[:40])
            )
        )
    return found
