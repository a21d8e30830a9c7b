"""`label` is a command and a group: codes on the one side, words on the other."""

import pytest

from lidclock.cli.label_group import COMMANDS
from lidclock.cli.options import GAP_AFTER
from lidclock.domain.codes import ALPHABET, is_code, normalise

# What may stand after `label` some day is to be no code either.
WORDS = sorted({*COMMANDS, "preview", "stock", "calibrate", "retail"})


@pytest.mark.parametrize("word", WORDS)
def test_no_word_after_label_is_a_code_as_it_is_written(word):
    assert not set(word.upper()) <= set(ALPHABET)


@pytest.mark.parametrize("word", WORDS)
def test_no_word_after_label_is_the_first_half_of_a_code(word):
    assert len(word) != GAP_AFTER


def test_the_one_code_that_reads_like_a_word_is_still_a_code_in_capitals(stew):
    """With I read as 1, PREVIEW is PREV1EW, whose check symbol is right."""
    assert is_code(normalise("preview"))
    assert "'PREVIEW' is not in this kitchen" in stew.fail(
        11, "label", "PREVIEW", "--out", "a.pdf"
    )


@pytest.mark.parametrize("gap", ["", " "])
def test_codes_are_labelled_wherever_the_options_stand(stew, gap):
    first, second = (f"{one[:3]}{gap}{one[3:]}".split() for one in stew.codes()[:2])
    stew.run("label", *first, "--out", "a.pdf", *second)
    stew.run("label", "--out", "b.pdf", *first)

    assert (stew.folder / "a.pdf").exists()
    assert (stew.folder / "b.pdf").exists()


def test_help_lists_the_options_and_the_words(newcomer):
    seen = newcomer.see("label", "--help")

    assert seen.startswith("Usage: main label [OPTIONS] [CODE]...")
    assert "--unlabelled" in seen
    for word in COMMANDS:
        assert f"\n  {word} " in seen


def test_help_after_a_code_is_that_of_the_command(newcomer):
    seen = newcomer.see("label", "4F7K2M0", "--help")

    assert seen.startswith("Usage: main label [OPTIONS] [CODE]...")


def test_options_before_a_word_are_put_right(newcomer):
    refused = newcomer.fail(2, "label", "--stock", "a4-3x8", "preview", "4F7K2M0")

    assert "'preview' comes first" in refused
    assert "`main label preview ...`" in refused


def test_a_file_or_a_printer_may_be_called_like_a_word(stew):
    stew.run("label", "--batch", "1", "--out", "stock")

    assert (stew.folder / "stock").read_bytes().startswith(b"%PDF")


def test_without_anything_it_is_said_what_is_missing(newcomer):
    refused = newcomer.fail(2, "label")

    assert refused.startswith("Error: Missing option '--out' or '--print'")


def test_what_is_neither_code_nor_word_is_refused(stew):
    refused = stew.fail(11, "label", "reprint", "--out", "a.pdf")

    assert "'reprint' is not a container code" in refused
