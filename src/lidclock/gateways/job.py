"""What is to be printed, how long to wait for it, and what came of it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace

from lidclock.gateways.media import Size

FINAL = ("canceled", "aborted", "completed")
NOT_SENT, LOST = "not-sent", "lost"
_NOT_WHOLE = "job-completed-with-errors"

Tell = Callable[[str], None]


def _wait(seconds: float) -> None:
    """Let a printer work; an interrupt from the keyboard ends the wait at once."""
    threading.Event().wait(seconds)


def say_nothing(line: str) -> None:
    """For those who do not want to hear how it is going."""


@dataclass(frozen=True, slots=True)
class Patience:
    """How long to wait for what, in seconds; `wait` is how waiting is done.

    A job that is held up (no labels, cover open) is given `held_s`; one that shows no
    change of any kind `silent_s`.
    """

    connect_s: float = 5.0
    answer_s: float = 30.0
    send_s: float = 300.0
    poll_s: float = 0.5
    held_s: float = 60.0
    silent_s: float = 300.0
    busy_waits: tuple[float, ...] = (0.5, 1.0, 2.0, 4.0, 8.0, 15.0)
    lost_polls: int = 5
    wait: Callable[[float], None] = _wait

    def polls(self) -> Callable[[], float]:
        """Waits one poll, short at first, and says how long that was."""
        step = min(0.05, self.poll_s)

        def pause() -> float:
            nonlocal step
            done, step = step, min(step * 1.5, self.poll_s)
            self.wait(done)
            return done

        return pause


@dataclass(frozen=True, slots=True)
class PrintJob:
    """A document, the size of its pages, and what to call them.

    `turn` gives the document with its pages turned by a quarter, for rolls that run the
    other way; `raster` gives it as PWG raster, for printers that know no PDF.
    """

    pdf: bytes
    size: Size
    stock: str
    title: str = "Container labels"
    who: str = ""
    turn: Callable[[bytes], bytes] | None = None
    raster: Callable[[bytes, int], bytes] | None = None
    dpi: int = 300

    def turned(self) -> PrintJob:
        """The same job with its pages turned by a quarter."""
        if self.turn is None:
            raise ValueError("nothing is known to turn these pages")
        return replace(self, pdf=self.turn(self.pdf), size=self.size.turned())


@dataclass(frozen=True, slots=True)
class JobNews:
    """How a job stands by the printer's own word."""

    state: str
    reasons: tuple[str, ...] = ()
    message: str = ""
    printed: int = 0

    @property
    def is_final(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in FINAL


@dataclass(frozen=True, slots=True)
class JobReport:
    """What came of printing: the last state of the job, why, and one line for people.

    The state is the job's own (`completed`, `aborted`, `canceled`, or what it was when
    waiting ended), `not-sent` where the printer never took it, `lost` where nobody
    knows.
    """

    state: str
    reasons: tuple[str, ...] = ()
    message: str = ""
    job_id: int | None = None

    @property
    def is_printed(self) -> bool:
        """Whether the printer says that all of it came out."""
        return self.state == "completed" and _NOT_WHOLE not in self.reasons
