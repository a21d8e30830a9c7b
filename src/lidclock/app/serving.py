"""How a kitchen is served: to whom, under which names, and what must be set for it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from lidclock.app.certificates import Certificates, certificates
from lidclock.app.people import has_password, is_password, set_password
from lidclock.app.session import Session
from lidclock.errors import GatewayError, InputError, RefusedError
from lidclock.store import Database, Kitchens

if TYPE_CHECKING:
    from lidclock.gateways.announcing import LocalName

# The values that are handed out, for those who show them.
__all__ = ["Certificates", "Serving", "Wish"]

# The name in the network where the kitchen's labels do not say another.
LOCAL_NAME = "lidclock"
LOOPBACK = ("127.0.0.1", "localhost", "::1")
# A host's labels begin and end with a letter or digit: RFC 1123, section 2.1.
_LABEL = "[0-9a-z]([0-9a-z-]{0,61}[0-9a-z])?"
_HOST = re.compile(rf"{_LABEL}([.]{_LABEL})*")


def open_house(path: Path) -> Database:
    """The database at `path`, its kitchen looked for; StoreError if there is none."""
    database = Database.open(path)
    try:
        with database.read() as connection:
            Kitchens(connection).get()
    except BaseException:
        database.close()
        raise
    return database


def session_in(database: Database, *, now: datetime, who: str, device: str) -> Session:
    """A session in a database that stays open: its kitchen is read anew each time.

    It must not be closed, since that would close the database under the others.
    """
    with database.read() as connection:
        kitchens = Kitchens(connection)
        kitchen = kitchens.get()
        places = kitchens.places(kitchen.id)
    return Session(database, kitchen, places, now=now, who=who, device=device)


@dataclass(frozen=True, slots=True)
class Wish:
    """What somebody asked for: where to listen, with certificates, announced or not."""

    host: str = "127.0.0.1"
    is_https: bool = False
    allowed: Sequence[str] = ()
    is_announced: bool = False


@dataclass(frozen=True, slots=True)
class Serving:
    """How it is served. `is_open` means that nobody is asked for a password.

    `hosts` are the names it answers to, `reached_as` the one to print, the best first.
    `unannounced` says why the network is not told of it, where that was asked for.
    """

    host: str
    hosts: tuple[str, ...]
    reached_as: tuple[str, ...]
    is_open: bool
    certificates: Certificates | None = None
    announced: LocalName | None = None
    unannounced: str = ""


def plan_serving(session: Session, wish: Wish, database: Path) -> Serving:
    """How to serve this kitchen; RefusedError where that would leave it unprotected.

    On loopback alone nobody is asked for a password; elsewhere, or behind another
    server that passes requests on (then its name is allowed), one must be set.
    """
    from lidclock.gateways.network import host_name, is_loopback

    allowed = tuple(checked_host(one) for one in wish.allowed)
    is_alone = is_loopback(wish.host)
    is_open = is_alone and {*allowed} <= {*LOOPBACK}
    if not is_open and not has_password(session):
        raise RefusedError(
            "others could reach this kitchen, and it has no password: start once with "
            "--set-password, or leave out --host and --allow-host"
        )
    reached = ("localhost",) if is_alone else _names(wish.host, allowed)
    name, why_not = None, ""
    if wish.is_announced and not is_alone:
        try:
            name = _name_to_announce(session, wish.host)
        except GatewayError as error:
            why_not = str(error)
        else:
            # Last, since not every phone asks for it.
            reached = tuple(dict.fromkeys((*reached, name.name)))
    # Not handed out, since other machines may not know them; some do.
    more = () if is_alone else (*_on_labels(session), host_name())
    found = [*LOOPBACK, *reached, *allowed, *more]
    hosts = tuple(dict.fromkeys(one for one in found if one))
    vouched = None
    if wish.is_https:
        kitchen = session.kitchen.name
        vouched = certificates(database, kitchen, hosts, session.now)
    return Serving(wish.host, hosts, reached, is_open, vouched, name, why_not)


@contextmanager
def announced(serving: Serving, kitchen: str, port: int) -> Iterator[Serving]:
    """The network told of the page meanwhile; the plan as it came to be.

    Where it cannot be told after all, the page is served without, and says why.
    """
    with ExitStack() as meanwhile:
        if serving.announced is not None:
            from lidclock.gateways.announcing import announced as told

            is_https = serving.certificates is not None
            line = told(serving.announced, kitchen, port, is_https=is_https)
            try:
                meanwhile.enter_context(line)
            except GatewayError as error:
                name = serving.announced.name
                reached = tuple(one for one in serving.reached_as if one != name)
                serving = replace(
                    serving, reached_as=reached, announced=None, unannounced=str(error)
                )
        yield serving


def renewed(session: Session, serving: Serving, database: Path) -> bool:
    """Whether the certificate was made anew, because it comes to its end."""
    if serving.certificates is None:
        return False
    before = serving.certificates.certificate.read_bytes()
    certificates(database, session.kitchen.name, serving.hosts, session.now)
    return serving.certificates.certificate.read_bytes() != before


def checked_host(text: str) -> str:
    """A host as a browser sends it; InputError says how to write it."""
    import ipaddress

    plain = text.strip().strip("[]").rstrip(".").casefold()
    try:
        return str(ipaddress.ip_address(plain))
    except ValueError:
        pass
    if len(plain) > 253 or not _HOST.fullmatch(plain):
        raise InputError(
            f"{text[:80]!r} is no host: write a name or an address alone, such as "
            "kitchen.local or 192.0.2.7, without http:// and port"
        )
    return plain


def address_of(host: str, port: int, *, is_https: bool) -> str:
    """`http://192.0.2.7:8420`, the port left out where it is the usual one."""
    scheme, usual = ("https", 443) if is_https else ("http", 80)
    shown = f"[{host}]" if ":" in host else host
    return f"{scheme}://{shown}" + ("" if port == usual else f":{port}")


def addresses_of(serving: Serving, port: int) -> list[str]:
    """Every address that the page is reached by, the one to hand out first."""
    is_https = serving.certificates is not None
    return [address_of(one, port, is_https=is_https) for one in serving.reached_as]


def qr_on_terminal(address: str) -> str:
    """The address as a QR for a terminal."""
    from lidclock.labels.screen_code import on_terminal

    return on_terminal(address)


def qr_as_svg(address: str, says: str) -> str:
    """The address as a QR for a page; `says` is read out."""
    from lidclock.labels.screen_code import as_svg

    return as_svg(address, says)


def keep_password(session: Session, password: str) -> bool:
    """Set the kitchen's password unless it is that already; whether it was set."""
    if has_password(session) and is_password(session, password):
        return False
    set_password(session, password)
    return True


def password_in(path: Path) -> str:
    """The first line of a file; InputError if there is none."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeError) as error:
        raise InputError(f"{path} cannot be read: {error}") from error
    lines = text.splitlines()
    if not lines or not lines[0].strip():
        raise InputError(f"{path} is empty: write the password on its first line")
    return lines[0]


def _names(host: str, allowed: tuple[str, ...]) -> tuple[str, ...]:
    """How others reach a machine that listens on `host`: by name, then by address."""
    from lidclock.gateways.network import local_name

    known = local_name() if _is_all(host) else ""
    found = [*allowed, known, *_addresses(host)]
    return tuple(dict.fromkeys(one for one in found if one))


def _name_to_announce(session: Session, host: str) -> LocalName:
    """The name that the kitchen's labels lead to, where it is one of this network."""
    from lidclock.gateways.announcing import free_name

    wanted = LOCAL_NAME
    for on_labels in _on_labels(session):
        plain = on_labels.removesuffix(".local")
        if plain != on_labels and re.fullmatch(_LABEL, plain):
            wanted = plain
    addresses = _addresses(host)
    via = [one for one in addresses if one.replace(".", "").isdecimal()]
    if not via:
        raise GatewayError("this machine has no IPv4 address to announce")
    return free_name(wanted, via, addresses)


def _addresses(host: str) -> list[str]:
    """This machine's addresses, or the one to listen on."""
    from lidclock.gateways.network import own_addresses

    if not _is_all(host):
        return [checked_host(host)]
    is_both = host.strip("[]") != "0.0.0.0"
    return [one for one in own_addresses() if is_both or ":" not in one]


def _is_all(host: str) -> bool:
    return host.strip("[]") in ("0.0.0.0", "::", "")


def _on_labels(session: Session) -> tuple[str, ...]:
    """The host that the kitchen's labels name: the phone that scans one asks for it."""
    host = urlsplit(session.kitchen.symbol_base.casefold()).hostname
    return (host,) if host else ()
