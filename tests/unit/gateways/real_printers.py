"""Real IPP printers out of Debian's cups-ipp-utils, each in a temporary folder.

`ippeveprinter` needs a system bus for DNS-SD, even where it announces nothing; so a bus
of our own runs beside it. What a printer does with a job is told by files: `hindrance`
holds it up under that reason until the file is gone, `failure` makes the job fail.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from lidclock.gateways.job import Patience
from lidclock.gateways.printers import facts_of_printer

CONF = Path(__file__).parents[2] / "external" / "data" / "label-printer.conf"
STEP_S = 0.05
_START_S = 10.0
_BUS = """<!DOCTYPE busconfig PUBLIC
 "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>system</type><listen>unix:path={path}</listen><auth>EXTERNAL</auth>
<policy context="default"><allow send_destination="*"/><allow receive_sender="*"/>
<allow own="*"/></policy></busconfig>
"""
_COMMAND = """#!/bin/sh
# Run by the printer for each job: $1 is the document, $IPP_... what was asked for.
cp "$1" "{folder}/arrived-$IPP_JOB_ID"
env | grep ^IPP_ > "{folder}/asked-$IPP_JOB_ID"
if [ -f "{folder}/hindrance" ]; then
    reason=$(cat "{folder}/hindrance")
    echo "STATE: +$reason" >&2
    while [ -f "{folder}/hindrance" ]; do sleep 0.05; done
    echo "STATE: -$reason" >&2
fi
[ ! -f "{folder}/failure" ]
"""


def program(name: str) -> str:
    """The path of a Debian program; the test is skipped where it is absent."""
    found = shutil.which(name, path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
    if found is None:
        pytest.skip(f"{name} is absent: apt-get install cups-ipp-utils dbus cups")
    return found


def does_not_start(what: str, said: Path) -> None:
    """Skip with the last words of what failed; in CI, where it must start, fail."""
    words = said.read_text(errors="replace").strip().splitlines() or ["no reason given"]
    say = pytest.fail if os.environ.get("CI", "").lower() == "true" else pytest.skip
    say(f"{what} does not start: {words[-1]}")


def until(holds: Callable[[], bool], seconds: float = _START_S) -> bool:
    """Whether something holds before the time is up, looked at in small steps."""
    nobody = threading.Event()
    for _ in range(round(seconds / STEP_S)):
        if holds():
            return True
        nobody.wait(STEP_S)
    return False


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def is_open(port: int) -> bool:
    """Whether somebody listens on the port."""
    with socket.socket() as one:
        return one.connect_ex(("127.0.0.1", port)) == 0


@contextmanager
def running(
    command: list[str], said: Path, environment: dict[str, str] | None = None
) -> Iterator[subprocess.Popen[bytes]]:
    """A program in the background, its words in a file, ended afterwards."""
    with said.open("wb") as words:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=words,
            stderr=subprocess.STDOUT,
            env={**os.environ, **(environment or {})},
        )
        try:
            yield process
        finally:
            process.kill()
            process.wait()


@contextmanager
def folder() -> Iterator[Path]:
    """A folder with a short path (a socket's must be), open to a server's own user."""
    path = Path(tempfile.mkdtemp(prefix="lidclock-"))
    path.chmod(0o755)
    try:
        yield path
    finally:
        shutil.rmtree(path, ignore_errors=True)


@contextmanager
def system_bus() -> Iterator[dict[str, str]]:
    """A bus of our own, as the environment that leads to it."""
    with folder() as path:
        place = path / "bus"
        config = path / "bus.conf"
        config.write_text(_BUS.format(path=place))
        command = [program("dbus-daemon"), f"--config-file={config}", "--nofork"]
        with running(command, path / "said"):
            if not until(place.exists):
                does_not_start("dbus-daemon", path / "said")
            yield {"DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={place}"}


@dataclass(slots=True)
class RealPrinter:
    """A printer that runs, and the folder it works in."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes]

    @property
    def address(self) -> str:
        """Where it is."""
        return f"ipp://localhost:{self.port}/ipp/print"

    def arrived(self, job_id: int | None) -> bytes:
        """The document that a job brought."""
        return (self.folder / f"arrived-{job_id}").read_bytes()

    def asked(self, job_id: int | None) -> dict[str, str]:
        """What a job asked for, as the printer understood it."""
        lines = (self.folder / f"asked-{job_id}").read_text().splitlines()
        return dict(line.partition("=")[::2] for line in lines)

    def hold(self, reason: str) -> None:
        """From now on every job is held up, for that reason."""
        (self.folder / "hindrance").write_text(reason)

    def fail(self) -> None:
        """From now on every job fails."""
        (self.folder / "failure").touch()

    def go_on(self) -> None:
        """Nothing is in the way any more."""
        for name in ("hindrance", "failure"):
            (self.folder / name).unlink(missing_ok=True)

    def settle(self) -> None:
        """Go on, and wait until nothing is being printed."""
        self.go_on()
        assert until(self.is_idle)

    def is_idle(self) -> bool:
        """Whether it says that it has nothing to do."""
        return facts_of_printer("it", self.address, Patience()).state == "idle"

    def unplug(self) -> None:
        """Gone, from one moment to the next."""
        self.process.kill()
        self.process.wait()


@contextmanager
def real_printer(bus: dict[str, str], *options: str) -> Iterator[RealPrinter]:
    """One ippeveprinter on a port of its own."""
    with folder() as path:
        command = path / "print-command"
        command.write_text(_COMMAND.format(folder=path))
        command.chmod(0o755)
        (path / "spool").mkdir()
        port = free_port()
        words = [program("ippeveprinter"), "-r", "off", "-n", "localhost"]
        words += ["-p", str(port), "-d", str(path / "spool"), "-c", str(command)]
        said = path / "said"
        with running([*words, *options, "Printer"], said, bus) as process:
            if not until(lambda: is_open(port) or process.poll() is not None):
                does_not_start("ippeveprinter", said)
            if process.poll() is not None:
                does_not_start("ippeveprinter", said)
            yield RealPrinter(path, port, process)


@cache
def codes_in(pdf: bytes) -> list[list[tuple[str, str]]]:
    """For each page the symbols on it, read by zxing-cpp at 300 dots to the inch."""
    import pypdfium2
    import zxingcpp

    document = pypdfium2.PdfDocument(pdf)
    pages = []
    for page in document:
        found = zxingcpp.read_barcodes(page.render(scale=300 / 72).to_pil())
        pages.append(sorted((one.format.name, one.text) for one in found))
        page.close()
    document.close()
    return pages
