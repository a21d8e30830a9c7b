"""What a target is: one published figure, whose it is, and what it is about."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from lidclock.guidance.model import Source
from lidclock.guidance.words import stems

# In the order in which a cook meets them.
TOPICS = (
    *("cooking", "reheating", "holding", "cooling", "thawing", "time_out"),
    *("time_only", "danger_zone", "freezing", "refreeze", "date_marking"),
    *("date_marking_exempt", "disposition", "rop", "cheese_moisture", "equipment"),
    *("labelling", "caution"),
)
BOUNDS = ("", "at-most", "at-least")
ACTIONS = ("", "use-or-chill", "use-at-once", "discard")
MOISTURE_CLASSES = ("", "hard", "semi-soft", "soft", "depends")


@dataclass(frozen=True, slots=True)
class Label:
    """Whose targets they are; `also` names guidance sets that they belong to too."""

    title: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit in its key, a range, or several after one another."""

    key: str
    low: float
    high: float | None
    stages: tuple[float, ...] = ()

    @property
    def ends(self) -> tuple[float, ...]:
        """Every number in it, once."""
        if self.stages:
            return self.stages
        return tuple(dict.fromkeys(x for x in (self.low, self.high) if x is not None))


# No slots: what is cached lives beside the fields.
@dataclass(frozen=True)
class Target:
    """One published figure: `says` is a sentence of its own, `figures` its numbers.

    `bound` tells which side of the figures is within the target. What holds for any
    food is marked `any_food`. `options` are alternatives or parts, in words.
    """

    id: str
    topic: str
    set: str
    source: Source
    section: str
    food: str
    words: tuple[str, ...]
    says: str
    any_food: bool = False
    figures: tuple[Figure, ...] = ()
    bound: str = ""
    action: str = ""
    moisture_class: str = ""
    category: str = ""
    options: tuple[str, ...] = ()
    allowed: bool | None = None
    exempt: bool | None = None

    def figure(self, key: str) -> Figure | None:
        """The figure called `key`, if it has one."""
        return next((one for one in self.figures if one.key == key), None)

    @cached_property
    def phrases(self) -> tuple[tuple[str, ...], ...]:
        """The phrases by which it is found, the words of each without endings."""
        return tuple(stems(one) for one in (self.food, *self.words, self.topic))

    @cached_property
    def stems(self) -> frozenset[str]:
        """Every single word by which it is found."""
        return frozenset(word for phrase in self.phrases for word in phrase)
