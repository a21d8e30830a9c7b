"""`scan --set-up`: a German or French host is learnt once, and put right then."""

import json

import pytest

from lidclock.scan.keyboard import SET_UP_TEXT

# As in tests/external/test_keyboard_layouts.py; the French one is from memory.
GERMAN = str.maketrans("YZ/:-*&?_]=", "ZY-Ößä/_?+#")
FRENCH = str.maketrans("0123456789AQWZM-./:%$*&?_]", "à&é\"'(-è_çQAZW?):!M5487§°$")


@pytest.fixture
def french(stew):
    """A kitchen with stew, at a French keyboard that was set up."""
    stew.run("scan", "--set-up", given=SET_UP_TEXT.translate(FRENCH) + "\n")
    return stew


def scans(*lines):
    return "".join(f"{line}\n" for line in lines).translate(FRENCH)


def test_set_up_says_what_to_do_and_what_it_found(stew):
    seen = stew.see("scan", "--set-up", given=SET_UP_TEXT.translate(GERMAN) + "\r\n")

    first, last = seen.splitlines()
    assert first.startswith("scan the set-up symbol now, once")
    assert "lidclock label --actions" in first
    assert last == (
        "this keyboard looks like QWERTZ, as in Germany and its neighbours; "
        "11 symbols put right in every scan from now on"
    )


def test_a_keyboard_that_changes_nothing_is_told_so(stew):
    seen = stew.see("scan", "--set-up", given=SET_UP_TEXT + "\n")

    assert seen.endswith("looks like a US keyboard; nothing to put right\n")


def test_lids_and_actions_are_read_as_printed(french):
    code = french.codes()[0]
    address = f"HTTP://LIDCLOCK.LOCAL/C/{code}"

    seen = french.see("scan", given=scans("TO=2", code, "DONE", address))

    told = seen.splitlines()
    assert told[0] == "now scan the lids that go into Freezer"
    assert told[1].endswith("frozen; 3 days left after thawing")
    assert told[3].startswith(f"{code[:3]} {code[3:]} stew, box 1 of 3: frozen")


def test_what_hands_type_counts_as_well(french):
    code = french.codes()[0]

    seen = french.see("scan", given=f"use\n{code}\n")

    assert seen.splitlines()[1].endswith("box 1 of 3: used")


def test_one_scanned_code_may_stand_in_the_command(french):
    code = french.codes()[0]

    seen = french.see("scan", "--", code.translate(FRENCH))

    assert seen.startswith(code[:3])


def test_it_is_kept_for_this_device_only(french, monkeypatch):
    assert french.see("scan", given=scans("THAW")) == "thaw: now scan the lids\n"

    monkeypatch.setenv("LIDCLOCK_DEVICE", "the other one")

    assert french.see("scan", given=scans("THAW")).startswith("! 'THQZ'")


def test_it_can_be_forgotten(french):
    seen = french.see("scan", "--set-up", "--forget")

    assert "is forgotten" in seen
    assert french.see("scan", given=scans("THAW")).startswith("! 'THQZ'")
    assert "was not set up" in french.see("scan", "--set-up", "--forget")


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("", "nothing arrived"),
        (SET_UP_TEXT[:20], "incomplete: 20 characters instead of"),
        (SET_UP_TEXT.lower(), "Caps Lock is on"),
        (SET_UP_TEXT.replace("Q", "A"), "A and Q both arrived as 'A'"),
    ],
)
def test_a_bad_set_up_line_changes_nothing(french, line, reason):
    kept = french.database.with_suffix(".keyboards.json")
    before = kept.read_text("utf-8")

    assert reason in french.fail(2, "scan", "--set-up", given=f"{line}\n")
    assert kept.read_text("utf-8") == before


@pytest.mark.parametrize(
    "content",
    ["", "[]", "{}", '{"format": "other", "devices": {}}', '{"devices": 3}'],
)
def test_a_spoilt_file_is_named_and_not_ignored(stew, content):
    path = stew.database.with_suffix(".keyboards.json")
    path.write_text(content)

    told = stew.fail(14, "scan", given="HELP\n")

    assert path.name in told
    assert "delete it" in told


def test_a_spoilt_line_in_the_file_is_not_used(french):
    path = french.database.with_suffix(".keyboards.json")
    document = json.loads(path.read_text("utf-8"))
    document["devices"] = dict.fromkeys(document["devices"], "LIDCLOCK")
    path.write_text(json.dumps(document))

    assert "delete it" in french.fail(14, "scan", given="HELP\n")


def test_set_up_stands_alone(stew):
    for extra in (("--use",), ("4F7K2M0",), ("--json",), ("--image", "lid.png")):
        assert "stands alone" in stew.fail(2, "scan", "--set-up", *extra)
    assert "stands alone" in stew.fail(2, "scan", "--forget")


def test_the_loop_asks_for_the_set_up_when_a_layout_shows(stew):
    address = "HTTP://LIDCLOCK.LOCAL/A/THAW"

    seen = stew.see("scan", given=scans(address))

    assert "`lidclock scan --set-up`" in seen


def test_a_lid_that_a_layout_changed_asks_for_the_set_up_as_well(stew):
    line = "HTTP://LIDCLOCK.LOCAL/C/4F7K2M1".translate(GERMAN)

    seen = stew.see("scan", given=f"DISCARD\n{line}\n")

    assert "`lidclock scan --set-up`; now looking only" in seen.splitlines()[1]


def test_an_action_that_a_layout_changed_ends_the_one_before(stew):
    """Else the lids after it would be thrown away instead of placed."""
    code = stew.codes()[0]
    changed = "HTTP://LIDCLOCK.LOCAL/A/THAW".translate(FRENCH)

    seen = stew.see("scan", given=f"DISCARD\n{changed}\n{code}\n")

    assert "now looking only" in seen.splitlines()[1]
    assert stew.codes()[0] == code


def test_the_set_up_symbol_in_the_loop_is_known(stew):
    line = SET_UP_TEXT.translate(GERMAN)

    assert "that is the set-up symbol" in stew.see("scan", given=f"{line}\n")


def test_the_action_sheet_bears_the_set_up_symbol(cook, tmp_path):
    from lidclock.labels import read_back
    from lidclock.scan.keyboard import SET_UP_TEXT

    sheet = tmp_path / "actions.pdf"
    cook.run("label", "--actions", "--out", str(sheet))
    read = [one for page in read_back(sheet.read_bytes(), 300) for one in page]

    assert ("QRCode", SET_UP_TEXT) in read
