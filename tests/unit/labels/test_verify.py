"""Reading back: what did not read exactly is reported."""

from __future__ import annotations

from lidclock.labels import draw_sheet, load_stock, read_back, verify


def test_a_label_gives_its_code_and_its_address(make):
    pdf = draw_sheet([make()], load_stock("roll-50x25"))

    assert read_back(pdf) == [
        [("Code128", "4F7K2M0"), ("QRCode", "HTTP://LIDCLOCK.LOCAL/C/4F7K2M0")]
    ]


def test_a_missing_label_is_reported(make):
    pdf = draw_sheet([make()], load_stock("roll-50x25"))

    assert verify(pdf, [make(), make("B1C2D3B")]) == [
        "Code128 B1C2D3B was not read",
        "QRCode HTTP://LIDCLOCK.LOCAL/C/B1C2D3B was not read",
    ]


def test_a_label_too_many_is_reported(make):
    pdf = draw_sheet([make(), make("B1C2D3B")], load_stock("roll-50x25"))

    assert verify(pdf, [make()]) == [
        "Code128 B1C2D3B is on no label",
        "QRCode HTTP://LIDCLOCK.LOCAL/C/B1C2D3B is on no label",
    ]


def test_the_same_label_twice_must_be_read_twice(make):
    pdf = draw_sheet([make()], load_stock("roll-50x25"))

    assert len(verify(pdf, [make(), make()])) == 2
