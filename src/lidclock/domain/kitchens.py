"""A kitchen: the scope of everything, and its places."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.moments import zone_of

STATES = ("fridge", "freezer", "counter", "hot")


@dataclass(frozen=True, slots=True)
class Place:
    """A fridge, freezer, counter or hot hold.

    `number` is what its printed symbol bears: it is given when the place is added, and
    stays when places are put in another order.
    """

    name: str
    state: str
    number: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"a place is one of {STATES}, not {self.state!r}")
        if type(self.number) is not int:
            raise ValueError(f"a place has a whole number, not {self.number!r}")


@dataclass(frozen=True, slots=True)
class Kitchen:
    """Name, zone and choices of one kitchen.

    `day_start_h` groups lists by working day; it never moves a limit.
    `lead_h` is how long before the last moment a container counts as `soon`.
    `is_high_risk` says that people at higher risk eat here. `guidance_text` is the rule
    file of a local set, where `guidance` names one.
    """

    id: str
    name: str
    zone_name: str
    guidance: str = "us-home"
    units: str = "metric"
    day_start_h: int = 0
    lead_h: int = 48
    stock: str = "letter-3x10"
    symbol_base: str = "HTTP://LIDCLOCK.LOCAL"
    accepts_unmeasured: bool = True
    is_high_risk: bool = False
    guidance_text: str = ""

    @property
    def zone(self) -> ZoneInfo:
        """The time zone whose calendar days count here."""
        return zone_of(self.zone_name)

    @property
    def lead(self) -> timedelta:
        """How long before the last moment a container counts as `soon`."""
        return timedelta(hours=self.lead_h)
