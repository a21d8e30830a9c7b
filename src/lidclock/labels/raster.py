"""Pages as a printer sets them: one pixel for each of its dots."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from lidclock.labels.grid import grid

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PIL.Image import Image

_PT_PER_MM = 72 / 25.4
# Page sizes are kept to about seven figures: less than this of a dot is their rounding.
_ROUNDING = 1e-3


def pages_in_dots(pdf: bytes, dpi: int) -> Iterator[Image]:
    """Each page in grey, as many whole dots as lie on it, from its top-left corner.

    A renderer stretches a page to whole pixels, which blurs every bar. So the page is
    cut to whole dots first, by less than one at the right and at the foot.
    """
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            yield _in_dots(page, 1 / (grid(dpi).mm * _PT_PER_MM))
            page.close()
    finally:
        document.close()


def _in_dots(page: Any, scale: float) -> Image:
    width, height = page.get_size()
    across, down = (
        max(1, math.floor(length * scale + _ROUNDING)) for length in (width, height)
    )
    # A whisker below the whole number, since the renderer rounds up.
    right, top = (across - _ROUNDING) / scale, (down - _ROUNDING) / scale
    page.set_mediabox(0, height - top, right, height)
    image: Image = page.render(scale=scale, grayscale=True).to_pil()
    return image
