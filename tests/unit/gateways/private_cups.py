"""A CUPS of our own: configuration, spool and socket in a temporary folder."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from unit.gateways.real_printers import (
    does_not_start,
    folder,
    free_port,
    is_open,
    program,
    running,
    until,
)

_SERVER = """Listen 127.0.0.1:{port}
Listen {folder}/socket
LogLevel info
WebInterface No
Browsing No
<Location />
  Order allow,deny
  Allow all
</Location>
<Location /admin>
  Order allow,deny
  Allow all
</Location>
<Policy default>
  <Limit All>
    Order deny,allow
  </Limit>
</Policy>
"""
_FILES = """ServerRoot {folder}/etc
RequestRoot {folder}/spool
TempDir {folder}/tmp
CacheDir {folder}/cache
StateDir {folder}/state
AccessLog {folder}/access
ErrorLog {folder}/said
PageLog {folder}/pages
ServerKeychain {folder}/etc/ssl
"""


@dataclass(slots=True)
class PrivateCups:
    """A server that runs, reached by its port or by its socket."""

    folder: Path
    port: int

    @property
    def socket(self) -> str:
        """The socket's file."""
        return str(self.folder / "socket")

    def add_queue(self, name: str, address: str, model: str) -> None:
        """Make a queue in front of a printer."""
        done = subprocess.run(
            [
                *(program("lpadmin"), "-h", f"127.0.0.1:{self.port}"),
                *("-p", name, "-E", "-v", address, "-m", model),
            ],
            capture_output=True,
            text=True,
            check=False,
            timeout=20,
        )
        assert done.returncode == 0, done.stderr


@contextmanager
def private_cups(bus: dict[str, str]) -> Iterator[PrivateCups]:
    """One cupsd, ended afterwards; skipped where CUPS is absent."""
    command = program("cupsd")
    program("lp")
    with folder() as path:
        for name in ("etc", "spool", "tmp", "cache", "state"):
            (path / name).mkdir()
        port = free_port()
        server, files = path / "cupsd.conf", path / "cups-files.conf"
        server.write_text(_SERVER.format(folder=path, port=port))
        files.write_text(_FILES.format(folder=path))
        said = path / "said-first"
        words = [command, "-f", "-c", str(server), "-s", str(files)]
        with running(words, said, bus) as process:
            if not until(lambda: is_open(port) or process.poll() is not None):
                does_not_start("cupsd", said)
            if process.poll() is not None:
                does_not_start("cupsd", said)
            yield PrivateCups(path, port)
