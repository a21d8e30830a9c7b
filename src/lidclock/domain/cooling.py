"""The cooling log of a container: when it began, how it cools, when it was closed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lidclock.domain.containers import Container
    from lidclock.domain.events import Event

PHASES = ("start", "read", "finish")
Reading = tuple[datetime, float]
# Twice the 0.7 °C to which the temperature around cooling food is known: a bigger step
# is another bath or another shelf, and what was read before it says little any more.
MEDIUM_STEP_C = 1.4


@dataclass(frozen=True, slots=True)
class CoolingLog:
    """One cooling, from its start to the reading that closed it.

    `subject` is the batch or the container that it was started for. `medium` is the
    last measured temperature of the air or water around the food. `changed_at` is when
    the food was last divided, covered, uncovered or set in another bath, so that it
    cools otherwise since.
    What was read stands with the container's other readings, `coolings`.
    """

    began: datetime
    subject: str
    depth_mm: float | None = None
    is_covered: bool | None = None
    medium: Reading | None = None
    reheated_at: datetime | None = None
    changed_at: datetime | None = None
    closed_at: datetime | None = None

    @property
    def is_open(self) -> bool:
        """Whether nobody has finished it yet."""
        return self.closed_at is None

    def divided(self, at: datetime) -> CoolingLog:
        """The log of a part that was split off then: it has the same start."""
        return replace(self, changed_at=at)

    def reheated(self, at: datetime) -> CoolingLog:
        """The log after a reheating: it has to cool again."""
        return replace(self, reheated_at=at) if self.is_open else self


def log_batch_cooling(members: Iterable[Container], event: Event) -> None:
    """An entry of a batch's log is one of all its containers that cool with it.

    A container that has had an entry of its own is measured on its own from then on,
    until that log is closed and the batch's is started again.
    """
    for container in members:
        if container.end is not None and container.end.kind != "missing":
            continue
        if container.cools_alone:
            log = container.cooling
            if event.body.get("phase") != "start" or (log and log.is_open):
                continue
            container.cools_alone = False
        log_cooling(container, event)


def log_cooling(container: Container, event: Event) -> None:
    """One entry of a log, and a reading like any other where it has a temperature.

    A start without a temperature is no reading, so nothing is taken as cold.
    """
    at, body = event.happened_at, event.body
    if body.get("temp_c") is not None:
        container.coolings.append((at, body["temp_c"]))
    container.cooling = _logged(container.cooling, event.subject, at, body)


def _logged(
    log: CoolingLog | None, subject: str, at: datetime, body: Mapping[str, Any]
) -> CoolingLog | None:
    """The log after one `cooled` event that has a phase.

    A reading without a start begins a log; once it is closed, only a start begins
    another one.
    """
    phase = body["phase"]
    if log is None or (phase == "start" and not log.is_open):
        log = CoolingLog(at, subject)
    if not log.is_open:
        return log
    log = _described(log, at, body)
    return replace(log, closed_at=at) if phase == "finish" else log


def _described(log: CoolingLog, at: datetime, body: Mapping[str, Any]) -> CoolingLog:
    """Depth, lid and medium, as far as this event says something of them."""
    medium_c = body.get("medium_c")
    if medium_c is not None:
        is_other = log.medium is not None and (
            abs(medium_c - log.medium[1]) > MEDIUM_STEP_C
        )
        changed_at = at if is_other else log.changed_at
        log = replace(log, medium=(at, medium_c), changed_at=changed_at)
    depth_mm = body.get("depth_mm", log.depth_mm)
    is_covered = body.get("covered", log.is_covered)
    if (depth_mm, is_covered) == (log.depth_mm, log.is_covered):
        return log
    was_known = log.depth_mm is not None or log.is_covered is not None
    changed_at = at if was_known else log.changed_at
    return replace(log, depth_mm=depth_mm, is_covered=is_covered, changed_at=changed_at)
