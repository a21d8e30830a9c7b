"""What a list shows of one container without folding its events again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The state of one container after its latest event; derived, never the truth.

    `last_moment` is the first instant past the limit; `has_hour` tells that an hour
    clock set it, so that the hour belongs beside the day.

    `standing` is `dated` (a last moment is known), `paused`, `unknown` or `ended`.
    `subjects` names every subject whose events the container depends on. `approval`
    says who allowed the limit that binds, where it is longer than its authority's own.
    `cooling_since` is when its cooling log began, while that log is open. `ready_at` is
    when it should be thawed, as somebody said when it was put where it is.
    """

    code: str
    food: str
    standing: str
    batch_number: int | None = None
    batch_id: str | None = None
    index: int | None = None
    of: int | None = None
    lot: str = ""
    place: str = ""
    state: str = ""
    mass_g: float | None = None
    made_at: datetime | None = None
    opened_at: datetime | None = None
    last_moment: datetime | None = None
    last_day: date | None = None
    best_by: date | None = None
    days_left: int | None = None
    binding: str = ""
    is_house_rule: bool = False
    is_unverified: bool = False
    has_hour: bool = False
    is_labelled: bool = False
    is_unmarked: bool = False
    end_kind: str = ""
    end_reason: str = ""
    ended_at: datetime | None = None
    subjects: tuple[str, ...] = ()
    approval: str = ""
    cooling_since: datetime | None = None
    ready_at: datetime | None = None

    @property
    def is_live(self) -> bool:
        """Whether there is still something in it."""
        return self.standing != "ended"


def made_order(one: Snapshot) -> tuple[float, int, int, str]:
    """The order in which containers were made, by batch and box; the same for all."""
    began = one.made_at or one.opened_at
    at = began.timestamp() if began else 0.0
    return (at, one.batch_number or 0, one.index or 0, one.code)
