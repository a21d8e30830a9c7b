"""The one way to the terminal: whatever is written, it stays text."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO, cast

from lidclock.domain.screen_text import shown


class Screen:
    """A text stream on which no character can command the terminal behind it.

    Everything else, bytes for a pipe among them, goes to the stream itself.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write the text as it may be shown."""
        self._stream.write(shown(text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@contextmanager
def plain_screen() -> Iterator[None]:
    """Show all that is written to standard output and error as text meanwhile."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = (cast(TextIO, Screen(one)) for one in before)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before
