"""A signal between a browser and the kitchen that can be lost at any moment."""

import socket
import threading
from contextlib import suppress

_PIECE = 65536


class Signal:
    """Passes bytes to and fro; `cut` loses every connection, as a cellar does.

    Answers take `slow_s` seconds longer; while `is_deaf` what is sent arrives, but no
    answer comes back.
    """

    def __init__(self, address: str) -> None:
        self.lead_to(address)
        self._open: set[socket.socket] = set()
        self.is_deaf, self.slow_s = False, 0.0
        self._listener = socket.create_server(("127.0.0.1", 0))
        self._port = self._listener.getsockname()[1]
        self.address = f"http://127.0.0.1:{self._port}"
        self._begin()

    def lead_to(self, address: str) -> None:
        """From the next connection on it leads to the kitchen at that address."""
        host, port = address.removeprefix("http://").split(":")
        self._kitchen = (host, int(port))

    def cut(self) -> None:
        """From now on nobody answers at all."""
        # Closing alone would leave the waiting accept to take one more.
        with suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        for one in list(self._open):
            self._close(one)

    def restore(self) -> None:
        """The signal is back, at the same address."""
        self.is_deaf = False
        self._listener = socket.create_server(("127.0.0.1", self._port))
        self._begin()

    def _begin(self) -> None:
        self._start(self._accept, self._listener)

    @staticmethod
    def _start(work, *given) -> None:
        # One that still waits must not keep the tests from ending.
        threading.Thread(target=work, args=given, daemon=True).start()

    def _accept(self, listener: socket.socket) -> None:
        with suppress(OSError):
            while True:
                browser, _ = listener.accept()
                kitchen = socket.create_connection(self._kitchen)
                self._open |= {browser, kitchen}
                for pair in ((browser, kitchen), (kitchen, browser)):
                    self._start(self._pass, *pair)

    def _pass(self, source: socket.socket, target: socket.socket) -> None:
        # Cut meanwhile, it has no peer any more.
        with suppress(OSError):
            is_answer = source.getpeername() == self._kitchen
            while piece := source.recv(_PIECE):
                if is_answer and self.is_deaf:
                    break
                if is_answer and self.slow_s:
                    threading.Event().wait(self.slow_s)
                target.sendall(piece)
        self._close(source)
        self._close(target)

    def _close(self, one: socket.socket) -> None:
        with suppress(OSError):
            one.shutdown(socket.SHUT_RDWR)
        one.close()
        self._open.discard(one)
