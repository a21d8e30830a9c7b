"""A logger's file on disk: plain or gzip, read in pieces, as often as needed."""

from __future__ import annotations

import gzip
import os
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

from lidclock.errors import InputError, StoreError
from lidclock.templog.logger_csv.fields import decoded
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.table import HEAD_LINES
from lidclock.templog.logger_csv.text import Lines, blocks

# Told how many bytes of the file were read since the last time.
Progress = Callable[[int], None]

_PIECE_BYTES = 1 << 20
_GZIP = b"\x1f\x8b"
# How files begin that are sheets or archives, and hold no lines of text.
_OTHERS = (
    (b"PK\x03\x04", "a spreadsheet or an archive: export it as CSV, or unpack it"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet: export it as CSV"),
    (b"%PDF", "a PDF: ask the logger's program for CSV"),
    (b"SQLite format 3\0", "a database: export its readings as CSV"),
    (b"PAR1", "Parquet"),
)


def silent(count: int) -> None:
    """Progress that nobody watches."""


@dataclass(frozen=True, slots=True)
class LoggerFile:
    """One file; `stamp` is its size and time of change, so that a change is noticed."""

    path: Path
    name: str
    size: int
    stamp: tuple[int, int] = field(repr=False)

    @classmethod
    def at(cls, path: Path, name: str = "") -> LoggerFile:
        """The file at `path`; InputError if it cannot be read."""
        try:
            if path.is_dir():
                raise InputError(f"{path} is a folder: name the file in it")
            known = path.stat()
        except OSError as error:
            raise _unreadable(path, error) from error
        stamp = (known.st_size, known.st_mtime_ns)
        return cls(path, name or path.name, known.st_size, stamp)

    def lines(self, findings: Findings, progress: Progress = silent) -> Iterator[Lines]:
        """The whole file as blocks of lines; StoreError if it changed meanwhile."""
        try:
            with self.path.open("rb") as file:
                status = os.fstat(file.fileno())
                if (status.st_size, status.st_mtime_ns) != self.stamp:
                    raise StoreError(
                        f"{self.name} changed while it was read: import it again"
                    )
                yield from blocks(self._pieces(file, findings, progress), findings)
        except OSError as error:
            raise _unreadable(self.path, error) from error

    def _pieces(
        self, file: BinaryIO, findings: Findings, progress: Progress
    ) -> Iterator[bytes]:
        start = file.read(len(_GZIP))
        file.seek(0)
        source = gzip.GzipFile(fileobj=file) if start == _GZIP else file
        is_first, before = True, 0
        while piece := _piece(source, self.name, findings):
            if is_first:
                _refuse_others(piece, self.name)
            here = file.tell()
            progress(here - before)
            is_first, before = False, here
            yield piece

    def head(self) -> list[str]:
        """The first lines, which tell what kind of file it is."""
        found: list[str] = []
        for lines in self.lines(Findings()):
            wanted = lines.split()[: HEAD_LINES - len(found)]
            found += [decoded(line) for line in wanted]
            if len(found) >= HEAD_LINES:
                break
        if not any(line.strip() for line in found):
            raise InputError(f"{self.name} is empty: has the logger been read out?")
        return found


def _piece(source: BinaryIO | gzip.GzipFile, name: str, findings: Findings) -> bytes:
    """The next piece; a compressed file that breaks off ends there, and is told."""
    try:
        if isinstance(source, gzip.GzipFile):
            # What came before a break is given, not lost with it.
            return source.read1(_PIECE_BYTES)
        return source.read(_PIECE_BYTES)
    except (EOFError, zlib.error, gzip.BadGzipFile):
        what = f"{name} breaks off or is damaged: was it copied whole?"
        findings.add("cut-off", what)
        return b""


def _refuse_others(piece: bytes, name: str) -> None:
    for start, what in _OTHERS:
        if piece.startswith(start):
            raise InputError(f"{name} is not text but {what}")


def _unreadable(path: Path, error: OSError) -> InputError:
    return InputError(f"cannot read {path}: {error.strerror or error}")
