"""Whatever is scanned: an answer or a refusal, and never a code that was not there."""

from __future__ import annotations

import string
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.codes import ALPHABET, check_symbol, is_code
from lidclock.errors import InputError
from lidclock.scan.gs1 import Pack, read_pack
from lidclock.scan.gs1_elements import has_right_check
from lidclock.scan.keyboard import SET_UP_TEXT, KeyMap, learn
from lidclock.scan.partial import completions, differences
from lidclock.scan.payload import CodeRead, Unread
from lidclock.scan.reading import Reading, is_of_other_layout, read_line
from lidclock.scan.wedge import GS, Line, clean

YEAR = 2026
data = st.text(alphabet=ALPHABET, min_size=6, max_size=6)
codes = data.map(lambda text: text + check_symbol(text))
years = st.integers(2000, 2099)
# Set 82 of the GS1 General Specifications, without the brackets that people add.
LOT = string.ascii_letters + string.digits + "!\"%&'*+,-./:;<=>?_"
lots = st.text(alphabet=LOT, min_size=1, max_size=20)
days = st.dates(date(2020, 1, 1), date(2060, 12, 31))
gtins = st.integers(1, 10**13 - 1).map(
    lambda n: next(text for d in range(10) if has_right_check(text := f"{n:013}{d}"))
)
SYMBOLS = sorted(set(SET_UP_TEXT))
keyboards = st.permutations(SYMBOLS).map(
    lambda keys: str.maketrans(dict(zip(SYMBOLS, keys, strict=True)))
)
noise = st.one_of(
    st.text(),
    st.text(alphabet="()0123456789]CdQEe/:.?=&%+\x1d\r ABhtps", max_size=60),
    st.builds(
        "{}{}".format,
        st.sampled_from(["]C1", "]d2", "]Q3", "]E0", "]e0", "]C0", "]I1", "(01)", ""]),
        st.text(alphabet=LOT + "()" + GS, max_size=40),
    ),
    st.builds("https://a/01/{}?{}".format, st.text(max_size=20), st.text(max_size=20)),
)


def read(text: str, keymap: KeyMap | None = None) -> Reading | InputError:
    try:
        return read_line(text, YEAR, keymap)
    except InputError as error:
        return error


@given(noise, keyboards)
def test_any_text_gives_an_answer_or_a_refusal(text, keyboard):
    keymap = _learnt(keyboard)
    for one in (read(text), read(text, keymap)):
        if isinstance(one, CodeRead):
            assert is_code(one.code)
        if isinstance(one, Pack):
            assert has_right_check(one.gtin)

    assert isinstance(is_of_other_layout(text), bool)


@given(noise)
def test_a_text_that_holds_no_code_gives_none(text):
    """Were one made up, its symbols would not stand in the text as they are read."""
    one = read(text)

    if isinstance(one, CodeRead):
        shown = "".join(x for x in text.upper() if x not in " -\t")
        for seen, meant in (("O", "0"), ("I", "1"), ("L", "1")):
            shown = shown.replace(seen, meant)
        assert one.code in shown


@given(codes, st.integers(0, 6), st.sampled_from(ALPHABET))
def test_one_wrong_symbol_is_never_read_as_another_code(code, place, symbol):
    wrong = code[:place] + symbol + code[place + 1 :]

    one = read(wrong)

    assert one == CodeRead(code) if wrong == code else isinstance(one, Unread)


def _learnt(keyboard: dict[int, str]) -> KeyMap:
    """The map of one host; where Caps Lock is supposed, that of the plain one."""
    try:
        return learn(SET_UP_TEXT.translate(keyboard))
    except InputError:
        return learn(SET_UP_TEXT)


@given(codes, keyboards)
def test_on_any_keyboard_a_scan_is_read_right_or_not_at_all(code, keyboard):
    keymap = _learnt(keyboard)
    if keymap.typed != SET_UP_TEXT.translate(keyboard):
        return
    one = read(code.translate(keyboard), keymap)

    assert one == CodeRead(code) or isinstance(one, InputError)


@given(codes, keyboards)
def test_a_scan_with_its_identifier_is_read_right_on_any_keyboard(code, keyboard):
    keymap = _learnt(keyboard)
    if keymap.typed != SET_UP_TEXT.translate(keyboard):
        return
    seen = "".join(f"]C0{code}").translate(keyboard)

    assert read(seen, keymap) in (CodeRead(code), read(seen))


@given(st.text(alphabet=SYMBOLS, max_size=40), keyboards)
def test_undoing_gives_back_what_the_scanner_meant(text, keyboard):
    keymap = _learnt(keyboard)
    if keymap.typed == SET_UP_TEXT.translate(keyboard):
        assert keymap.undo(text.translate(keyboard)) == text


@given(gtins, lots, days)
def test_a_pack_reads_the_same_however_it_comes(gtin, lot, day):
    yymmdd = f"{day:%y%m%d}"
    ways = [
        f"]C101{gtin}17{yymmdd}10{lot}",
        f"]d201{gtin}10{lot}{GS}17{yymmdd}\r",
        f"(01){gtin}(17){yymmdd}(10){lot}",
    ]

    for way in ways:
        pack = read_pack(clean(way), YEAR)

        assert (pack.gtin, pack.lot, pack.use_by) == (gtin, lot, day)


@given(gtins, lots, days)
def test_a_lost_separator_never_loses_a_date_without_a_word(gtin, lot, day):
    text = f"01{gtin}10{lot}17{day:%y%m%d}"

    try:
        pack = read_pack(Line(text, "]C1"), YEAR)
    except InputError:
        return
    assert pack.use_by == day


@given(codes, st.sets(st.integers(0, 6), max_size=2))
def test_what_can_be_read_of_a_code_completes_to_it_among_others(code, lost):
    pattern = "".join("?" if i in lost else x for i, x in enumerate(code))

    found = list(completions(pattern))

    assert code in found
    assert all(is_code(one) and not differences(pattern, one) for one in found)
