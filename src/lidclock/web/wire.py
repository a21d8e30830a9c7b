"""HTTP as it comes over the line, read by a parser in C."""

from __future__ import annotations

from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from lidclock.web.patience import Patience

# As much as uvicorn's parser in Python takes (h11, `max_incomplete_event_size`).
MOST_UNREAD = 16 * 1024


class Wire(Patience, HttpToolsProtocol):  # type: ignore[misc]
    """uvicorn's protocol, with a bound to what names and opens a request.

    The parser keeps headers and trailers for as long as they go on. Nobody is known
    yet who sends them, so a line that goes on without any request is cut.
    """

    _unread = 0

    def data_received(self, data: bytes) -> None:
        """Take in what came; 400 where it has been headers for too long."""
        self._unread += len(data)
        super().data_received(data)
        if self._unread > MOST_UNREAD and not self.transport.is_closing():
            self.send_400_response("These headers do not end.")

    def on_headers_complete(self) -> None:
        """A request begins."""
        self._unread = 0
        super().on_headers_complete()

    def on_body(self, body: bytes) -> None:
        """A part of it; who counts these is `Guard`."""
        self._unread = 0
        super().on_body(body)

    def on_message_complete(self) -> None:
        """It has ended."""
        self._unread = 0
        super().on_message_complete()
