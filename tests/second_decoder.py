"""zbar reads symbols too: nothing of it had a hand in drawing or in `verify`.

zxing-cpp makes our Data Matrix and is what the program itself reads with; zbar (the
library libzbar, through pyzbar) is another program by other people. It knows Code 128
and QR, not Data Matrix.
"""

from __future__ import annotations

import os
from functools import cache

import pypdfium2
import pytest

from lidclock.labels.grid import grid

CODE128, QR = "Code128", "QRCode"
NO_LIBRARY = "libzbar is not installed: apt-get install libzbar0"
_NAMES = {"CODE128": CODE128, "QRCODE": QR}


@cache
def pyzbar():
    """The binding, or None where the library it binds is missing."""
    try:
        from pyzbar import pyzbar as binding
    except ImportError:
        return None
    return binding


def need_zbar():
    """Skip the test where there is no libzbar; where `.ci/run` runs, there must be."""
    if pyzbar() is None and os.environ.get("CI") != "true":
        pytest.skip(NO_LIBRARY)
    assert pyzbar() is not None, NO_LIBRARY


def zbar_reads(image):
    """Every symbol zbar finds in a picture, as (format, text), sorted."""
    binding = pyzbar()
    kinds = [getattr(binding.ZBarSymbol, name) for name in _NAMES]
    found = binding.decode(image, symbols=kinds)
    return sorted((_NAMES[one.type], one.data.decode("utf-8")) for one in found)


def pages(pdf, dpi):
    """Each page as a printer of that resolution would see it, in grey."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            scale = 25.4 / grid(dpi).mm / 72
            yield page.render(scale=scale, grayscale=True).to_pil()
            page.close()
    finally:
        document.close()
