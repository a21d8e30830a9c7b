"""A real MQTT broker, Debian's mosquitto, in a temporary folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from unit.gateways.real_printers import does_not_start, free_port, until

_CONFIG = """listener {port} 127.0.0.1
allow_anonymous true
persistence true
persistence_location {folder}/
autosave_interval 1
log_dest file {folder}/log
max_queued_messages 0
{more}
"""


@dataclass
class RealBroker:
    """A broker that can be stopped and started again at the same address."""

    folder: Path
    port: int
    more: str = ""
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"mqtt://127.0.0.1:{self.port}"

    def start(self) -> None:
        config = self.folder / "mosquitto.conf"
        # It would otherwise drop its rights, and then not write into our folder.
        user = "user root\n" if os.geteuid() == 0 else ""
        text = _CONFIG.format(port=self.port, folder=self.folder, more=self.more)
        config.write_text(user + text, encoding="utf-8")
        with (self.folder / "said").open("wb") as said:
            self.process = subprocess.Popen(
                [_program("mosquitto"), "-c", str(config)],
                stdout=subprocess.DEVNULL,
                stderr=said,
            )
        if not until(self._answers):
            does_not_start("mosquitto", self.folder / "said")

    def stop(self) -> None:
        if self.process is not None:
            self.process.terminate()
            self.process.wait(10)
            self.process = None

    def publish(self, topic: str, payload: str, *more: str) -> None:
        """Send one message at QoS 1 with another program than ours."""
        subprocess.run(
            [
                *(_program("mosquitto_pub"), "-p", str(self.port), "-q", "1"),
                *("-t", topic, "-m", payload, *more),
            ],
            check=True,
            timeout=20,
        )

    def publish_lines(self, topic: str, lines: list[str]) -> None:
        """Send each line as a message of its own, over one connection."""
        subprocess.run(
            [
                *(_program("mosquitto_pub"), "-p", str(self.port), "-q", "1"),
                *("-t", topic, "-l"),
            ],
            input="\n".join(lines).encode() + b"\n",
            check=True,
            timeout=60,
        )

    def _answers(self) -> bool:
        import socket

        with socket.socket() as one:
            return one.connect_ex(("127.0.0.1", self.port)) == 0


def _program(name: str) -> str:
    found = shutil.which(name, path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
    if found is None:
        pytest.skip(f"{name} is absent: apt-get install mosquitto mosquitto-clients")
    return found


@contextmanager
def real_broker(more: str = "") -> Iterator[RealBroker]:
    """A broker for as long as it is needed."""
    with tempfile.TemporaryDirectory(prefix="lidclock-") as folder:
        broker = RealBroker(Path(folder), free_port(), more)
        broker.start()
        try:
            yield broker
        finally:
            broker.stop()
