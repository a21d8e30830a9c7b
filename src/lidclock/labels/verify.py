"""Reading labels back: rasterise the PDF as a printer would and decode every symbol."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lidclock.labels.content import ActionLabel, Label
from lidclock.labels.grid import grid
from lidclock.labels.layout import load_layout
from lidclock.labels.stock import Stock

Reading = tuple[str, str]
CODE128 = "Code128"
QR = "QRCode"
DATA_MATRIX = "DataMatrix"
_MM_PER_INCH = 25.4
_PT_PER_INCH = 72


def read_back(pdf: bytes, dpi: int = 203) -> list[list[Reading]]:
    """For each page, every symbol found on it as (format, text), sorted."""
    import pypdfium2
    import zxingcpp

    scale = _MM_PER_INCH / grid(dpi).mm / _PT_PER_INCH
    names = {
        zxingcpp.BarcodeFormat.Code128: CODE128,
        zxingcpp.BarcodeFormat.QRCode: QR,
        zxingcpp.BarcodeFormat.DataMatrix: DATA_MATRIX,
    }
    formats = zxingcpp.BarcodeFormats(list(names))
    pages = []
    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            image = page.render(scale=scale, grayscale=True).to_pil()
            page.close()
            found = zxingcpp.read_barcodes(image, formats=formats)
            pages.append(sorted((names[one.format], one.text) for one in found))
    finally:
        document.close()
    return pages


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
