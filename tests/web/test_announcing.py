"""The page announced in its network, as another program there finds it."""

import json
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from socket import inet_aton

import pytest
from cryptography import x509
from zeroconf import IPVersion, ServiceInfo, Zeroconf

from lidclock.app import people, serving, setup
from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen
from lidclock.errors import GatewayError
from lidclock.gateways.announcing import (
    LocalName,
    announced,
    free_name,
    instance_of,
)
from lidclock.gateways.network import own_addresses
from serving_process import running

pytestmark = pytest.mark.apart
NOW = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
PASSWORD = "three warm brown loaves"
NAME = "Test kitchen, Rue du Levain"
# Long enough for an answer on a busy machine; who finds something stops sooner.
_LONG_MS, _BRIEF_MS = 8000, 2500
# A program of its own that looks for one service, by python-zeroconf's own browser.
_SEEKER = """
import json, sys
from threading import Event
from zeroconf import ServiceBrowser, Zeroconf
kind, wanted, ms = sys.argv[1], sys.argv[2], int(sys.argv[3])
line, seen = Zeroconf(), Event()
class Listener:
    def add_service(self, line, kind, name):
        if name == f"{wanted}.{kind}":
            seen.set()
    update_service = remove_service = add_service
ServiceBrowser(line, kind, Listener())
found = None
if seen.wait(ms / 1000):
    one = line.get_service_info(kind, f"{wanted}.{kind}", ms)
    if one is not None:
        path = one.properties.get(b"path", b"").decode()
        found = [one.server, one.port, one.parsed_addresses(), path]
print(json.dumps(found))
line.close()
"""


def _own() -> list[str]:
    return [one for one in own_addresses() if ":" not in one]


@contextmanager
def _elsewhere(name: str, address: str, port: int) -> Iterator[None]:
    """Another machine of the network, as far as anybody can hear."""
    kind = "_http._tcp.local."
    info = ServiceInfo(
        *(kind, f"{name} elsewhere.{kind}"),
        port=port,
        server=f"{name}.local.",
        addresses=[inet_aton(address)],
    )
    line = Zeroconf(interfaces=_own(), ip_version=IPVersion.V4Only)
    try:
        line.register_service(info)
        yield
    finally:
        line.close()


def sought(kind: str, ms: int, name: str = NAME) -> list[object] | None:
    """What a second program finds: host, port, addresses, path; None if nothing."""
    done = subprocess.run(
        [sys.executable, "-c", _SEEKER, f"{kind}._tcp.local.", name, str(ms)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    return json.loads(done.stdout)


@pytest.fixture(scope="module", autouse=True)
def _multicast() -> None:
    """Skip where nothing is heard though somebody speaks."""
    if not _own():
        pytest.skip("this machine has no address in any network")

    def listen() -> list[object] | None:
        with _elsewhere("heard-by-test", _own()[0], 9):
            return sought("_http", _LONG_MS, "heard-by-test elsewhere")

    try:
        with ThreadPoolExecutor(1) as thread:
            heard = thread.submit(listen).result()
    except OSError as error:
        pytest.skip(f"no multicast here: {error}")
    if heard is None:
        pytest.skip("no multicast here: nothing is heard of what is announced")


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A kitchen with a password, whose labels lead to a name of this network."""
    path = tmp_path / "kitchen.db"
    base = "HTTP://LID-TEST.LOCAL:8420"
    setup.init_kitchen(path, Kitchen("", NAME, "Europe/Paris", symbol_base=base))
    session = Session.open(path, now=NOW)
    people.set_password(session, PASSWORD)
    session.close()
    return path


def test_another_program_finds_the_page_until_it_stops(kitchen):
    with running(kitchen, "--host", "0.0.0.0") as page:
        found = sought("_http", _LONG_MS)
        page.stop()
        after = sought("_http", _BRIEF_MS)

    assert found == ["lid-test.local.", page.port, _own(), "/"]
    assert f"  http://lid-test.local:{page.port}/" in page.said
    assert "announced in this network as lid-test.local" in page.said
    # Not every phone asks for such names: the address in numbers comes first.
    assert page.said[1] == f"  http://{_own()[0]}:{page.port}/"
    assert after is None


def test_with_a_certificate_it_is_another_service_and_the_name_is_vouched_for(kitchen):
    with running(kitchen, "--host", "0.0.0.0", "--https") as page:
        found = sought("_https", _LONG_MS)

    file = kitchen.with_name("kitchen.db-server.crt")
    names = (
        x509.load_pem_x509_certificate(file.read_bytes())
        .extensions.get_extension_for_class(x509.SubjectAlternativeName)
        .value.get_values_for_type(x509.DNSName)
    )
    assert found == ["lid-test.local.", page.port, _own(), "/"]
    assert "lid-test.local" in names


@pytest.mark.parametrize(
    "words",
    [("--host", "0.0.0.0", "--no-announce"), ("--allow-host", "kitchen.example")],
    ids=["told not to", "loopback alone"],
)
def test_nothing_is_announced(kitchen, words):
    with running(kitchen, *words) as page:
        found = sought("_http", _BRIEF_MS)

    assert found is None
    assert not any("announced" in line for line in page.said)


def test_a_name_that_another_machine_holds_is_left_to_it():
    with _elsewhere("lid-taken", "198.51.100.7", 80):
        found = free_name("lid-taken", _own(), _own())

    assert found.name == "lid-taken-2.local"
    assert found.addresses == tuple(_own())


def test_a_name_that_this_machine_holds_already_is_used_and_not_told_again():
    with _elsewhere("lid-avahi", _own()[0], 80):
        found = free_name("lid-avahi", _own(), _own())
        with announced(found, "Held", 8420, is_https=False):
            seen = sought("_http", _LONG_MS, "Held")

    assert (found.name, found.addresses) == ("lid-avahi.local", ())
    assert seen[:2] == ["lid-avahi.local.", 8420]


def test_an_address_that_is_not_ours_is_told_in_words():
    with pytest.raises(GatewayError, match="takes no announcement"):
        free_name("lid-test", ["203.0.113.9"], ["203.0.113.9"])


def test_what_cannot_be_announced_after_all_is_served_without():
    """Between the plan and the start a network may go."""
    gone = LocalName("lid-test.local", ("203.0.113.9",), ("203.0.113.9",))
    hosts = ("192.0.2.7", "lid-test.local")
    plan = serving.Serving("0.0.0.0", hosts, hosts, is_open=False, announced=gone)
    with serving.announced(plan, NAME, 8420) as found:
        addresses = serving.addresses_of(found, 8420)

    assert addresses == ["http://192.0.2.7:8420"]
    assert found.announced is None
    assert "takes no announcement" in found.unannounced


def test_the_name_is_answered_to_and_loopback_has_none(kitchen):
    session = Session.open(kitchen, now=NOW)
    wide = serving.plan_serving(
        session, serving.Wish("0.0.0.0", is_announced=True), kitchen
    )
    alone = serving.plan_serving(session, serving.Wish(is_announced=True), kitchen)
    session.close()

    assert "lid-test.local" in wide.hosts
    assert alone.announced is None
    assert alone.unannounced == ""


@pytest.mark.parametrize(
    ("kitchen_name", "instance"),
    [
        ("Küche", "Küche"),
        ("a\tb.", "a b"),
        ("ü" * 40, "ü" * 31),
        ("...", "lidclock"),
    ],
)
def test_a_kitchen_is_named_in_63_bytes_at_most(kitchen_name, instance):
    """RFC 6763, section 4.1.1."""
    assert instance_of(kitchen_name) == instance
