"""The list to copy onto tape by hand."""

from __future__ import annotations

from lidclock.labels import plain


def test_a_block_is_aligned_and_complete(make):
    label = make(headline_word="BEST BY", headline_note="house rule, no authority")

    assert plain([label]).splitlines() == [
        "Braised filling",
        "BEST BY  Tue 3 Nov 2026 (house rule, no authority)",
        "         made Sat 31 Oct 17:40 · 240 g · box 1 of 4",
        "         Keep at 5 °C or colder.",
        "         SOY · WHEAT",
        "code     4F7 K2M0",
    ]


def test_no_line_is_longer_than_a_page(every_case):
    assert max(len(line) for line in plain(every_case).splitlines()) <= 72


def test_every_label_has_a_block(every_case):
    assert plain(every_case).count("code ") == len(every_case)


def test_no_labels_give_no_text():
    assert plain([]) == ""
