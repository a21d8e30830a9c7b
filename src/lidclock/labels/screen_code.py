"""A QR of an address on a screen: as half blocks in a terminal, as SVG in a page."""

from __future__ import annotations

import io

_SCALE = 6


def on_terminal(text: str) -> str:
    """The symbol in block characters, light on dark or dark on light."""
    import segno

    out = io.StringIO()
    segno.make(text, error="m", micro=False).terminal(out, compact=True)
    return out.getvalue()


def as_svg(text: str, says: str) -> str:
    """The symbol as an SVG element; `says` is what a screen reader reads."""
    import segno

    symbol = segno.make(text, error="m", micro=False)
    drawn: str = symbol.svg_inline(
        scale=_SCALE,
        dark="#000",
        light="#fff",
        title=says,
        svgclass="qr",
        omitsize=True,
    )
    return drawn.replace("<svg ", '<svg role="img" ', 1)
