"""Where this machine is found in its network: addresses and names."""

from __future__ import annotations

import fcntl
import ipaddress
import socket
import struct
from collections.abc import Iterator
from pathlib import Path

_SIOCGIFADDR = 0x8915  # linux/sockios.h: the IPv4 address of an interface
_INTERFACES6 = Path("/proc/net/if_inet6")
# Documentation addresses (RFC 5737, RFC 3849): nothing is sent to them, the system only
# says from which of its own addresses it would.
_FAR = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))
_GLOBAL_SCOPE = "00"


def is_loopback(host: str) -> bool:
    """Whether a host to listen on is this machine alone."""
    if host.casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def own_addresses() -> list[str]:
    """This machine's addresses, the one that others most likely reach it by first.

    Neither loopback nor link-local ones: no other machine's browser takes those.
    """
    found = [*_outward(), *_of_interfaces(), *_of_interfaces6()]
    fit = [one for one in map(ipaddress.ip_address, found) if _is_reachable(one)]
    return list(dict.fromkeys(str(one) for one in sorted(fit, key=_last_is_6)))


def host_name() -> str:
    """This machine's name, without any domain; empty if it has none to speak of."""
    name = socket.gethostname().partition(".")[0].casefold()
    is_plain = name.isascii() and name.replace("-", "").isalnum()
    return name if is_plain and name != "localhost" else ""


def local_name() -> str:
    """NAME.local (multicast DNS, RFC 6762) where it leads to this machine, or empty.

    Something else has to announce the name: Avahi does, on most systems.
    """
    name = host_name()
    if not name:
        return ""
    try:
        found = socket.getaddrinfo(f"{name}.local", None, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        return ""
    own = {*own_addresses()}
    return f"{name}.local" if any(one[4][0] in own for one in found) else ""


def _outward() -> Iterator[str]:
    for family, far in _FAR:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((far, 9))
                yield probe.getsockname()[0]
        except OSError:
            continue


def _of_interfaces() -> Iterator[str]:
    try:
        names = socket.if_nameindex()
    except OSError:  # a service may be kept from asking
        return
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, name in names:
            asked = struct.pack("256s", name.encode()[:15])
            try:
                answer = fcntl.ioctl(probe.fileno(), _SIOCGIFADDR, asked)
            except OSError:  # no IPv4 address there
                continue
            yield socket.inet_ntoa(answer[20:24])


def _of_interfaces6() -> Iterator[str]:
    try:
        lines = _INTERFACES6.read_text(encoding="ascii").splitlines()
    except OSError:
        return
    for fields in map(str.split, lines):
        if fields[3] == _GLOBAL_SCOPE:
            yield str(ipaddress.IPv6Address(bytes.fromhex(fields[0])))


def _is_reachable(one: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    return not (one.is_loopback or one.is_link_local or one.is_unspecified)


def _last_is_6(one: ipaddress.IPv4Address | ipaddress.IPv6Address) -> int:
    return one.version
