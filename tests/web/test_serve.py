"""`lidclock serve` as a process of its own: addresses, certificates, start and stop."""

import os
import shutil
import signal
import socket
import ssl
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import ClassVar

import httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization

from lidclock.app import people, serving, setup
from lidclock.app.certificates import certificates
from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen
from lidclock.errors import InputError, RefusedError, StoreError
from lidclock.gateways import authority
from lidclock.web import server
from page_server import Visitor
from serving_process import ADDRESS, command, running

NOW = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
PASSWORD = "three warm brown loaves"
HOSTS = ("127.0.0.1", "localhost", "::1", "kitchen.local", "192.168.7.9")


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A kitchen without a password, with a name of its own on its labels."""
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(
        path, Kitchen("", "Test kitchen", "Europe/Paris", symbol_base="HTTP://LID.TEST")
    )
    return path


@pytest.fixture
def session(kitchen: Path) -> Iterator[Session]:
    found = Session.open(kitchen, now=NOW)
    yield found
    found.close()


def refused(path: Path, *words: str) -> tuple[int, str]:
    done = subprocess.run(
        command(path, *words), capture_output=True, text=True, timeout=60, check=False
    )
    return done.returncode, done.stderr


# The program


def test_on_loopback_it_serves_at_once_and_stops_when_told(kitchen):
    with running(kitchen) as page:
        answer = httpx.get(f"http://localhost:{page.port}/", timeout=30)
        code = page.stop()

    assert answer.status_code == 200
    assert page.said[0] == "Test kitchen is served at"
    assert "this machine only" in page.said[2]
    assert code == 0


def test_ctrl_c_ends_it_without_a_complaint(kitchen):
    with running(kitchen) as page:
        httpx.get(f"http://localhost:{page.port}/", timeout=30)
        code = page.stop(signal.SIGINT)
        left = page.process.stderr.read()

    assert code == 0
    assert left == ""


def test_the_password_is_asked_for_twice_and_not_shown(kitchen):
    """Without a terminal, as here, it comes in by the standard input."""
    words = ("--set-password",)
    with running(kitchen, *words, typed=f"{PASSWORD}\n{PASSWORD}\n") as page:
        page.stop()
        said = "\n".join(page.said) + page.process.stderr.read()
    session = Session.open(kitchen, now=NOW)
    is_kept = people.is_password(session, PASSWORD)
    session.close()

    assert is_kept
    assert "password set" in said
    assert PASSWORD not in said


def test_it_is_not_served_to_others_without_a_password(kitchen):
    code, says = refused(kitchen, "--host", "0.0.0.0")
    behind, says_behind = refused(kitchen, "--allow-host", "kitchen.example")

    assert (code, behind) == (13, 13)
    assert "--set-password" in says
    assert "--set-password" in says_behind


def test_a_port_in_use_is_an_error_in_words(kitchen):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        code, says = refused(kitchen, "--port", str(taken.getsockname()[1]))

    assert code == 19
    assert "in use" in says
    assert "--port" in says


def test_no_kitchen_is_an_error_in_words(tmp_path):
    code, says = refused(tmp_path / "none.db")

    assert code == 14
    assert "lidclock init" in says


@pytest.mark.parametrize("host", ["nope.invalid", "203.0.113.9", "a b"])
def test_a_host_that_is_not_ours_is_an_error_in_words(kitchen, host):
    (kitchen.parent / "pw").write_text(PASSWORD, encoding="utf-8")
    words = ("--host", host, "--password-file", str(kitchen.parent / "pw"))
    code, says = refused(kitchen, *words)

    assert code in (2, 19)
    assert "--host" in says or "no host" in says


def test_over_tls_the_page_is_trusted_by_its_authority_alone(kitchen):
    """A real handshake; another authority's word is not taken."""
    secret = kitchen.parent / "pw"
    secret.write_text(PASSWORD + "\n", encoding="utf-8")
    words = ("--host", "0.0.0.0", "--https", "--password-file", str(secret))
    with running(kitchen, *words) as page:
        base = f"https://127.0.0.1:{page.port}"
        trusted = ssl.create_default_context(cafile=f"{kitchen}-authority.crt")
        with Visitor(base_url=base, verify=trusted) as visitor:
            login = visitor.submit("/login", "/login", password=PASSWORD)
            card = visitor.get("/")
            trust = visitor.get("/trust")
            certificate = visitor.get("/trust/authority.crt")
        with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
            httpx.get(base, timeout=30)
        code = page.stop()
    cookies = login.headers.get_list("set-cookie")
    found = x509.load_der_x509_certificate(certificate.content)

    assert "password set" in page.said[0]
    assert (login.status_code, card.status_code, code) == (303, 200, 0)
    assert cookies[0].startswith("__Host-lidclock_visit=")
    assert all("Secure" in one and "HttpOnly" in one for one in cookies)
    assert certificate.headers["content-type"] == "application/x-x509-ca-cert"
    assert authority.fingerprint(_pem(found)) in trust.text
    assert any(authority.fingerprint(_pem(found)) in line for line in page.said)
    assert os.stat(f"{kitchen}-authority.key").st_mode & 0o777 == 0o600
    assert os.stat(f"{kitchen}-server.key").st_mode & 0o777 == 0o600


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def test_without_a_certificate_the_page_says_what_still_works(kitchen, session):
    people.set_password(session, PASSWORD)
    with running(kitchen, "--host", "0.0.0.0") as page:
        host = ADDRESS.search(page.said[1])[2]
        found = httpx.get(
            f"http://127.0.0.1:{page.port}/trust",
            headers={"host": f"{host}:{page.port}"},
            timeout=30,
        )

    assert any("not encrypted" in line for line in page.said)
    assert "without a certificate" in found.text
    assert "live camera" in found.text


# Who may come, and under which name


def test_loopback_alone_is_open_and_anything_else_is_not(session, kitchen):
    people.set_password(session, PASSWORD)

    def is_open(host: str, *allowed: str) -> bool:
        wish = serving.Wish(host, allowed=allowed)
        return serving.plan_serving(session, wish, kitchen).is_open

    assert is_open("127.0.0.1")
    assert is_open("localhost", "localhost")
    assert is_open("::1")
    assert not is_open("0.0.0.0")
    assert not is_open("::")
    assert not is_open("127.0.0.1", "kitchen.example")


def test_the_host_on_the_labels_is_answered_in_the_network(session, kitchen):
    people.set_password(session, PASSWORD)
    wide = serving.plan_serving(session, serving.Wish("0.0.0.0"), kitchen)
    narrow = serving.plan_serving(session, serving.Wish(), kitchen)

    assert "lid.test" in wide.hosts
    assert "lid.test" not in narrow.hosts


def test_nobody_is_told_to_go_on_without_a_password(session, kitchen):
    with pytest.raises(RefusedError, match="--set-password"):
        serving.plan_serving(session, serving.Wish("0.0.0.0"), kitchen)


@pytest.mark.parametrize(
    ("text", "host"),
    [
        ("Kitchen.Local.", "kitchen.local"),
        ("[2001:DB8::1]", "2001:db8::1"),
        (" 192.0.2.7 ", "192.0.2.7"),
        ("kitchen", "kitchen"),
    ],
)
def test_a_host_is_read_as_browsers_send_it(text, host):
    assert serving.checked_host(text) == host


@pytest.mark.parametrize(
    "text",
    [
        *("", "http://x", "x:80", "a b", "x/y", "*", "x\r\nSet-Cookie: a=b", "-x"),
        *("x..y", "a" * 64, "a." * 127 + "aa", "küche.local", "192.0.2.7/24"),
    ],
)
def test_what_is_no_host_is_refused(text):
    with pytest.raises(InputError, match="is no host"):
        serving.checked_host(text)


@pytest.mark.parametrize(
    ("host", "port", "is_https", "address"),
    [
        ("192.0.2.7", 8420, False, "http://192.0.2.7:8420"),
        ("2001:db8::1", 8420, True, "https://[2001:db8::1]:8420"),
        ("kitchen.local", 80, False, "http://kitchen.local"),
        ("kitchen.local", 443, True, "https://kitchen.local"),
        ("kitchen.local", 443, False, "http://kitchen.local:443"),
    ],
)
def test_an_address_leaves_the_usual_port_out(host, port, is_https, address):
    assert serving.address_of(host, port, is_https=is_https) == address


@pytest.mark.parametrize("text", ["", "\n", "   \nsecond"])
def test_an_empty_password_file_is_refused(tmp_path, text):
    file = tmp_path / "pw"
    file.write_text(text, encoding="utf-8")

    with pytest.raises(InputError, match="first line"):
        serving.password_in(file)


# Certificates

AT = ["-attime", str(int(NOW.timestamp()))]


def openssl_verify(root: Path, certificate: Path, *more: str) -> tuple[bool, str]:
    """What the system's own OpenSSL makes of a certificate, at NOW."""
    if shutil.which("openssl") is None:
        pytest.skip("no openssl here")
    words = ["openssl", "verify", *AT, "-CAfile", str(root), *more, str(certificate)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    return done.returncode == 0, done.stdout + done.stderr


def made(kitchen: Path, hosts: tuple[str, ...] = HOSTS, now: datetime = NOW):
    found = certificates(kitchen, "Test kitchen", hosts, now)
    return found, x509.load_pem_x509_certificate(found.certificate.read_bytes())


def root_of(found) -> x509.Certificate:
    return x509.load_pem_x509_certificate(found.authority.read_bytes())


def test_a_certificate_names_every_host_for_397_days_at_most(kitchen):
    _, server = made(kitchen)
    names = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value

    assert {str(one.value) for one in names} == {*HOSTS}
    lasts = server.not_valid_after_utc - server.not_valid_before_utc
    assert lasts == timedelta(days=397)


@pytest.mark.parametrize(
    ("kind", "name", "is_taken"),
    [
        ("-verify_hostname", "kitchen.local", True),
        ("-verify_hostname", "localhost", True),
        ("-verify_ip", "192.168.7.9", True),
        ("-verify_ip", "::1", True),
        ("-verify_hostname", "bank.example", False),
        ("-verify_ip", "192.168.7.8", False),
    ],
)
def test_openssl_takes_the_chain_for_its_names_alone(kitchen, kind, name, is_taken):
    found, _ = made(kitchen)
    words = (found.authority, found.certificate, "-x509_strict", kind, name)

    assert openssl_verify(*words)[0] is is_taken


@pytest.mark.parametrize("host", ["bank.example", "local.example", "203.0.113.9"])
def test_the_authority_cannot_vouch_for_another_site(kitchen, host):
    """OpenSSL refuses what its name constraints do not permit: RFC 5280, 4.2.1.10."""
    found, _ = made(kitchen)
    key = Path(f"{kitchen}-authority.key").read_bytes()
    pair = authority.Pair(key, found.authority.read_bytes())
    found.certificate.write_bytes(authority.issue(pair, [host], NOW).certificate)
    is_taken, says = openssl_verify(found.authority, found.certificate)

    assert not is_taken
    assert "permitted subtree violation" in says


def test_it_is_kept_until_near_its_end_and_the_authority_longer(kitchen):
    first_found, first = made(kitchen)
    root = root_of(first_found)
    _, same = made(kitchen, now=NOW + timedelta(days=335))
    _, renewed = made(kitchen, now=NOW + timedelta(days=337))

    assert same.serial_number == first.serial_number
    assert renewed.serial_number != first.serial_number
    assert root_of(first_found) == root


def test_a_new_host_gets_a_new_certificate_of_the_same_authority(kitchen):
    found, first = made(kitchen)
    root = root_of(found)
    _, second = made(kitchen, (*HOSTS, "192.168.7.10"))

    assert second.serial_number != first.serial_number
    assert root_of(found) == root


def test_a_host_outside_of_what_the_authority_may_is_told(kitchen):
    made(kitchen)

    with pytest.raises(StoreError, match=r"may not vouch for kitchen\.example"):
        made(kitchen, (*HOSTS, "kitchen.example"))


def test_an_authority_is_made_for_the_hosts_of_its_first_day(kitchen):
    """One that is named at the start is permitted, though it is no home network's."""
    hosts = (*HOSTS, "kitchen.example", "203.0.113.9")
    _, server = made(kitchen, hosts)

    assert server is not None
    assert made(kitchen, hosts)[1].serial_number == server.serial_number


@pytest.mark.parametrize("ending", ["authority.key", "authority.crt"])
def test_a_damaged_authority_is_told_and_never_replaced_silently(kitchen, ending):
    made(kitchen)
    Path(f"{kitchen}-{ending}").write_text("nonsense", encoding="utf-8")

    with pytest.raises(StoreError, match="damaged"):
        made(kitchen)


def test_a_damaged_server_certificate_is_made_anew(kitchen):
    found, _ = made(kitchen)
    found.certificate.write_text("nonsense", encoding="utf-8")

    assert made(kitchen)[1].issuer == root_of(found).subject


def test_a_key_that_others_may_read_is_closed_again(kitchen):
    made(kitchen)
    key = Path(f"{kitchen}-authority.key")
    key.chmod(0o644)
    made(kitchen)

    assert key.stat().st_mode & 0o777 == 0o600


def test_a_running_server_takes_up_its_renewed_certificate(kitchen, session):
    """A day after day, without a restart."""
    people.set_password(session, PASSWORD)
    wish = serving.Wish("0.0.0.0", is_https=True)
    planned = serving.plan_serving(session, wish, kitchen)
    first = planned.certificates.certificate.read_bytes()
    now = [NOW]

    class Days:
        """Three nights: the second one is a year later."""

        nights = 0

        def wait(self, _seconds: float) -> bool:
            self.nights += 1
            now[0] = NOW + timedelta(days=350 if self.nights == 2 else 1)
            return self.nights > 2

    class Context:
        loaded: ClassVar[list[bytes]] = []

        def load_cert_chain(self, certificate: Path, _key: Path) -> None:
            self.loaded.append(certificate.read_bytes())

    server.Renewal(kitchen, planned, lambda: now[0], Context()).until(Days())

    assert len(Context.loaded) == 1
    assert Context.loaded[0] != first


def test_a_day_on_which_the_certificate_cannot_be_renewed_is_not_the_last(
    kitchen, session, caplog
):
    """The folder was gone for a night, as a drive that is not mounted."""
    people.set_password(session, PASSWORD)
    wish = serving.Wish("0.0.0.0", is_https=True)
    planned = serving.plan_serving(session, wish, kitchen)
    away = kitchen.with_name("away.db")

    class Days:
        nights = 0

        def wait(self, _seconds: float) -> bool:
            self.nights += 1
            if self.nights == 1:
                kitchen.rename(away)
            elif self.nights == 2:
                away.rename(kitchen)
            return self.nights > 2

    class Context:
        loaded: ClassVar[list[Path]] = []

        def load_cert_chain(self, certificate: Path, _key: Path) -> None:
            self.loaded.append(certificate)

    late = NOW + timedelta(days=350)
    server.Renewal(kitchen, planned, lambda: late, Context()).until(Days())

    assert Context.loaded == [planned.certificates.certificate]
    assert "could not be looked after" in caplog.text
