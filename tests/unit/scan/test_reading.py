"""A line is read once as it stands and once as the scanner meant it."""

from datetime import date

import pytest

from lidclock.domain.codes import is_code
from lidclock.errors import InputError
from lidclock.scan.gs1 import Pack
from lidclock.scan.keyboard import SET_UP_TEXT, learn
from lidclock.scan.payload import ActionRead, CodeRead, Unread
from lidclock.scan.reading import is_of_other_layout, read_line

CODE, OTHER = "4F7K2M0", "B1C2D3B"
YEAR = 2026
PLAIN = learn(SET_UP_TEXT)
SWAPS_YZ = learn(SET_UP_TEXT.translate(str.maketrans("YZ", "ZY")))
# A layout whose symbols change places among those of codes: nothing is certain there.
ROTATED = str.maketrans("0123456789", "1234567890")
ROTATES = learn(SET_UP_TEXT.translate(ROTATED))


def test_a_lid_an_action_and_a_pack_are_told_apart():
    pack = read_line("(01)09501101530003(17)261231", YEAR)

    assert read_line(f"]C0{CODE}\r", YEAR) == CodeRead(CODE)
    assert read_line("FREEZE", YEAR) == ActionRead("FREEZE")
    assert isinstance(pack, Pack)
    assert pack.use_by == date(2026, 12, 31)
    assert read_line("hello", YEAR) == Unread("hello")


def test_a_plain_keyboard_changes_nothing():
    for line in (CODE, "FREEZE", "hello", "Größe"):
        assert read_line(line, YEAR, PLAIN) == read_line(line, YEAR)


def test_a_code_that_two_keyboards_would_give_is_refused():
    """Both spellings are codes, and nothing tells a scan from typing."""
    twin = next(
        text
        for number in range(10**4)
        if is_code(text := f"{number:04}BC0") and is_code(text.translate(ROTATED))
    )

    with pytest.raises(InputError, match="or typed as it stands"):
        read_line(twin.translate(ROTATED), YEAR, ROTATES)


def test_what_has_one_meaning_only_is_taken():
    scanned = CODE.translate(ROTATED)

    assert not is_code(scanned)
    assert read_line(scanned, YEAR, ROTATES) == CodeRead(CODE)
    assert read_line(CODE, YEAR, ROTATES) == CodeRead(CODE)


def test_an_identifier_or_a_separator_tells_that_a_scanner_typed():
    seen = "]C10109501101530003" + "10ZB1\x1d17261231"

    assert read_line(seen, YEAR, SWAPS_YZ).lot == "YB1"


def test_a_printed_place_is_a_number_and_a_typed_one_a_name():
    assert read_line("TO=Pantry", YEAR, SWAPS_YZ) == ActionRead("TO", "Pantry")
    assert read_line("TO=2", YEAR, SWAPS_YZ) == ActionRead("TO", "2")


def test_two_numbers_for_a_place_are_refused():
    with pytest.raises(InputError, match="or typed as it stands"):
        read_line("TO=2", YEAR, ROTATES)


def test_what_is_wrong_with_a_symbol_is_told():
    with pytest.raises(InputError, match="without a GTIN"):
        read_line("(17)261231", YEAR)


@pytest.mark.parametrize(
    "line",
    [
        "HTTPÖ--LIDCLOCK.LOCAL-C-4F7K2M0",
        "httpsÖ--www.zoutube.com",
        "HTTPM!!LIDCLOCK:LOCQL!C!$F",
        "(Fè_écà",
    ],
)
def test_a_line_from_another_layout_is_noticed(line):
    assert is_of_other_layout(line)


@pytest.mark.parametrize(
    "line", [CODE, "HTTP://LIDCLOCK.LOCAL/C/X", "https://a", "Größe 4", "4F7?2M0"]
)
def test_other_lines_are_not_suspected(line):
    assert not is_of_other_layout(line)
