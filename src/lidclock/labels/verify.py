"""Reading labels back: rasterise the PDF as a printer would and decode every symbol."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from lidclock.labels.content import ActionLabel, Label
from lidclock.labels.layout import load_layout
from lidclock.labels.raster import pages_in_dots
from lidclock.labels.stock import Stock

if TYPE_CHECKING:
    from PIL.Image import Image

Reading = tuple[str, str]
CODE128 = "Code128"
QR = "QRCode"
DATA_MATRIX = "DataMatrix"


def read_back(pdf: bytes, dpi: int = 203) -> list[list[Reading]]:
    """For each page, every symbol found on it as (format, text), sorted."""
    return [read_picture(image) for image in pages_in_dots(pdf, dpi)]


def read_picture(image: Image) -> list[Reading]:
    """Every symbol found in a picture as (format, text), sorted."""
    import zxingcpp

    names = {
        zxingcpp.BarcodeFormat.Code128: CODE128,
        zxingcpp.BarcodeFormat.QRCode: QR,
        zxingcpp.BarcodeFormat.DataMatrix: DATA_MATRIX,
    }
    formats = zxingcpp.BarcodeFormats(list(names))
    found = zxingcpp.read_barcodes(image, formats=formats)
    return sorted((names[one.format], one.text) for one in found)


def verify(
    pdf: bytes,
    labels: Sequence[Label | ActionLabel],
    dpi: int = 203,
    *,
    stock: Stock | None = None,
) -> list[str]:
    """What did not read exactly: each label must give its code and its address.

    Very small stock bears the code alone, as a Data Matrix.
    """
    return faults(chain.from_iterable(read_back(pdf, dpi)), labels, stock=stock)


def faults(
    read: Iterable[Reading],
    labels: Sequence[Label | ActionLabel],
    *,
    stock: Stock | None = None,
) -> list[str]:
    """The same of symbols that were read already: what is missing, what is too much."""
    is_small = stock is not None and load_layout(stock.layout).is_small
    due = Counter(
        one
        for label in labels
        for one in (
            ((DATA_MATRIX, label.code),)
            if is_small
            else ((CODE128, label.code), (QR, label.uri))
        )
        if one[1]
    )
    found = Counter(read)
    lost = [f"{kind} {text} was not read" for kind, text in (due - found).elements()]
    extra = [f"{kind} {text} is on no label" for kind, text in (found - due).elements()]
    return [*lost, *extra]
