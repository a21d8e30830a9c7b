"""`lidclock serve` as a process of its own."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ADDRESS = re.compile(r"(https?)://([^:/]+):(\d+)")


@dataclass
class Running:
    """The program while it serves, and what it said before it did."""

    process: subprocess.Popen[str]
    said: list[str]

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(ADDRESS.search("\n".join(self.said))[3])

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Tell it to stop; its exit code."""
        self.process.send_signal(number)
        return self.process.wait(timeout=20)


def command(path: Path, *words: str) -> list[str]:
    """The program's own command line."""
    return [sys.executable, "-m", "lidclock", "--db", str(path), "serve", *words]


@contextmanager
def running(path: Path, *words: str, typed: str = "") -> Iterator[Running]:
    """`lidclock serve` with these words, on a free port, until it is done with."""
    process = subprocess.Popen(
        command(path, "--port", "0", *words),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
        stdin=subprocess.PIPE,
        start_new_session=True,
    )
    process.stdin.write(typed)
    process.stdin.close()
    said: list[str] = []
    try:
        for line in process.stdout:
            said.append(line.rstrip("\n"))
            if "Ctrl-C" in line:
                break
        assert said, process.stderr.read()
        yield Running(process, said)
    finally:
        process.kill()
        process.wait(timeout=20)
        process.stdout.close()
        process.stderr.close()
