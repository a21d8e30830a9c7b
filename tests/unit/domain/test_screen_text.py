"""Text for a screen: commands to a terminal become signs, everything else stays."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.screen_text import json_shown, shown


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("stew", "stew"),
        ("two\nlines\tand a tab", "two\nlines\tand a tab"),
        ("\x1b[31mred", "\N{SYMBOL FOR ESCAPE}[31mred"),
        ("\x1b]0;title\x07", "\N{SYMBOL FOR ESCAPE}]0;title\N{SYMBOL FOR BELL}"),
        ("a\rb\x08\x00", "a\u240db\u2408\u2400"),
        ("\x7f", "\N{SYMBOL FOR DELETE}"),
        ("\x9b31m", "\ufffd31m"),
        ("a\u202eb\u2066c\u2028d", "a\ufffdb\ufffdc\ufffdd"),
        ("قورمه\u200cسبزی 5 °C · ½", "قورمه\u200cسبزی 5 °C · ½"),
    ],
)
def test_what_would_command_a_terminal_is_shown(text, seen):
    assert shown(text) == seen


@given(st.text())
def test_nothing_that_commands_is_left_and_no_sign_lost(text):
    seen = shown(text)

    assert shown(seen) == seen
    assert len(seen) == len(text)
    assert not any(ord(one) < 32 and one not in "\n\t" for one in seen)
    assert not any(127 <= ord(one) < 160 for one in seen)


# A few leaves are every kind of nesting; a hundred took most of the time to invent.
DOCUMENTS = st.recursive(
    st.text(),
    lambda inner: st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=6,
)


@given(DOCUMENTS)
def test_json_says_the_same_escaped(value):
    document = json_shown(json.dumps(value, ensure_ascii=False, indent=2))

    assert json.loads(document) == value
    assert shown(document) == document
