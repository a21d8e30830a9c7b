"""The temperature that a place is held to, and whose word that is."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.domain.readings import say_about
from lidclock.domain.sentences import sentence


@dataclass(frozen=True, slots=True)
class PlaceLimit:
    """Above `limit_c` a place is beyond its limit; a hot hold (`is_floor`) below it.

    `says` is what the limit is, `source` who published it.
    """

    limit_c: float
    is_floor: bool = False
    says: str = ""
    source: str = ""

    def is_beyond(self, temp_c: float) -> bool:
        """Whether that is beyond the limit; exactly at it is within."""
        return temp_c < self.limit_c if self.is_floor else temp_c > self.limit_c

    @property
    def side(self) -> str:
        """`above` or `below`: on which side of it things are wrong."""
        return "below" if self.is_floor else "above"


def limit_words(limit: PlaceLimit | None, units: str) -> str:
    """`at most 4.4 °C`, and for a hot hold `at least 60 °C`."""
    if limit is None:
        return sentence("no limit: a counter is held to none")
    temp = say_about(limit.limit_c, units)
    if limit.is_floor:
        return sentence("at least {temp}", temp=temp)
    return sentence("at most {temp}", temp=temp)


def exact_c(limit_c: float) -> float:
    """A limit that was published in °F and is given here to a tenth of a °C, exactly.

    4.4 is 40 °F: a probe in °F that shows 40 is within it, though 40 °F is 4.44 °C.
    """
    degrees_f = round(limit_c * 1.8 + 32)
    exact = (degrees_f - 32) / 1.8
    is_rounded = limit_c != round(limit_c) and round(exact, 1) == limit_c
    return exact if is_rounded else limit_c
