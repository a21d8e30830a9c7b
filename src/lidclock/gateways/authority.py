"""A certificate authority of one kitchen, and certificates for its server.

Profiles follow RFC 5280. The authority may vouch for names of a home network and the
hosts it was made for only (section 4.2.1.10), so that a phone that trusts it trusts it
for nothing else, even if its key is stolen.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from lidclock.errors import StoreError

AUTHORITY_LASTS = timedelta(days=3650)
# CA/Browser Forum, Baseline Requirements 6.3.2 (2020): at most 398 days, 397 advised.
SERVER_LASTS = timedelta(days=397)
RENEWED_WITHIN = timedelta(days=60)
# Phones' clocks may be behind.
_BACKDATED = timedelta(days=1)
# Multicast DNS (RFC 6762), home networks (RFC 8375), private use (ICANN, 2024).
_HOME_NAMES = ("local", "localhost", "home.arpa", "internal")
# Private, link-local and loopback: RFC 1918, RFC 3927, RFC 4193, RFC 4291.
_HOME_NETWORKS = (
    *("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16"),
    *("127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"),
)
_USAGE = dict.fromkeys(
    (
        *("digital_signature", "content_commitment", "key_encipherment"),
        *("data_encipherment", "key_agreement", "key_cert_sign", "crl_sign"),
        *("encipher_only", "decipher_only"),
    ),
    False,
)


@dataclass(frozen=True, slots=True)
class Pair:
    """A key and its certificate, both as PEM."""

    key: bytes
    certificate: bytes


def make_authority(kitchen: str, hosts: Sequence[str], now: datetime) -> Pair:
    """A new authority, allowed to vouch for home networks and `hosts`."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name(f"lidclock, {kitchen}")
    public = key.public_key()
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _BACKDATED)
        .not_valid_after(now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage("key_cert_sign", "crl_sign"), critical=True)
        .add_extension(
            x509.SubjectKeyIdentifier.from_public_key(public), critical=False
        )
        .add_extension(x509.NameConstraints(_permitted(hosts), None), critical=True)
        .sign(key, hashes.SHA256())
    )
    return _pair(key, made)


def issue(authority: Pair, hosts: Sequence[str], now: datetime) -> Pair:
    """A key and certificate for a server that is reached as any of `hosts`."""
    issuer = _certificate(authority.certificate)
    signer = _key(authority.key)
    key = ec.generate_private_key(ec.SECP256R1())
    ends = min(now - _BACKDATED + SERVER_LASTS, issuer.not_valid_after_utc)
    made = (
        x509.CertificateBuilder()
        .subject_name(_name("lidclock"))
        .issuer_name(issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _BACKDATED)
        .not_valid_after(ends)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage("digital_signature"), critical=True)
        .add_extension(
            x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False
        )
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()),
            critical=False,
        )
        .add_extension(
            x509.SubjectAlternativeName([_general(host) for host in hosts]),
            critical=False,
        )
        .sign(signer, hashes.SHA256())
    )
    return _pair(key, made)


def not_covered(authority: Pair, hosts: Iterable[str]) -> list[str]:
    """The hosts that the authority may not vouch for."""
    found = _certificate(authority.certificate).extensions
    try:
        limits = found.get_extension_for_class(x509.NameConstraints).value
    except x509.ExtensionNotFound:
        return []
    allowed = [one.value for one in limits.permitted_subtrees or ()]
    return [host for host in hosts if not _is_within(host, allowed)]


def still_serves(
    server: Pair, authority: Pair, hosts: Iterable[str], now: datetime
) -> bool:
    """Whether a certificate is of this authority, names all hosts and lasts a while."""
    try:
        certificate = _certificate(server.certificate)
        certificate.verify_directly_issued_by(_certificate(authority.certificate))
        _key(server.key)
        names = certificate.extensions.get_extension_for_class(
            x509.SubjectAlternativeName
        ).value
    except (
        ValueError,
        TypeError,
        StoreError,
        InvalidSignature,
        x509.ExtensionNotFound,
    ):
        return False
    known = {str(one.value) for one in names}
    lasts = certificate.not_valid_after_utc - now > RENEWED_WITHIN
    return lasts and certificate.not_valid_before_utc <= now and known >= {*hosts}


def is_usable(authority: Pair, now: datetime) -> bool:
    """Whether an authority is one, fits its key, and is not at its end.

    StoreError if it cannot be read at all.
    """
    certificate, key = _certificate(authority.certificate), _key(authority.key)
    fits = certificate.public_key() == key.public_key()
    return fits and certificate.not_valid_after_utc - now > RENEWED_WITHIN


def as_der(certificate: bytes) -> bytes:
    """A certificate the way phones take it for an authority's."""
    return _certificate(certificate).public_bytes(serialization.Encoding.DER)


def fingerprint(certificate: bytes) -> str:
    """Its SHA-256, as systems show it to be compared: `AB:CD:...`."""
    return _certificate(certificate).fingerprint(hashes.SHA256()).hex(":").upper()


def _certificate(pem: bytes) -> x509.Certificate:
    try:
        return x509.load_pem_x509_certificate(pem)
    except ValueError as error:
        raise StoreError("a certificate beside the database is damaged") from error


def _key(pem: bytes) -> ec.EllipticCurvePrivateKey:
    try:
        key = serialization.load_pem_private_key(pem, password=None)
    except (ValueError, TypeError) as error:
        raise StoreError("a key beside the database is damaged") from error
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise StoreError("a key beside the database is of another kind")
    return key


def _pair(key: ec.EllipticCurvePrivateKey, certificate: x509.Certificate) -> Pair:
    plain = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    return Pair(plain, certificate.public_bytes(serialization.Encoding.PEM))


def _name(common: str) -> x509.Name:
    # A common name has at most 64 characters: RFC 5280, appendix A.1.
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common[:64])])


def _usage(*wanted: str) -> x509.KeyUsage:
    return x509.KeyUsage(**{**_USAGE, **dict.fromkeys(wanted, True)})


def _address(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None


def _general(host: str) -> x509.GeneralName:
    address = _address(host)
    return x509.DNSName(host) if address is None else x509.IPAddress(address)


def _permitted(hosts: Sequence[str]) -> list[x509.GeneralName]:
    networks = [ipaddress.ip_network(one) for one in _HOME_NETWORKS]
    names = [*_HOME_NAMES, *(one for one in hosts if _address(one) is None)]
    own = [
        ipaddress.ip_network(address)
        for address in map(_address, hosts)
        if address and not any(address in network for network in networks)
    ]
    return [
        *(x509.DNSName(name) for name in dict.fromkeys(names)),
        *(x509.IPAddress(network) for network in dict.fromkeys([*networks, *own])),
    ]


def _is_within(host: str, allowed: Sequence[object]) -> bool:
    address = _address(host)
    if address is None:
        names = [one for one in allowed if isinstance(one, str)]
        return any(host == name or host.endswith("." + name) for name in names)
    networks = (ipaddress.IPv4Network, ipaddress.IPv6Network)
    return any(address in one for one in allowed if isinstance(one, networks))
