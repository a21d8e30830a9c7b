"""Reading labels back: rasterise the PDF as a printer would and decode every symbol."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lidclock.labels.content import ActionLabel, Label
from lidclock.labels.layout import load_layout
from lidclock.labels.raster import pages_in_dots
from lidclock.labels.stock import Stock

Reading = tuple[str, str]
CODE128 = "Code128"
QR = "QRCode"
DATA_MATRIX = "DataMatrix"


def read_back(pdf: bytes, dpi: int = 203) -> list[list[Reading]]:
    """For each page, every symbol found on it as (format, text), sorted."""
    import zxingcpp

    names = {
        zxingcpp.BarcodeFormat.Code128: CODE128,
        zxingcpp.BarcodeFormat.QRCode: QR,
        zxingcpp.BarcodeFormat.DataMatrix: DATA_MATRIX,
    }
    formats = zxingcpp.BarcodeFormats(list(names))
    return [
        sorted(
            (names[one.format], one.text)
            for one in zxingcpp.read_barcodes(image, formats=formats)
        )
        for image in pages_in_dots(pdf, dpi)
    ]


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
    read = Counter(one for page in read_back(pdf, dpi) for one in page)
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
    lost = [f"{kind} {text} was not read" for kind, text in (due - read).elements()]
    extra = [f"{kind} {text} is on no label" for kind, text in (read - due).elements()]
    return [*lost, *extra]
