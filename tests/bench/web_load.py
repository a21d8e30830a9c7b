"""Clients that keep one connection each and send as fast as they are answered.

Plain sockets and ready-made requests: what is measured is the server, not a client
library. Run as a program of its own, so that it does not share the server's lock.
"""

from __future__ import annotations

import json
import selectors
import socket
import sys
import time
from pathlib import Path


def main() -> None:
    """PORT FILE CLIENTS: send each body in FILE once; latencies as JSON on stdout."""
    port, path, clients = int(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
    bodies = path.read_bytes().splitlines()
    requests = [_request(body) for body in bodies]
    began = time.perf_counter()
    latencies, failed = _run(port, requests, clients)
    took = time.perf_counter() - began
    print(json.dumps({"seconds": took, "latencies": latencies, "failed": failed}))


def _request(body: bytes) -> bytes:
    head = (
        f"POST /api/v1/events HTTP/1.1\r\nHost: 127.0.0.1\r\n"
        f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body


def _run(port: int, requests: list[bytes], clients: int) -> tuple[list[float], int]:
    waiting, latencies, failed = iter(requests), [], 0
    with selectors.DefaultSelector() as selector:
        for _ in range(clients):
            line = socket.create_connection(("127.0.0.1", port))
            line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            selector.register(line, selectors.EVENT_READ, [0.0, b""])
            _send(line, selector, next(waiting))
        while selector.get_map():
            for key, _ in selector.select():
                line, state = key.fileobj, key.data
                state[1] += line.recv(65536)
                if not _is_whole(state[1]):
                    continue
                latencies.append(time.perf_counter() - state[0])
                failed += not _is_recorded(state[1])
                state[1] = b""
                following = next(waiting, None)
                if following is None:
                    selector.unregister(line)
                    line.close()
                else:
                    _send(line, selector, following)
    return latencies, failed


def _send(line: socket.socket, selector: selectors.BaseSelector, data: bytes) -> None:
    selector.get_key(line).data[0] = time.perf_counter()
    line.sendall(data)


def _is_whole(answer: bytes) -> bool:
    head, found, body = answer.partition(b"\r\n\r\n")
    if not found:
        return False
    length = head.lower().partition(b"content-length:")[2].partition(b"\r\n")[0]
    return len(body) >= int(length)


def _is_recorded(answer: bytes) -> bool:
    return b" 200 " in answer[:20] and b'"recorded"' in answer


if __name__ == "__main__":
    main()
