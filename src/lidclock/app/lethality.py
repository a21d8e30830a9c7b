"""What a probe's trace is worth: targets met, not met, unknown; lethality by table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lidclock.app.growth import source_json
from lidclock.app.heating_file import Trace
from lidclock.app.targets import CAUTION, find_targets, target_json
from lidclock.errors import InputError, UnknownThingError
from lidclock.guidance.target import Target
from lidclock.guidance.targets import load_targets
from lidclock.kinetics.heating import Heating, Lethality, held, lethality
from lidclock.kinetics.processes import Process, given, load_processes

MET, NOT_MET, UNKNOWN = "met", "not met", "unknown"
TOPICS = ("cooking", "reheating")
# What is cold before a reheating: 41 °F, Food Code 3-403.11(D).
_COLD_C = (41 - 32) / 1.8
_INSTANT_MIN = 1e-6
# What was read in °F is kept to a ten-thousandth of a °C.
_ROUNDING_C = 1e-4
PLACE = (
    "The readings are of where the probe was: the slowest place of the food counts, "
    "and only its cook knows where that is."
)
TARGETS = (
    "Met says that these readings meet what the authority asks of temperature and "
    "time, and nothing else of the food."
)
MODEL = (
    "Log reductions are a model's, for the food and the range of its table; whether "
    "food was cooked or reheated is judged by the targets, never by them. Toxins and "
    "spores can outlast all of it."
)


@dataclass(frozen=True, slots=True)
class Judged:
    """One target and what the readings say of it; `since` and `held_min` in minutes."""

    target: Target
    state: str
    why: str
    needed_c: float | None = None
    needed_min: float | None = None
    held_min: float | None = None
    since_min: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything about one trace."""

    trace: Trace
    judged: tuple[Judged, ...]
    worth: tuple[Lethality, ...]
    cautions: tuple[str, ...] = (PLACE, TARGETS, MODEL, CAUTION)


def answer(
    trace: Trace, words: Sequence[str], set_id: str | None, topic: str | None = None
) -> Answer:
    """The targets that fit the words, and every table's lethality, or the one named.

    `topic` is `cooking` or `reheating`, None for both. UnknownThingError where no such
    target fits.
    """
    targets = _targets(words, set_id, TOPICS if topic is None else (topic,))
    judged = (judge(one, trace.heating, targets) for one in targets)
    return Answer(
        trace,
        tuple(one for one in judged if one is not None),
        tuple(lethality(trace.heating, one) for one in _processes(trace)),
    )


def _targets(
    words: Sequence[str], set_id: str | None, topics: Sequence[str]
) -> list[Target]:
    """Those for cooking and reheating; without words, those that hold for any food."""
    if words:
        found = find_targets(words, set_id)
    elif set_id is not None:
        found = find_targets(["reheat"], set_id)
    else:
        found = [one for one in load_targets() if one.any_food]
    fitting = [one for one in found if one.topic in topics]
    if not fitting:
        asked = " ".join(words)
        raise UnknownThingError(
            f"{asked!r} has no target for {' or '.join(topics)}; try the name of a "
            "food, or reheat"
        )
    return fitting


def _processes(trace: Trace) -> list[Process]:
    if trace.z_c is not None and trace.reference_c is not None:
        return [given(trace.reference_c, trace.z_c, trace.d_min)]
    known = load_processes()
    if not trace.organism:
        return list(known.values())
    if trace.organism not in known:
        raise InputError(
            f"organism: {trace.organism!r} is no table here; take one of "
            f"{', '.join(known)}, or give z_c and reference_c"
        )
    return [known[trace.organism]]


def judge(target: Target, heating: Heating, others: Sequence[Target]) -> Judged | None:
    """What the readings say of one target; None where it asks nothing of them."""
    needed_c = temp_of(target)
    if needed_c is None:
        return _in_time(target, heating, others)
    if target.bound != "at-least":
        return None
    needed = _minutes_of(target)
    found = held(heating, needed_c - _ROUNDING_C)
    facts = (needed_c, needed, found.sure, found.since)
    if found.since is not None and found.sure + _INSTANT_MIN >= needed:
        return Judged(target, MET, "", *facts)
    if found.since is not None and "microwave" in target.words:
        why = "it was that hot; of the standing no temperature tells"
        return Judged(target, UNKNOWN, why, *facts)
    if found.possible >= needed and found.possible > 0:
        why = "nobody measured before, after or in a gap, and it may have been then"
        return Judged(target, UNKNOWN, why, *facts)
    return Judged(target, NOT_MET, _short_words(heating, needed_c, found.sure), *facts)


def _short_words(heating: Heating, needed_c: float, sure: float) -> str:
    warmest = float(heating.temps_c.max())
    if warmest < needed_c - _ROUNDING_C:
        return f"the warmest reading is {warmest:.1f} °C"
    return f"that hot for {sure:.2g} min without a break"


def temp_of(target: Target) -> float | None:
    """The temperature that is asked for, exactly: from °F where it was published so."""
    fahrenheit, celsius = target.figure("temp_f"), target.figure("temp_c")
    if fahrenheit is not None:
        return (fahrenheit.low - 32) / 1.8
    return None if celsius is None else celsius.low


def _minutes_of(target: Target) -> float:
    minutes, seconds = target.figure("minutes"), target.figure("seconds")
    if minutes is not None:
        return minutes.low
    return 0.0 if seconds is None else seconds.low / 60


def _in_time(
    target: Target, heating: Heating, others: Sequence[Target]
) -> Judged | None:
    """From cold to the target's temperature within its hours, for a reheating."""
    hours = target.figure("hours")
    if hours is None or target.bound != "at-most" or target.topic != "reheating":
        return None
    temps = [
        temp_c
        for one in others
        if (one.set, one.topic, one.any_food) == (target.set, target.topic, True)
        and (temp_c := temp_of(one)) is not None
    ]
    if not temps:
        return None
    goal, most = max(temps), hours.low * 60
    reached = heating.first_at(goal - _ROUNDING_C)
    if reached is None:
        span = float(heating.minutes[-1] - heating.minutes[0])
        state = NOT_MET if span > most else UNKNOWN
        return Judged(target, state, "it was not that hot in these readings", goal)
    cold = heating.last_cold(_COLD_C + _ROUNDING_C, reached)
    began = float(heating.minutes[0]) if cold is None else cold
    took = reached - began
    if took > most + _INSTANT_MIN:
        return Judged(target, NOT_MET, f"it took {took:.0f} min", goal)
    if cold is None:
        why = f"already above {_COLD_C:g} °C when the readings began"
        return Judged(target, UNKNOWN, why, goal)
    return Judged(target, MET, f"it took {took:.0f} min", goal)


def processes() -> list[dict[str, Any]]:
    """Every table that a trace can be set against."""
    return [_process_json(one) for one in load_processes().values()]


def answer_json(found: Answer) -> dict[str, Any]:
    """The answer as JSON-ready data."""
    heating = found.trace.heating
    return {
        "readings": int(heating.minutes.size),
        "minutes": float(heating.minutes[-1] - heating.minutes[0]),
        "lowest_c": float(heating.temps_c.min()),
        "highest_c": float(heating.temps_c.max()),
        "notes": list(found.trace.notes),
        "targets": [
            {
                "state": one.state,
                "why": one.why or None,
                "needed_c": one.needed_c,
                "needed_minutes": one.needed_min,
                "longest_minutes": one.held_min,
                "since_minute": one.since_min,
                "target": target_json(one.target),
            }
            for one in found.judged
        ],
        "lethality": [_worth_json(one) for one in found.worth],
        "permits": None,
        "cautions": list(found.cautions),
    }


def _worth_json(one: Lethality) -> dict[str, Any]:
    return {
        **_process_json(one.process),
        "come_up_ended_at_minute": one.reached,
        "equivalent_minutes": {
            "come_up_credited": one.whole,
            "come_up_not_credited": one.after_come_up,
        },
        "log_reductions": {
            "come_up_credited": one.logs(one.whole),
            "come_up_not_credited": one.logs(one.after_come_up),
        },
        "is_beyond_figures": one.is_beyond,
        "has_gaps": one.has_gaps,
        "is_beyond_table": one.is_more_than_table(one.after_come_up),
    }


def _process_json(one: Process) -> dict[str, Any]:
    low, high = one.valid_c
    has_range = one.id != "given"
    return {
        "id": one.id,
        "name": one.name,
        "says": one.says or None,
        "reference_c": one.reference_c,
        "z_c": one.z_c,
        "d_min": one.d_min,
        "process_minutes": one.minutes,
        "process_logs": one.logs,
        "valid_c": [low, high] if has_range else None,
        "source": source_json(one.source),
    }
