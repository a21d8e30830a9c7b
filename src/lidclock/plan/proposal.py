"""Proposals: one next action each, with its hour, its reason, and what is lost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

USE, USE_UP, FREEZE, TAKE_OUT = "use", "use-up", "freeze", "take-out"
MAKE, CHECK, DISCARD, HAND_ON = "make", "check", "discard", "hand-on"
KINDS = (DISCARD, CHECK, USE_UP, USE, TAKE_OUT, FREEZE, HAND_ON, MAKE)


@dataclass(frozen=True, slots=True)
class Loss:
    """What goes if nobody acts: expected portions and money, and grams where known."""

    portions: float = 0.0
    money: float = 0.0
    mass_g: float | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """One next action; `key` stays the same while the facts behind it do.

    `at` is the hour to do it, `before` the instant after which it is too late; either
    may be None. `codes` are the containers, in the order in which to take them. `why`
    are the reasons, one fact each; `steps` what has to be done on the way, with hours.
    """

    kind: str
    key: str
    says: str
    at: datetime | None
    before: datetime | None = None
    food: str = ""
    codes: tuple[str, ...] = ()
    meal: str = ""
    loss: Loss = Loss()
    why: tuple[str, ...] = ()
    steps: tuple[tuple[datetime, str], ...] = ()
