"""Addresses, and what answers at them."""

import pytest

from lidclock.errors import InputError, PrinterError
from lidclock.gateways.printers import checked_address, facts_of_printer
from unit.gateways.conftest import QUICK
from unit.gateways.real_printers import free_port
from unit.gateways.scripted import GET_PRINTER, HANG_UP, Reply, printer_is


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("ipp://192.0.2.7", "ipp://192.0.2.7:631/ipp/print"),
        ("ipp://192.0.2.7/", "ipp://192.0.2.7:631/ipp/print"),
        (" ipp://Bench.local:8631/labels ", "ipp://bench.local:8631/labels"),
        ("ipps://192.0.2.7/ipp/print", "ipps://192.0.2.7:631/ipp/print"),
        ("ipp://[2001:db8::7]/ipp/print", "ipp://[2001:db8::7]:631/ipp/print"),
        ("cups:Office", "cups:Office"),
    ],
)
def test_an_address_is_written_out_whole(typed, meant):
    assert checked_address(typed) == meant


@pytest.mark.parametrize(
    "typed",
    [
        *("", "192.0.2.7", "http://192.0.2.7", "ipp:", "ipp://", "ipp:///ipp/print"),
        *("ipp://192.0.2.7:0x", "ipp://192.0.2.7:99999", "ipp://cook:pw@192.0.2.7"),
        *("ipp://192.0.2.7/a b", "ipp://192.0.2.7/ü", "ipp://192.0.2.7/p?q"),
        *("cups:", "cups:two words", "cups:a/b", "cups:-o", "cups:a#b"),
    ],
)
def test_what_is_no_address_is_refused(typed):
    with pytest.raises(InputError, match=r"no printer's address|names no queue"):
        checked_address(typed)


def reason_at(address):
    """Why nothing can be learned of the printer at an address."""
    with pytest.raises(PrinterError) as caught:
        facts_of_printer("Bench", address, QUICK)
    assert str(caught.value).startswith("Bench")
    return caught.value.reason, str(caught.value)


def test_nobody_listening_is_not_reachable():
    reason, said = reason_at(f"ipp://127.0.0.1:{free_port()}/ipp/print")

    assert reason == "not-reachable"
    assert "is not reachable at ipp://127.0.0.1" in said


def test_a_host_that_cannot_exist_is_not_reachable():
    reason, _ = reason_at(f"ipp://{'a' * 70}.invalid/ipp/print")

    assert reason == "not-reachable"


@pytest.mark.parametrize(
    ("reply", "reason"),
    [
        (Reply(content_type="text/html", body=b"<html>"), "not-ipp"),
        (Reply(body=b"not a message"), "not-ipp"),
        (Reply(body=b""), "not-ipp"),
        (Reply(http_status=500), "not-ipp"),
        (Reply(http_status=404), "wrong-path"),
        (Reply(http_status=401), "not-allowed"),
        (Reply(http_status=403), "not-allowed"),
        (Reply(http_status=426), "not-encrypted"),
        (Reply(status=0x0406), "wrong-path"),
        (Reply(status=0x0401), "not-allowed"),
        (Reply(wrong_id=True), "not-ipp"),
        (HANG_UP, "not-reachable"),
    ],
)
def test_an_answer_that_is_none_is_told_apart(scripted, reply, reason):
    scripted.script = {GET_PRINTER: [reply]}

    assert reason_at(scripted.address)[0] == reason


def test_a_printer_of_the_first_version_is_spoken_to_in_it(scripted):
    """0x0503 is server-error-version-not-supported: RFC 8011, appendix B.1.5.4."""
    scripted.script = {GET_PRINTER: [Reply(status=0x0503), printer_is()]}
    facts = facts_of_printer("Bench", scripted.address, QUICK)

    assert facts.state == "idle"
    assert [body[:2] for body in scripted.bodies(GET_PRINTER)] == [
        b"\x02\0",
        b"\x01\x01",
    ]
