"""The kitchen's own certificate authority, kept beside the database.

Browsers give camera and offline work only to pages they trust; a phone that trusts this
authority trusts the kitchen page, and nothing else by it (gateways/authority.py).
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from lidclock.errors import StoreError
from lidclock.gateways import authority as made
from lidclock.gateways.authority import Pair

_PRIVATE, _PUBLIC = 0o600, 0o644


@dataclass(frozen=True, slots=True)
class Certificates:
    """Where the server's key and certificate and the authority's certificate lie.

    `fingerprint` is the authority's SHA-256, to be compared where it is trusted.
    """

    key: Path
    certificate: Path
    authority: Path
    fingerprint: str


def certificates(
    database: Path, kitchen: str, hosts: Sequence[str], now: datetime
) -> Certificates:
    """What the server needs to be reached as any of `hosts`, made where it is missing.

    A certificate near its end, or without one of the hosts, is made anew; the authority
    stays, so that nobody has to trust it again. StoreError if it is not one any more.
    """
    known = _authority(database, kitchen, hosts, now)
    files = _file(database, "server.key"), _file(database, "server.crt")
    server = _read(*files)
    if server is None or not made.still_serves(server, known, hosts, now):
        _write(made.issue(known, hosts, now), *files)
    public = _file(database, "authority.crt")
    return Certificates(*files, public, made.fingerprint(known.certificate))


def authority_for_phones(certificate: Path) -> bytes:
    """The authority's certificate the way phones take it."""
    try:
        return made.as_der(certificate.read_bytes())
    except OSError as error:
        raise StoreError(f"{certificate} cannot be read: {error.strerror}") from error


def _authority(
    database: Path, kitchen: str, hosts: Sequence[str], now: datetime
) -> Pair:
    files = _file(database, "authority.key"), _file(database, "authority.crt")
    known = _read(*files)
    if known is None:
        known = made.make_authority(kitchen, hosts, now)
        _write(known, *files)
        return known
    if not made.is_usable(known, now):
        raise _start_anew(files, "is at its end, or its key is another's")
    strange = made.not_covered(known, hosts)
    if strange:
        raise _start_anew(files, f"may not vouch for {', '.join(strange)}")
    return known


def _start_anew(files: tuple[Path, Path], why: str) -> StoreError:
    key, certificate = files
    return StoreError(
        f"the authority in {certificate} {why}: remove it and {key.name}, start again, "
        "and let each phone trust the new one"
    )


def _file(database: Path, ending: str) -> Path:
    return database.with_name(f"{database.name}-{ending}")


def _read(key: Path, certificate: Path) -> Pair | None:
    """The pair, None if one of it is missing; a key that others may read is closed."""
    try:
        if key.stat().st_mode & 0o077:
            key.chmod(_PRIVATE)
        return Pair(key.read_bytes(), certificate.read_bytes())
    except FileNotFoundError:
        return None
    except OSError as error:
        raise StoreError(
            f"{key} and {certificate.name} cannot be read: {error.strerror}"
        ) from error


def _write(pair: Pair, key: Path, certificate: Path) -> None:
    for path, text, mode in (
        (key, pair.key, _PRIVATE),
        (certificate, pair.certificate, _PUBLIC),
    ):
        try:
            _write_whole(path, text, mode)
        except OSError as error:
            raise StoreError(f"{path} cannot be written: {error.strerror}") from error


def _write_whole(path: Path, text: bytes, mode: int) -> None:
    """Never open to others, not even for a moment, and never half written."""
    unfinished = path.with_name(path.name + ".new")
    with suppress(FileNotFoundError):
        unfinished.unlink()
    handle = os.open(unfinished, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode)
    with os.fdopen(handle, "wb") as file:
        file.write(text)
    os.replace(unfinished, path)
