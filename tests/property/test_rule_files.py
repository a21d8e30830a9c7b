"""Whatever stands in a rule file: it is read, or refused in one clear line."""

import re

from hypothesis import given
from hypothesis import strategies as st

from lidclock.app.guidance import read_local
from lidclock.errors import LidclockError
from lidclock.guidance.compile import DATA, source_names

LOCAL = """\
[set]
extends = "us-home"
title = "Ours"
authority = "A county"
advice = "Ask the county."

[counting]
freeze_day = "counts"

[source.s]
authority = "A county"
document = "D"
year = "2026"
url = "u"
verified = true
grade = "local"

[[rule]]
id = "ours.stew"
kind = "day-count"
source = "s"
section = "2"
says = "Stews of this kitchen."
categories = ["soup-stew"]
packs = ["air"]
days = 2
"""
VALUES = st.one_of(
    st.sampled_from(
        [
            *("0", "-1", "2.5", "1e400", "nan", "inf", "true", "[]", "[1]", "[3, 1]"),
            *(
                '""',
                '"x"',
                '"\\u0000"',
                "[[1]]",
                "{}",
                "{a = 1}",
                "2026-11-02",
                "12:30",
            ),
            *(
                '["soup-stew", 7]',
                '["moon"]',
                "999999999999999999999",
                '"' + "y" * 5000,
            ),
        ]
    ),
    st.integers(-5, 1200).map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
)
SHIPPED = [(DATA / f"{name}.toml").read_text("utf-8") for name in source_names()]
ALL_KEYS = sorted(
    {key for text in SHIPPED for key in re.findall(r"^(\w+) =", text, re.M)}
)


def refused_or_read(text):
    """The one line of the refusal, or nothing where it was read."""
    try:
        read_local(text, "ours.toml")
    except LidclockError as error:
        return str(error)
    return ""


@given(st.data())
def test_a_line_with_any_value_is_read_or_refused_in_one_line(data):
    lines = LOCAL.splitlines()
    number = data.draw(st.integers(0, len(lines) - 1))
    key = data.draw(
        st.sampled_from([*ALL_KEYS, "approved_by", "approved_on", "replaces", "moon"])
    )
    changed = f"{key} = {data.draw(VALUES)}"
    if data.draw(st.booleans()) and "=" in lines[number]:
        lines[number] = changed
    else:
        lines.insert(number, changed)

    said = refused_or_read("\n".join(lines))

    assert "\n" not in said
    assert said == "" or "ours.toml" in said or "no guidance set" in said


@given(st.data())
def test_a_file_that_was_cut_or_scrambled_is_read_or_refused(data):
    start = data.draw(st.integers(0, len(LOCAL)))
    length = data.draw(st.integers(0, 60))
    text = data.draw(st.text(max_size=8))

    said = refused_or_read(LOCAL[:start] + text + LOCAL[start + length :])

    assert said == "" or "ours.toml" in said or "no guidance set" in said


@given(st.text(max_size=300))
def test_any_text_is_read_or_refused(text):
    assert "ours.toml" in refused_or_read(text)
