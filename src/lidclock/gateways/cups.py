"""Queues of CUPS: sent with its own program, believed only by the state of the job."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from urllib.parse import quote

from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, PrinterError
from lidclock.gateways.facts import PrinterFacts
from lidclock.gateways.ipp import IppPrinter
from lidclock.gateways.job import JobReport, Patience, PrintJob, Tell, say_nothing
from lidclock.gateways.media import Size, fitting, named_among, standard_name
from lidclock.gateways.printing import print_job, unsent
from lidclock.gateways.sending import ONE_SIDED, TRUE_SIZE, wrong_media
from lidclock.gateways.transport import Address, Line

SCHEME = "cups:"
# lpadmin(8): any printable character but blank, slash and hash; a dash is an option.
_QUEUE = re.compile(r"[^\s/#-][^\s/#]{0,126}")
_REQUEST = re.compile(r"-(\d+) \(")
_PROGRAM_S = 30.0


def read_queue(text: str) -> str:
    """The queue in `cups:QUEUE`; InputError if that is no queue's name."""
    queue = text.removeprefix(SCHEME)
    if not _QUEUE.fullmatch(queue) or not queue.isprintable():
        raise InputError(f"{text!r} names no queue; write cups:QUEUE")
    return queue


def is_there() -> bool:
    """Whether this computer has the programs of CUPS."""
    return all(map(shutil.which, ("lp", "lpstat")))


def queues() -> list[str]:
    """The queues that CUPS knows; none where there is no CUPS."""
    if not is_there():
        return []
    try:
        return _run("lpstat", "-e").split()
    except PrinterError:
        return []


@dataclass(frozen=True, slots=True)
class CupsQueue:
    """One queue, called `name` in the kitchen."""

    name: str
    queue: str
    patience: Patience

    def printer(self) -> IppPrinter:
        """The queue as a printer: the server that `lp` uses speaks IPP itself."""
        if not is_there():
            raise PrinterError(
                sentence(
                    "{printer}: this computer has no CUPS (no lp, no lpstat); install "
                    "it, or give the printer's own ipp:// address",
                    printer=self.name,
                ),
                "no-cups",
            )
        if self.queue not in (known := queues()):
            raise PrinterError(
                sentence(
                    "{printer}: CUPS has no queue {queue}; it has {queues}",
                    printer=self.name,
                    queue=repr(self.queue),
                    queues=", ".join(known) or sentence("none, or does not run"),
                ),
                "no-queue",
            )
        address = _address(self.queue, _run("lpstat", "-H").strip())
        line = Line(self.name, address, self.patience.connect_s, self.patience.answer_s)
        return IppPrinter(line)

    def print(self, job: PrintJob, tell: Tell = say_nothing) -> JobReport:
        """Hand the job to `lp`, then watch what becomes of it.

        `lp` ends well for jobs that the queue drops a moment later.
        """
        try:
            printer = self.printer()
        except PrinterError as error:
            return unsent(error)
        return print_job(printer, job, self.patience, tell, self._lp)

    def _lp(self, job: PrintJob, facts: PrinterFacts) -> int:
        """The number of the job that `lp` made."""
        said = _run(
            *("lp", "-d", self.queue, "-t", job.title),
            *("-o", f"media={self._media(job, facts)}"),
            *("-o", f"print-scaling={TRUE_SIZE}"),
            *(("-o", f"sides={ONE_SIDED}") if ONE_SIDED in facts.sides else ()),
            given=job.pdf,
            who=self.name,
        )
        found = _REQUEST.search(said)
        if found is None:
            raise PrinterError(
                f"{self.name}: lp named no job ({said.strip()}); look at the queue",
                "refused",
            )
        return int(found[1])

    def _media(self, job: PrintJob, facts: PrinterFacts) -> str:
        """The queue's own name for the size; a raw one has none: the standard's."""
        if not facts.offers:
            return standard_name(job.size)
        name = named_among(job.size, facts.media_names)
        if name is not None:
            return name
        if fitting(job.size, facts.offers) is None:
            raise wrong_media(self.name, job, facts)
        return _custom(job.size)


def _custom(size: Size) -> str:
    """A size as options of `lp` write it."""
    return f"Custom.{size.x / 100:g}x{size.y / 100:g}mm"


def _address(queue: str, server: str) -> Address:
    """The queue's address at the server that `lpstat -H` names, a file or a host."""
    path = f"/printers/{quote(queue)}"
    uri = f"ipp://localhost{path}"
    if server.startswith("/"):
        return Address(uri, "localhost", 0, path, socket=server)
    host, _, port = server.rpartition(":")
    return Address(uri, host.strip("[]"), int(port), path)


def _run(*command: str, given: bytes = b"", who: str = "CUPS") -> str:
    """What a program of CUPS prints, in English; PrinterError if it fails."""
    try:
        done = subprocess.run(
            command,
            input=given,
            capture_output=True,
            timeout=_PROGRAM_S,
            env={**os.environ, "LC_ALL": "C.UTF-8"},
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise PrinterError(
            f"{who}: {command[0]} does not work ({error}); see to CUPS", "no-cups"
        ) from error
    if done.returncode:
        said = " ".join(done.stderr.decode(errors="replace").split())
        raise PrinterError(
            f"{who}: {command[0]} failed ({said}); see to the queue", "refused"
        )
    return done.stdout.decode(errors="replace")
