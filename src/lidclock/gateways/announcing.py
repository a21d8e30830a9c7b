"""The page, announced in its network: a name and a service, while it is served.

Multicast DNS (RFC 6762) for the name, DNS-based service discovery (RFC 6763) for the
rest. It is heard in the network alone; no router passes it on.
"""

from __future__ import annotations

import socket
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidclock.errors import GatewayError

if TYPE_CHECKING:
    from zeroconf import Zeroconf

# Who just told it may keep an answer back for a second: RFC 6762, section 6.
_LISTENED_MS = 1500
_MOST_TRIED = 9
# RFC 6763, section 4.1.1.
_LONGEST_INSTANCE = 63


@dataclass(frozen=True, slots=True)
class LocalName:
    """NAME.local, and through which of our IPv4 addresses it is told.

    `addresses` are what it leads to; empty where something else answers for it.
    """

    name: str
    via: tuple[str, ...]
    addresses: tuple[str, ...] = ()


def free_name(wanted: str, via: Sequence[str], addresses: Sequence[str]) -> LocalName:
    """`wanted`.local, or `wanted`-2.local where others answer to the first.

    Where this machine itself answers to it already (Avahi does, for the machine's own
    name), that goes on. GatewayError where nothing can be announced, or all are taken.
    """
    with _spoken(via) as line:
        for number in range(1, _MOST_TRIED + 1):
            name = f"{wanted}-{number}.local" if number > 1 else f"{wanted}.local"
            known = _answers_to(line, name)
            if known <= {*addresses}:
                return LocalName(name, tuple(via), () if known else tuple(addresses))
    raise GatewayError(f"{wanted}.local and {_MOST_TRIED - 1} more are others' names")


@contextmanager
def announced(
    found: LocalName, kitchen: str, port: int, *, is_https: bool
) -> Iterator[None]:
    """Announce the page of `kitchen` meanwhile, and take it back at the end.

    GatewayError where it cannot be announced.
    """
    from zeroconf import Error, ServiceInfo

    kind = "_https._tcp.local." if is_https else "_http._tcp.local."
    info = ServiceInfo(
        kind,
        f"{instance_of(kitchen)}.{kind}",
        port=port,
        server=f"{found.name}.",
        addresses=[
            socket.inet_pton(socket.AF_INET6 if ":" in one else socket.AF_INET, one)
            for one in found.addresses
        ],
        properties={"path": "/"},  # RFC 6763, section 6.4, and the registry of types
    )
    with _spoken(found.via) as line:
        try:
            line.register_service(info, allow_name_change=True)
        except (OSError, Error) as error:
            raise _cannot(error) from error
        yield


def instance_of(kitchen: str) -> str:
    """The kitchen's name as a service's: no control characters, at most 63 bytes."""
    plain = "".join(one if one.isprintable() else " " for one in kitchen)
    cut = plain.encode("utf-8", "ignore")[:_LONGEST_INSTANCE].decode("utf-8", "ignore")
    return cut.strip(" .") or "lidclock"


@contextmanager
def _spoken(via: Sequence[str]) -> Iterator[Zeroconf]:
    from zeroconf import IPVersion, Zeroconf

    try:
        for one in via:  # it would leave sockets open where one is not ours
            with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
                probe.bind((one, 0))
        line = Zeroconf(interfaces=list(via), ip_version=IPVersion.V4Only)
    except OSError as error:
        raise _cannot(error) from error
    try:
        yield line
    finally:
        line.close()


def _answers_to(line: Zeroconf, name: str) -> set[str]:
    """The addresses that others in the network give for a name."""
    # It is handed out by the package, though missing in its `__all__`.
    from zeroconf import AddressResolver, IPVersion  # type: ignore[attr-defined]

    asked = AddressResolver(f"{name}.")
    asked.request(line, _LISTENED_MS)
    return set(asked.parsed_addresses(IPVersion.All))


def _cannot(error: Exception) -> GatewayError:
    return GatewayError(f"this network takes no announcement ({error})")
