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
        _end(self._listener)
        self._listener.close()
        for one in list(self._open):
            _end(one)

    def restore(self) -> None:
        """The signal is back, at the same address."""
        self.is_deaf = False
        self._listener = socket.create_server(("127.0.0.1", self._port))
        self._begin()

    def _begin(self) -> None:
        _start(self._accept, self._listener)

    def _accept(self, listener: socket.socket) -> None:
        with suppress(OSError):
            while True:
                browser, _ = listener.accept()
                _start(self._connect, browser, listener)

    def _connect(self, browser: socket.socket, listener: socket.socket) -> None:
        """Pass on what one connection says, until either side has ended it."""
        # A kitchen that is not there leaves the connection ended.
        dial = socket.create_connection
        with suppress(OSError), browser, dial(self._kitchen) as kitchen:
            ends = {browser, kitchen}
            self._open |= ends
            # Cut since it was accepted, it has not been ended with the others.
            if listener.fileno() >= 0:
                back = _start(self._pass, kitchen, browser, True)
                self._pass(browser, kitchen, False)
                # Closed while the other still reads, its number may be that of a new
                # connection already, which would lose what is read from it.
                back.join()
            self._open -= ends

    def _pass(
        self, source: socket.socket, target: socket.socket, is_answer: bool
    ) -> None:
        # Cut meanwhile, it has no peer any more.
        with suppress(OSError):
            while piece := source.recv(_PIECE):
                if is_answer and self.is_deaf:
                    break
                if is_answer and self.slow_s:
                    threading.Event().wait(self.slow_s)
                target.sendall(piece)
        _end(source)
        _end(target)


def _end(one: socket.socket) -> None:
    with suppress(OSError):
        one.shutdown(socket.SHUT_RDWR)


def _start(work, *given) -> threading.Thread:
    # One that still waits must not keep the tests from ending.
    thread = threading.Thread(target=work, args=given, daemon=True)
    thread.start()
    return thread
