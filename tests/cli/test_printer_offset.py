"""Offsets: added up, refused where they are none, and in every page that is printed."""

from __future__ import annotations

import pytest
from PIL import Image

from lidclock.app import printing
from lidclock.labels.preview import picture
from unit.gateways.conftest import (  # noqa: F401
    QUICK,
    _label_printer,
    bus,
    label_printer,
)
from unit.gateways.real_printers import codes_in

STEW = ("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "1")
# Ten dots of an 8 dots/mm head to the right, four up.
OFFSET_MM = (1.25, -0.5)
OFFSET_DOTS = (10, -4)


@pytest.fixture(autouse=True)
def _quick(monkeypatch):
    monkeypatch.setattr(printing, "PATIENCE", QUICK)


@pytest.fixture
def bench(cook, label_printer):  # noqa: F811
    """A cook with one box of stew and a roll printer."""
    cook.run("printer", "add", "Bench", label_printer.address, "--stock", "roll-50x25")
    cook.run(*STEW, "--portion", "350g", "--no-labels")
    return cook


def calibrate(cook, *words):
    return cook.see("label", "calibrate", "--printer", "Bench", *words)


def ink(pdf):
    """Left and top of what stands on the first page, in dots of a 203 dpi head."""
    inverse = Image.eval(picture(pdf, 203), lambda grey: 255 - grey)
    return inverse.point(lambda grey: 255 if grey > 128 else 0).getbbox()[:2]


def last_document(printer):
    newest = max(printer.folder.glob("arrived-*"), key=lambda path: int(path.name[8:]))
    return newest.read_bytes()


def moved(printer, print_once, tell):
    """How far the print moves, in dots, once the printer is told."""
    print_once()
    before = ink(last_document(printer))
    tell()
    print_once()
    after = ink(last_document(printer))
    return after[0] - before[0], after[1] - before[1]


@pytest.mark.parametrize(
    "words",
    [
        ("label", "--batch", "1", "--print", "Bench"),
        ("label", "--actions", "--print", "Bench"),
        ("printer", "test", "Bench"),
        (*STEW, "--portion", "1g", "--print", "Bench", "--place", "Fridge"),
    ],
)
def test_every_kind_of_page_is_printed_where_the_printer_was_told(
    bench,
    label_printer,  # noqa: F811
    words,
):
    right, down = map(str, OFFSET_MM)
    found = moved(
        label_printer,
        lambda: bench.run(*words),
        lambda: calibrate(bench, "--right", right, "--down", down),
    )

    assert found == OFFSET_DOTS


def test_an_offset_at_the_call_comes_on_top_of_the_printers(bench, label_printer):  # noqa: F811
    bench.run("label", "--batch", "1", "--print", "Bench")
    before = ink(last_document(label_printer))
    calibrate(bench, "--right", "1")
    bench.run("label", "--batch", "1", "--print", "Bench", "--offset", "0.25,-0.5")
    after = ink(last_document(label_printer))

    assert (after[0] - before[0], after[1] - before[1]) == OFFSET_DOTS


def test_what_was_moved_is_still_read_back_and_whole(bench, label_printer):  # noqa: F811
    calibrate(bench, "--right", "1.3", "--down", "-0.7")
    seen = bench.see("label", "--batch", "1", "--print", "Bench")

    assert "every symbol read back" in seen
    assert len(codes_in(last_document(label_printer))[0]) == 2


def test_what_leaves_the_label_is_told(bench):
    """Ten millimetres to the right, the QR symbol lies beyond the label's edge."""
    calibrate(bench, "--right", "10")
    seen = bench.see("label", "--batch", "1", "--print", "Bench")

    assert "QRCode HTTP://LIDCLOCK.LOCAL/C/" in seen
    assert "was not read" in seen


def test_offsets_add_up_as_each_page_shows_what_is_left(bench):
    first = calibrate(bench, "--right", "1.5", "--down", "-0.5")
    second = calibrate(bench, "--right", "-0.25")

    assert first == "Bench: prints 1.5 mm right, 0.5 mm up from now on\n"
    assert second == "Bench: prints 1.25 mm right, 0.5 mm up from now on\n"
    assert bench.data("printer", "list")[0]["offset_mm"] == [1.25, -0.5]
    assert "roll-50x25  prints 1.25 mm right, 0.5 mm up  idle" in bench.see(
        "printer", "list"
    )


def test_reset_begins_from_none(bench):
    calibrate(bench, "--right", "1.5", "--down", "-0.5")

    assert calibrate(bench, "--reset", "--down", "2") == (
        "Bench: prints 2 mm down from now on\n"
    )
    assert calibrate(bench, "--reset") == "Bench: prints where it takes the paper\n"
    assert bench.data("printer", "list")[0]["offset_mm"] == [0.0, 0.0]


def test_asked_for_nothing_else_it_says_where_a_printer_prints(bench):
    calibrate(bench, "--right", "1.5")

    assert calibrate(bench) == "Bench: prints 1.5 mm right\n"


@pytest.mark.parametrize(
    "words",
    [
        ("--right", "21"),
        ("--right", "-22"),
        ("--right", "nan"),
        ("--down", "nan"),
        ("--right", "1", "--down", "inf"),
    ],
)
def test_what_is_no_offset_changes_nothing(bench, words):
    calibrate(bench, "--right", "1.5")
    refused = bench.fail(2, "label", "calibrate", "--printer", "Bench", *words)

    assert "an offset lies within 20 mm" in refused
    assert bench.data("printer", "list")[0]["offset_mm"] == [1.5, 0.0]


def test_two_offsets_that_go_too_far_together_are_refused(bench):
    calibrate(bench, "--right", "15")
    refused = bench.fail(2, "label", "calibrate", "--printer", "Bench", "--right", "6")

    assert "Bench would print +21 mm to the right" in refused


@pytest.mark.parametrize("offset", ["1.5", "1,2,3", "nan,0", "0,nan", "0,21", "x,y"])
def test_what_is_no_offset_for_a_file_is_refused(bench, offset):
    refused = bench.fail(
        2, "label", "--batch", "1", "--out", "a.pdf", f"--offset={offset}"
    )

    assert "is no offset: two millimetres" in refused
    assert not (bench.folder / "a.pdf").exists()


@pytest.mark.parametrize("words", [("--right", "1"), ("--reset",), ("--print",)])
def test_whose_offset_it_is_has_to_be_said(bench, words):
    assert "'--printer'" in bench.fail(2, "label", "calibrate", *words)


def test_an_unknown_printer_is_named_with_those_there_are(bench):
    words = ("label", "calibrate", "--printer", "Office", "--right", "1")

    assert "no printer 'Office' in this kitchen; there is Bench" in bench.fail(
        11, *words
    )
