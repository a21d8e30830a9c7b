"""Where an MQTT broker is, and who we are there."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import unquote, urlsplit

from lidclock.errors import InputError

PORT, TLS_PORT = 1883, 8883  # registered for mqtt and secure-mqtt


@dataclass(frozen=True, slots=True)
class Broker:
    """Where the broker is, and who we are there.

    `authorities` is a file of certificates, for a broker that signs its own.
    """

    host: str
    port: int = PORT
    is_encrypted: bool = False
    user: str = ""
    password: str = ""
    client_id: str = "lidclock"
    authorities: str = ""

    def __str__(self) -> str:
        scheme = "mqtts" if self.is_encrypted else "mqtt"
        return f"{scheme}://{self.host}:{self.port}"


def read_broker(text: str) -> Broker:
    """`mqtt://[user@]host[:port]`, or `mqtts://`; InputError says how to write it.

    A password in it is refused: command lines are seen by everyone on a computer.
    """
    try:
        parts = urlsplit(text.strip())
        port = parts.port
    except ValueError as error:
        raise _bad_broker() from error
    is_odd = bool(parts.query or parts.fragment or parts.path not in ("", "/"))
    if parts.scheme not in ("mqtt", "mqtts") or not parts.hostname or is_odd:
        raise _bad_broker()
    if parts.password is not None:
        raise InputError(
            "a password does not belong into an address, where everyone on this "
            "computer sees it; put it into a file (--password-file) or into "
            "LIDCLOCK_MQTT_PASSWORD"
        )
    is_encrypted = parts.scheme == "mqtts"
    return Broker(
        host=parts.hostname,
        port=port or (TLS_PORT if is_encrypted else PORT),
        is_encrypted=is_encrypted,
        user=unquote(parts.username or ""),
    )


def _bad_broker() -> InputError:
    return InputError(
        "that is no broker's address; write it like mqtt://192.0.2.7:1883 or "
        "mqtts://user@host"
    )
