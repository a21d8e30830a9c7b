"""Checks of thermometers on the command line: listed, due, set."""

import pytest

NOON = "2026-11-02T12:00"


@pytest.fixture
def probe(cook):
    """A kitchen at noon on Monday with a probe in the fridge."""
    cook.now = NOON
    cook.run("temp", "sensor", "add", "Probe", "--place", "Fridge", "--every", "1h")
    return cook


def listed(cook):
    return cook.see("temp", "sensor", "list").rstrip()


def test_the_list_says_when_and_how_each_was_checked(probe):
    assert listed(probe).endswith("never checked")
    probe.run("temp", "offset", "Probe", "--ice-point", "0.2C", "--at", "today 9:00")
    assert listed(probe).endswith("checked Mon 2 Nov in ice, next by Wed 2 Dec")
    probe.run("temp", "offset", "Probe", "--boiling-point", "99.9C")
    assert listed(probe).endswith("in boiling water, next by Wed 2 Dec")
    (facts,) = probe.data("temp", "sensor", "list")

    assert (facts["checked_by"], facts["check_every_days"]) == ("boiling-point", 30)
    assert facts["checked_at"] == "2026-11-02T12:00:00-05:00"
    probe.now = "2026-12-03T12:00"
    assert listed(probe).endswith("was due Wed 2 Dec")


def test_a_check_that_is_due_is_told_last_and_wakes_nobody(probe):
    probe.run("temp", "Fridge", "3C", "--sensor", "Probe")
    calm = probe.run("alert").stdout

    assert calm == (
        "thermometer  Probe  Fridge  never checked: put it in crushed ice with water "
        "and record what it says with `lidclock temp offset 'Probe' --ice-point "
        "TEMP`\n"
    )
    probe.now = "2026-11-02T12:30"
    probe.run("temp", "Fridge", "9C", "--sensor", "Probe")
    lines = probe.run("alert", code=3).stdout.splitlines()
    assert [line.split()[0] for line in lines] == ["excursion", "thermometer"]
    kinds = [one["kind"] for one in probe.data("alert", code=3)]
    assert kinds == ["excursion", "thermometer"]


def test_a_kitchen_says_how_often(probe):
    said = probe.see("temp", "sensor", "check-every", "probe", "14d")
    offset = probe.see("temp", "offset", "Probe", "--ice-point", "0.2C")

    assert said == "Probe: to be checked every 14 d\n"
    assert offset.splitlines()[2] == "check again by Mon 16 Nov"
    assert probe.see("temp", "sensor", "check-every", "Probe", "usual") == (
        "Probe: to be checked every 30 d (common practice, no source)\n"
    )
    assert "1 to 366 days" in probe.fail(2, "temp", "sensor", "check-every", "Probe",
                                         "1h")  # fmt: skip


def test_two_points_that_do_not_agree_are_told_everywhere(probe):
    probe.run("temp", "offset", "Probe", "--ice-point", "0.5C", "--at", "today 9:00")
    said = probe.see("temp", "offset", "Probe", "--boiling-point", "98.8C")
    words = (
        "ice and boiling water of one day 1.7 °C apart, more than 1.5 °C: no one "
        "offset puts it right, replace it"
    )

    assert said.splitlines()[-1] == words
    assert listed(probe).endswith(words)
    probe.run("temp", "Fridge", "3C", "--sensor", "Probe")
    assert words in probe.run("alert").stdout
