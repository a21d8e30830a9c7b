"""Where a machine is found: addresses that others can use."""

import ipaddress
import socket

import pytest

from lidclock.gateways import network


@pytest.mark.parametrize("host", ["127.0.0.1", "127.9.9.9", "localhost", "[::1]"])
def test_loopback_is_this_machine_alone(host):
    assert network.is_loopback(host)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.7", "kitchen.local", ""])
def test_anything_else_is_not(host):
    assert not network.is_loopback(host)


def test_own_addresses_are_such_as_others_can_use():
    found = [ipaddress.ip_address(one) for one in network.own_addresses()]

    assert not [one for one in found if one.is_loopback or one.is_link_local]
    assert [one.version for one in found] == sorted(one.version for one in found)


def test_a_service_that_may_ask_for_nothing_still_starts(monkeypatch):
    """As under RestrictAddressFamilies= without netlink, and without a network."""

    def refuse(*_args, **_more):
        raise OSError("not allowed")

    monkeypatch.setattr(socket, "if_nameindex", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setattr(network, "_INTERFACES6", network.Path("nowhere"))

    assert network.own_addresses() == []
    assert network.local_name() == ""


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("Kitchen.example", "kitchen"),
        ("fridge-2", "fridge-2"),
        ("localhost", ""),
        ("küche", ""),
        ("a b", ""),
        ("", ""),
    ],
)
def test_a_host_name_is_one_that_browsers_can_send(monkeypatch, name, found):
    monkeypatch.setattr(socket, "gethostname", lambda: name)

    assert network.host_name() == found


def test_a_local_name_is_told_only_where_it_leads_here(monkeypatch):
    monkeypatch.setattr(socket, "gethostname", lambda: "kitchen")
    monkeypatch.setattr(network, "own_addresses", lambda: ["192.0.2.7"])

    def leads_to(address):
        answer = [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (address, 0))]
        monkeypatch.setattr(socket, "getaddrinfo", lambda *_a, **_k: answer)
        return network.local_name()

    assert leads_to("192.0.2.7") == "kitchen.local"
    assert leads_to("192.0.2.99") == ""
