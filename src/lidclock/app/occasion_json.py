"""Occasions as JSON-ready data."""

from __future__ import annotations

from typing import Any

from lidclock.app.occasion_answer import Answer
from lidclock.app.occasion_words import answer_lines, occasion_lines, there_line
from lidclock.app.occasions import History, Recorded
from lidclock.app.one_off import one_off_json
from lidclock.domain.occasions import Occasion


def answer_json(found: Answer) -> dict[str, Any]:
    """How many to prepare, what it goes by, and why in words."""
    says = [*answer_lines(found), there_line(found.found)]
    return {
        **one_off_json(found.found),
        "basis": found.basis,
        "known": None if found.count is None else found.count.number,
        "says": [str(line) for line in says if line],
    }


def history_json(found: History) -> dict[str, Any]:
    """What is on record, what it says of the next time, and how forecasts did."""
    count, errors = found.count, found.errors
    return {
        "name": found.name,
        "occasions": [_occasion_json(one, found) for one in found.occasions],
        "mean": None if count is None else round(count.mean, 3),
        "spread": None
        if count is None or count.spread is None
        else round(count.spread, 3),
        "off_by": None if errors is None else round(errors.forecast, 3),
        "last_time_off_by": None if errors is None else round(errors.last_time, 3),
        "compared": 0 if errors is None else errors.number,
    }


def recorded_json(done: Recorded) -> dict[str, Any]:
    """What was recorded, in words too, and the history with it."""
    return {
        "act": done.act,
        "occasion": _occasion_json(done.occasion, done.history),
        "says": [str(line) for line in occasion_lines(done.occasion, done.history)],
        "history": history_json(done.history),
    }


def _occasion_json(one: Occasion, history: History) -> dict[str, Any]:
    last = history.last_time(one.on)
    return {
        "on": one.on.isoformat(),
        "came": one.came,
        "expected": None if one.expected is None else round(one.expected, 3),
        "made": one.made,
        "wasted": one.wasted,
        "left": one.left,
        "missing": one.missing,
        "off_by": None if one.off_by is None else round(one.off_by, 3),
        "last_time_off_by": None if last is None else abs(one.came - last.came),
    }
