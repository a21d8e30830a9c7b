"""Who sent a request, as its events will bear it."""

from types import SimpleNamespace

from lidclock.web.api.parts import sender_of


def request(**state):
    return SimpleNamespace(state=SimpleNamespace(**state))


def test_a_person_on_a_device_of_their_own():
    person = SimpleNamespace(handle="ann", device="phone-1", role="helper")

    assert sender_of(request(person=person)) == ("ann", "phone-1")


def test_nobody_in_particular_on_the_machine_that_serves():
    owner = SimpleNamespace(handle="", role="owner")

    assert sender_of(request(person=owner)) == ("", "page")
    assert sender_of(request(person=None)) == ("", "page")
    assert sender_of(request()) == ("", "page")
