"""Messages for a page: what only a command line can follow is left out of them."""

import pytest

from lidclock.domain.advice import without_commands
from lidclock.domain.sentences import sentence


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        (
            "it was already used; record that it was opened all the same with --anyway",
            "it was already used",
        ),
        (
            "that is a pack (GTIN 1): `lidclock open --symbol -`",
            "that is a pack (GTIN 1)",
        ),
        (
            "no place 'Shed' in this kitchen; there are Fridge, Freezer "
            "(add one with `lidclock place add`)",
            "no place 'Shed' in this kitchen; there are Fridge, Freezer",
        ),
        ("say who takes it: --to NAME", "say who takes it"),
        ("how thick is it? `lidclock plan food x`", "how thick is it?"),
        ("give --anyway", "give"),
    ],
)
def test_commands_and_what_hangs_on_them_are_left_out(text, shown):
    assert without_commands(text) == shown


@pytest.mark.parametrize(
    "text",
    [
        "no food; check the lid",
        "no food '--soup' in this kitchen",
        "no food 'a`b' in this kitchen",
        "3--4 days",
        "",
    ],
)
def test_what_names_no_command_is_as_it_was(text):
    assert without_commands(text) == text


def test_a_sentence_stays_one():
    words = sentence("no food {name}", name="soup")

    assert without_commands(words) is words
