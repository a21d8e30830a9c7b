"""A stock of labels as a small drawing: its page with its cells, to scale."""

from __future__ import annotations

from functools import cache

from lidclock.labels.stock import Stock

_HEIGHT, _WIDEST = 72.0, 110.0
# A roll has no end: so much of it is shown.
_LABELS_OF_ROLL = 3


@cache
def picture(stock: Stock) -> str:
    """An inline SVG, hidden from readers: what it shows has to be said beside it."""
    pitch_mm = stock.pitch_y_mm or stock.label_height_mm
    is_roll = stock.kind == "roll"
    down = _LABELS_OF_ROLL if is_roll else stock.down
    height_mm = pitch_mm * down if is_roll else stock.page_height_mm
    scale = min(_HEIGHT / height_mm, _WIDEST / stock.page_width_mm)
    width, height = stock.page_width_mm * scale, height_mm * scale
    cells = "".join(
        _cell(stock, column, row, scale)
        for row in range(down)
        for column in range(stock.across)
    )
    return (
        f'<svg class="stock" aria-hidden="true" width="{width:.0f}" '
        f'height="{height:.0f}" viewBox="-1 -1 {width + 2:.1f} {height + 2:.1f}">'
        f'<rect class="page" width="{width:.1f}" height="{height:.1f}"/>'
        f'<path class="cells" d="{cells}"/></svg>'
    )


def _cell(stock: Stock, column: int, row: int, scale: float) -> str:
    """One label: a rectangle, or a circle out of two halves."""
    x = (stock.left_mm + column * stock.pitch_x_mm) * scale
    y = (stock.top_mm + row * stock.pitch_y_mm) * scale
    wide, high = stock.label_width_mm * scale, stock.label_height_mm * scale
    if stock.shape == "round":
        half = wide / 2
        arc = f"a{half:.1f} {half:.1f} 0 1 0"
        return f"M{x:.1f} {y + half:.1f}{arc} {wide:.1f} 0{arc} {-wide:.1f} 0z"
    return f"M{x:.1f} {y:.1f}h{wide:.1f}v{high:.1f}h{-wide:.1f}z"
