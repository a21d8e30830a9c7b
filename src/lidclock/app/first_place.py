"""Whether a last day ends early for time that nobody recorded, and how to say so."""

from __future__ import annotations

from dataclasses import replace

from lidclock.clock.judge import judge
from lidclock.clock.verdict import Verdict
from lidclock.domain.moments import say_hours
from lidclock.domain.sentences import sentence

_ENDING = ("over", "last-day", "soon")


def early_end_words(verdict: Verdict) -> str:
    """What to know first of one that is over, or is soon, for its unrecorded start.

    Empty where it would end then all the same, had it been put away at once.
    """
    first = next(iter(verdict.history.stays), None)
    if verdict.status not in _ENDING or first is None or first.recorded:
        return ""
    if first.ended is None or not _ends_sooner(verdict):
        return ""
    return sentence(
        "{span} before it was first put away were not recorded: they count as time at "
        "room temperature, and that is why it ends so early. If somebody knows when it "
        "was put away, correct that.",
        span=say_hours(first.ended - first.began),
    )


def _ends_sooner(verdict: Verdict) -> bool:
    """Whether the clock gives more without the time before its first place."""
    if verdict.over_at is None:
        return False
    history = verdict.history
    without = judge(
        verdict.food,
        replace(history, stays=history.stays[1:]),
        verdict.guidance,
        zone=verdict.zone,
        now=verdict.now,
        lead=verdict.lead,
        accepts_unmeasured=verdict.accepts_unmeasured,
    )
    return without.over_at is None or without.over_at > verdict.over_at
