"""Why food was thrown away: what its cook said first, then what the facts tell."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

PAST_DAY, TOO_MUCH, MYSTERY = "past its day", "made too much", "mystery"
COLD, QUALITY, ACCIDENT = "cold failure", "quality", "accident"
NOT_SAID = "not said"
CAUSES = (PAST_DAY, TOO_MUCH, MYSTERY, COLD, QUALITY, ACCIDENT, NOT_SAID)

# How a reason may begin, in any case. The first of each is the one that help names; the
# others are what cooks write. Our choice of words.
CAUSE_WORDS: Mapping[str, tuple[str, ...]] = {
    PAST_DAY: ("past day", "past its day", "past date", "too old", "out of date"),
    TOO_MUCH: ("too much", "made too much", "over-made", "left over", "leftover")
    + ("surplus", "nobody came", "not eaten"),
    MYSTERY: ("mystery", "unmarked", "unknown", "no label", "no date"),
    COLD: ("cold", "warm", "too warm", "power cut", "outage", "fridge", "freezer")
    + ("too slow", "cooled too slowly", "thawed"),
    QUALITY: ("quality", "smell", "smells", "smelled", "taste", "tastes", "mould")
    + ("mold", "mouldy", "moldy", "stale", "dry", "freezer burn", "looks", "sour"),
    ACCIDENT: ("accident", "dropped", "spilled", "spilt", "broken", "glass", "burnt"),
}
_SAID = [
    (re.compile(rf"{re.escape(word)}(?!\w)", re.IGNORECASE), cause)
    for cause, words in CAUSE_WORDS.items()
    for word in words
]
# The longest fitting word counts: "freezer burn" is no failure of the freezer.
_SAID.sort(key=lambda one: len(one[0].pattern), reverse=True)


@dataclass(frozen=True, slots=True)
class Stood:
    """How a container stood at one moment, by what had been recorded until then.

    `over_at` is the first instant past its limit; None while none has a moment.
    `is_warm` where hours in a fridge or freezer that was too warm, or a cooling that
    took too long, made that limit; `has_hour` where an hour clock did. `days_left` are
    those that a freezing carries over.
    """

    standing: str
    over_at: datetime | None = None
    days_left: int | None = None
    is_warm: bool = False
    has_hour: bool = False

    def is_over(self, at: datetime) -> bool:
        """Whether its last moment had passed at that instant."""
        return self.over_at is not None and at >= self.over_at


def cause_of(reason: str, stood: Stood | None, at: datetime) -> str:
    """The one cause of a discard.

    1. A reason that begins with a word of CAUSE_WORDS says it; the longest word counts.
    2. Over at that moment: cold failure where warm hours made the limit, else past its
       day. 3. Without a last day at that moment: mystery. 4. Else it was not said.
    """
    text = " ".join(reason.split())
    for pattern, cause in _SAID:
        if pattern.match(text):
            return cause
    if stood is None:
        return NOT_SAID
    if stood.is_over(at):
        return COLD if stood.is_warm else PAST_DAY
    return MYSTERY if stood.standing == "unknown" else NOT_SAID
