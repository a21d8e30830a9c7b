"""The bytes of a file as blocks of whole lines, whatever wrote them.

UTF-16 becomes UTF-8, CR and CRLF become LF, NUL bytes go. Other bytes stay as they
are: they are told to be UTF-8 or Latin-1 line by line, where text is needed.
"""

from __future__ import annotations

import codecs
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lidclock.templog.logger_csv.findings import Findings

BLOCK_BYTES = 1 << 22
LONGEST_LINE = 1 << 20
_HEAD_BYTES = 4096
# In UTF-16 every other byte of such a file is zero; stray NULs are far fewer.
_LEAST_ZEROS = 0.3


@dataclass(frozen=True, slots=True)
class Lines:
    """Some lines of the file, each ended by LF; `first` is the number of the first."""

    first: int
    data: bytes

    def split(self) -> list[bytes]:
        """The lines without their ends."""
        return self.data[:-1].split(b"\n")


def blocks(
    chunks: Iterable[bytes], findings: Findings, *, size: int = 0
) -> Iterator[Lines]:
    """Blocks of about `size` bytes of whole lines, so that memory stays bounded."""
    number, rest, is_skipping = 1, b"", False
    for data in _gathered(_cleaned(chunks, findings), size or BLOCK_BYTES):
        if is_skipping:
            end = data.find(b"\n")
            if end < 0:
                continue
            # The end of the long line is left, as an empty line of its number.
            data, is_skipping = data[end:], False
        data = rest + data
        cut = data.rfind(b"\n") + 1
        whole, rest = data[:cut], data[cut:]
        if whole:
            yield Lines(number, whole)
            number += whole.count(b"\n")
        if len(rest) > LONGEST_LINE:
            findings.add("too-long", "longer than any row can be", [number])
            rest, is_skipping = b"", True
    if rest:
        yield Lines(number, rest + b"\n")


def _gathered(chunks: Iterable[bytes], size: int) -> Iterator[bytes]:
    parts: list[bytes] = []
    waiting = 0
    for chunk in chunks:
        parts.append(chunk)
        waiting += len(chunk)
        if waiting >= size:
            yield b"".join(parts)
            parts, waiting = [], 0
    if parts:
        yield b"".join(parts)


def _cleaned(chunks: Iterable[bytes], findings: Findings) -> Iterator[bytes]:
    held_cr = False
    for chunk in _without_nul(_as_bytes(chunks), findings):
        if held_cr:
            chunk = b"\r" + chunk
        held_cr = chunk.endswith(b"\r")
        if held_cr:
            chunk = chunk[:-1]
        if b"\r" in chunk:
            chunk = chunk.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        if chunk:
            yield chunk
    if held_cr:
        yield b"\n"


def _without_nul(chunks: Iterable[bytes], findings: Findings) -> Iterator[bytes]:
    is_told = False
    for chunk in chunks:
        if b"\0" in chunk:
            if not is_told:
                findings.add("nul", "NUL bytes are left out (a damaged file?)")
                is_told = True
            chunk = chunk.replace(b"\0", b"")
        yield chunk


def _as_bytes(chunks: Iterable[bytes]) -> Iterator[bytes]:
    """The file without its byte order mark, and as UTF-8 if it was UTF-16."""
    stream = iter(chunks)
    head = b""
    for chunk in stream:
        head += chunk
        if len(head) >= _HEAD_BYTES:
            break
    name, mark = encoding_of(head[:_HEAD_BYTES])
    head = head[mark:]
    if not name:
        yield head
        yield from stream
        return
    decoder = codecs.getincrementaldecoder(name)(errors="replace")
    yield decoder.decode(head).encode("utf-8")
    for chunk in stream:
        yield decoder.decode(chunk).encode("utf-8")
    yield decoder.decode(b"", final=True).encode("utf-8")


def encoding_of(head: bytes) -> tuple[str, int]:
    """The name of a UTF-16 encoding, or `` for bytes that stay; length of the mark."""
    for mark, name in (
        (codecs.BOM_UTF8, ""),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
    ):
        if head.startswith(mark):
            return name, len(mark)
    half = max(1, len(head) // 2)
    if head[1::2].count(0) > _LEAST_ZEROS * half > head[0::2].count(0):
        return "utf-16-le", 0
    if head[0::2].count(0) > _LEAST_ZEROS * half > head[1::2].count(0):
        return "utf-16-be", 0
    return "", 0
