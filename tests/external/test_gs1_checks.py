"""GS1's own examples and rules, as far as reading a supplier's pack touches them.

data/gs1_checks.json holds each with its source: the GS1 General Specifications
(figures of release 21.0.1 as transcribed in zint's tests, release 18 for in-house
numbers), the GS1 Syntax Dictionary and its linters (ff2eb4bf), the Digital Link cases
of the GS1 Syntax Engine (50657dbd) and of the BWIPP documentation. Where the source
writes `^`, an FNC1 is meant.
"""

import json
import re
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from lidclock.app.photos import symbols_in
from lidclock.errors import InputError
from lidclock.scan.gs1 import full_year, read_day, read_pack
from lidclock.scan.gs1_elements import elements, has_right_check
from lidclock.scan.wedge import MESSAGE_AIMS, clean

DATA = Path(__file__).parent / "data" / "gs1_checks.json"
CASES = json.loads(DATA.read_text("utf-8"))
BY_ID = {case["id"]: case for case in CASES}
GTIN = "(01)09501101530003"
YEAR = 2026
# No FNC1 is needed behind these: flag * in the GS1 Syntax Dictionary (case gs1-fnc1).
PREDEFINED = re.compile(r"0[0-4]|1[1-9]|20|3[1-6]|41")


def of(topic, *, but=()):
    """Cases of one topic as test parameters."""
    return [
        pytest.param(case, id=case["id"])
        for case in CASES
        if case["topic"] == topic and case["id"] not in but
    ]


def pairs(bracketed):
    """`(01)...(10)...` cut up by the test itself."""
    return re.findall(r"\(([0-9]+)\)([^(]+)", bracketed)


def with_fnc1(found):
    """Element strings in the notation of the GS1 Syntax Engine."""
    text = "^"
    for number, (ai, value) in enumerate(found, start=1):
        ends = number == len(found) or PREDEFINED.match(ai)
        text += ai + value + ("" if ends else "^")
    return text


def is_rejected(text):
    try:
        return read_pack(clean(text), YEAR) is None
    except InputError:
        return True


def drawn(widths, path):
    """A symbol from its published bar and space widths, as a photo."""
    row = "".join(
        ("1", "0")[place % 2] * int(width) for place, width in enumerate(widths)
    )
    quiet = 10
    image = Image.new("L", (len(row) + 2 * quiet, 40), 255)
    for x, module in enumerate(row, start=quiet):
        if module == "1":
            image.paste(0, (x, 0, x + 1, 40))
    image.resize((image.width * 3, 120), Image.Resampling.NEAREST).save(path)
    return path


@pytest.mark.parametrize("case", of("gs1-128"))
def test_a_published_symbol_is_seen_and_its_element_strings_read(case, tmp_path):
    photo = drawn(case["expected"]["bar_space_widths"], tmp_path / "figure.png")

    seen = symbols_in(photo)

    assert [text[:3] for text in seen] == [case["expected"]["aim_id"]]
    assert elements(clean(seen[0])) == pairs(case["input"])


@pytest.mark.parametrize("case", of("gs1-element-string", but=["gs1-fnc1"]))
def test_a_published_element_string_reads_as_it_stands_in_brackets(case):
    scanned = case["expected"].replace("]C1 ", "]C1").replace("<GS>", "\x1d")

    assert elements(clean(scanned)) == pairs(case["input"])


GOOD_LINKS = ["dl-01", "dl-02", "dl-03", "dl-04", "dl-05"]


@pytest.mark.parametrize("name", GOOD_LINKS)
def test_a_digital_link_of_the_engine_gives_its_element_strings(name):
    case = BY_ID[name]

    assert with_fnc1(elements(clean(case["input"]))) == case["expected"]


@pytest.mark.parametrize("name", ["dl-bad-00", "dl-bad-03", "dl-bad-04"])
def test_a_digital_link_that_the_engine_rejects_is_rejected(name):
    assert BY_ID[name]["expected"] == "rejected"
    assert is_rejected(BY_ID[name]["input"])


def test_the_documented_digital_links_give_gtin_batch_and_expiry():
    first, second = (
        read_pack(clean(BY_ID[name]["input"]), YEAR)
        for name in ("dl-doc-55", "dl-doc-56")
    )

    assert (first.gtin, first.lot) == ("09521234543213", "ABC123")
    assert dict(first.elements)["21"] == "12345"
    assert (second.lot, second.use_by) == ("ABC123", date(2026, 12, 31))


@pytest.mark.parametrize("case", of("gs1-check-digit"))
def test_check_digits_are_right_where_gs1_says_so(case):
    assert has_right_check(case["input"]) == (case["expected"] == "valid")


@pytest.mark.parametrize("case", of("gs1-century"))
def test_the_century_is_the_nearest(case):
    seen_from, yy = case["input"]["current_year"], int(case["input"]["yy"])

    assert full_year(yy, seen_from) == case["expected"]


@pytest.mark.parametrize(
    ("yy", "year"), [(0, 2000), (26, 2026), (76, 2076), (77, 1977), (99, 1999)]
)
def test_in_2026_the_century_turns_between_76_and_77(yy, year):
    """The rule of lint_yymmd0.c: 51 years ahead and more is the century before."""
    assert full_year(yy, 2026) == year


DAYS = ["gs1date-000229", "gs1date-200229", "gs1date-240229"]


@pytest.mark.parametrize("name", DAYS)
def test_a_day_that_gs1_calls_valid_is_one(name):
    text = BY_ID[name]["input"]

    assert BY_ID[name]["expected"] == "valid"
    assert read_day(text, YEAR) == date(2000 + int(text[:2]), 2, 29)


@pytest.mark.parametrize("name", ["gs1date-200230", "gs1date-210229"])
def test_a_day_that_gs1_calls_invalid_is_refused(name):
    assert BY_ID[name]["expected"] == "invalid"
    with pytest.raises(InputError, match="no date"):
        read_day(BY_ID[name]["input"], YEAR)


def test_day_00_is_the_last_of_the_month():
    case = BY_ID["gs1date-last-1"]

    pack = read_pack(clean(f"{GTIN}(17){case['input']}"), YEAR)

    assert pack.use_by == date.fromisoformat(case["expected"])


def test_day_00_of_a_leap_february_is_the_29th():
    """Same source as gs1date-last-1: 160200 means 2016-02-29."""
    assert read_day("160200", YEAR) == date(2016, 2, 29)


@pytest.mark.parametrize("ai", ["11", "12", "13", "15", "16", "17"])
def test_day_00_is_taken_where_the_dictionary_lets_it(ai):
    value = BY_ID["gs1date-00-d0"]["input"]["value"]

    assert read_pack(clean(f"{GTIN}({ai}){value}"), YEAR).gtin == GTIN[4:]


@pytest.mark.parametrize("ai", ["7003", "7006", "7007", "7011", "8008"])
def test_day_00_is_refused_where_the_dictionary_forbids_it(ai):
    value = BY_ID["gs1date-00-strict"]["input"]["value"]
    hours = {"7003": "1200", "8008": "12"}.get(ai, "")

    with pytest.raises(InputError, match="has no day"):
        read_pack(clean(f"{GTIN}({ai}){value}{hours}"), YEAR)


NEED_GTIN = {
    "10": "AB12",
    **dict.fromkeys(("11", "13", "15", "16", "17"), "261231"),
    "21": "X1",
    "7003": "2612311200",
}


@pytest.mark.parametrize("ai", NEED_GTIN)
def test_what_belongs_to_a_product_is_refused_without_its_number(ai):
    assert ai in re.findall(r"[0-9]+", BY_ID["gs1-assoc"]["expected"])
    with pytest.raises(InputError, match=rf"\({ai}\) without a GTIN"):
        read_pack(clean(f"({ai}){NEED_GTIN[ai]}"), YEAR)


def test_the_noted_symbol_without_a_number_is_refused():
    with pytest.raises(InputError, match="without a GTIN"):
        read_pack(clean("]C11526123110AB12"), YEAR)


def test_a_number_of_a_single_house_is_known_as_such():
    case = BY_ID["rcn-04"]
    number = re.search(r"[0-9]{13}", case["expected"])[0]

    pack = read_pack(clean(f"]E0{number}"), YEAR)

    assert pack.gtin == "0" + number
    assert pack.is_local


def named_in(words):
    """The identifiers in a phrase such as `11-17 dates,20,31nn-36nn,41n`."""
    found = set()
    for first, last in re.findall(r"([0-9]+)n*(?:-([0-9]+))?", words):
        found |= {f"{n:02}" for n in range(int(first), int(last or first) + 1)}
    return found


NO_FNC1, FNC1 = BY_ID["gs1-fnc1"]["expected"].replace("(?)", "").split(";")
# An element string for each identifier, or group of them, that the case names.
STRINGS = {
    **{ai: f"{ai}261231" for ai in ("11", "12", "13", "15", "16", "17")},
    **{"20": "2005", "31": "3102000400", "33": "3302000400", "41": "4109501101530003"},
    **{"10": "10AB12", "21": "21X1", "30": "3012", "37": "3712"},
    **{"7003": "70032612311200", "7006": "7006261231", "7007": "7007261231"},
    **{"90": "90AB", "99": "99AB"},
}


@pytest.mark.parametrize("ai", [ai for ai in STRINGS if ai in named_in(NO_FNC1)])
def test_no_separator_is_wanted_behind_what_has_a_predefined_length(ai):
    found = elements(clean(f"]C10109501101530003{STRINGS[ai]}10AB12"))

    assert [found[0], found[-1]] == [("01", "09501101530003"), ("10", "AB12")]
    assert len(found) == 3


@pytest.mark.parametrize("ai", [ai for ai in STRINGS if ai not in named_in(NO_FNC1)])
def test_a_separator_is_wanted_behind_everything_else(ai):
    """Without one nobody knows where it ends, and with one it reads."""
    assert ai in FNC1 or "90-99" in FNC1
    parted = elements(clean(f"]C10109501101530003{STRINGS[ai]}\x1d17261231"))

    assert parted[-1] == ("17", "261231")
    with pytest.raises(InputError):
        elements(clean(f"]C10109501101530003{STRINGS[ai]}17261231"))


@pytest.mark.parametrize("aim", ["]C0", "]C2", "]Q1", "]d1"])
def test_symbols_that_do_not_begin_with_fnc1_hold_no_element_strings(aim):
    told = BY_ID[f"aim-{aim[1:]}"]["expected"]
    assert "FNC1" not in told.replace("no FNC1", "").replace("FNC1 in 2nd position", "")
    assert elements(clean(f"{aim}010950110153000317261231")) is None


@pytest.mark.parametrize("aim", ["]d2", "]Q3"])
def test_symbols_that_begin_with_fnc1_hold_element_strings(aim):
    assert "FNC1" in BY_ID[f"aim-{aim[1:]}"]["expected"]
    assert aim in MESSAGE_AIMS
    assert elements(clean(f"{aim}010950110153000317261231")) == [
        ("01", "09501101530003"),
        ("17", "261231"),
    ]
