"""Arranging a label for sale: as large as it goes, nothing that matters cut.

The text runs over the whole width down to the symbol's column and then beside it; the
net quantity stands at the foot on the left, the code above its symbol on the right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lidclock.errors import LabelError
from lidclock.labels import fit, fonts
from lidclock.labels.draft import NoRoomError
from lidclock.labels.figure import Figure, moved
from lidclock.labels.grid import grid
from lidclock.labels.retail_content import NET, RetailLabel
from lidclock.labels.retail_draft import (
    Cell,
    Draft,
    Parted,
    Setting,
    put_bars,
    put_line,
    put_symbol,
    reach,
)
from lidclock.labels.retail_layout import RetailLayout, load_retail_layout
from lidclock.labels.retail_text import Line
from lidclock.labels.stock import Stock, list_stock, load_stock

_BARS = "bars"
_MOST_NET_LINES = 2
# Lists and longer paragraphs are filled line by line.
_MOST_BALANCED = 4


def arrange_retail(label: RetailLabel, stock: Stock, dpi: int = 203) -> Figure:
    """Place everything the label says on one cell of the stock.

    Type shrinks to its floor while lines wrap, then parts go in their declared order.
    Raises LabelError, with the stock on which it would fit, rather than cut anything.
    """
    parts = [Parted.of(part) for part in label.parts]
    figure, reason = _arranged(label, parts, stock, dpi)
    if figure is not None:
        return figure
    raise LabelError(
        f"label {label.code} ({label.name}) does not fit on stock {stock.name}: "
        f"{reason}; {_larger(label, parts, stock, dpi)}"
    )


def _larger(label: RetailLabel, parts: list[Parted], stock: Stock, dpi: int) -> str:
    """The stock on which it would fit, the smallest first."""
    found = []
    for name in list_stock():
        other = load_stock(name)
        if name != stock.name and _barest(label, parts, other, dpi) is None:
            area = other.label_width_mm * other.label_height_mm
            found.append((area, name))
    if not found:
        return "nor on any other stock; use fewer words"
    return f"it would fit on {', '.join(name for _, name in sorted(found))}"


def _arranged(
    label: RetailLabel, parts: list[Parted], stock: Stock, dpi: int
) -> tuple[Figure | None, str]:
    """The first attempt that succeeds, or why the barest one fails."""
    reason = _barest(label, parts, stock, dpi)
    if reason is not None:
        return None, reason
    cell, (x, y) = _cell(stock, dpi)
    for kept, has_bars, dropped in _plans(parts):
        if _refusal(label, kept, cell, has_bars=has_bars) is not None:
            continue
        for settings in _settings(kept, cell.layout, has_bars=has_bars):
            drafts = (Draft(label, cell, setting) for setting in settings)
            # What takes the least room comes last: without it none of them fits.
            if _tried(Draft(label, cell, settings[-1]), kept, dropped) is None:
                continue
            found = (_tried(draft, kept, dropped) for draft in drafts)
            figure = next(one for one in found if one is not None)
            return moved(figure, x, y), ""
    return None, "there is more text than room"


def _tried(
    draft: Draft, parts: list[Parted], dropped: tuple[str, ...]
) -> Figure | None:
    try:
        return _attempt(draft, parts, dropped)
    except NoRoomError:
        return None


def _cell(stock: Stock, dpi: int) -> tuple[Cell, tuple[float, float]]:
    """The room on one label of the stock, and where it begins."""
    layout, dots = load_retail_layout(), grid(dpi)
    x, y = (dots.up(one) for one in stock.inset_mm(layout))
    wide, tall = stock.label_width_mm - 2 * x, stock.label_height_mm - 2 * y
    return Cell(wide, tall, layout, dots), (x, y)


def _plans(
    parts: list[Parted],
) -> Iterator[tuple[list[Parted], bool, tuple[str, ...]]]:
    """What stays, whether the bars do, and what went: in the declared order."""
    yield parts, True, ()
    yield parts, False, (_BARS,)
    kept, dropped = parts, [_BARS]
    for level in sorted({x.part.drop for x in parts if x.part.drop is not None}):
        dropped += [x.part.kind for x in kept if x.part.drop == level]
        kept = [x for x in kept if x.part.drop != level]
        yield kept, False, tuple(dropped)


def _barest(
    label: RetailLabel, parts: list[Parted], stock: Stock, dpi: int
) -> str | None:
    """Why not even the barest attempt fits; None if it does."""
    cell, _ = _cell(stock, dpi)
    *_, (kept, has_bars, _) = _plans(parts)
    return _refusal(label, kept, cell, has_bars=has_bars)


def _refusal(
    label: RetailLabel, parts: list[Parted], cell: Cell, *, has_bars: bool
) -> str | None:
    """Why these parts do not fit even at their smallest; None if they do."""
    try:
        _attempt(Draft(label, cell, _least(parts, cell.layout, has_bars)), parts, ())
    except NoRoomError as error:
        return str(error)
    return None


def _least(parts: list[Parted], layout: RetailLayout, has_bars: bool) -> Setting:
    """The setting that takes the least room."""
    gap, leading = layout.air[-1]
    floor = min(one.least_pt for one in parts)
    return Setting(floor, layout.qr_module_mm[-1], gap, leading, has_bars)


def _settings(
    parts: list[Parted], layout: RetailLayout, *, has_bars: bool
) -> Iterator[list[Setting]]:
    """The largest type first, each with more and less air, larger and smaller symbol.

    Lines stand close only at the smallest type.
    """
    floor = min(one.least_pt for one in parts)
    for size in fit.sizes(max(layout.body_pt, floor), floor):
        airs = layout.air if size <= floor else layout.air[:-1]
        yield [
            Setting(size, module, gap, leading, has_bars)
            for gap, leading in airs
            for module in layout.qr_module_mm
        ]


def _attempt(draft: Draft, parts: list[Parted], dropped: tuple[str, ...]) -> Figure:
    put_symbol(draft)
    limit = _put_foot(draft, next(x for x in parts if x.part.style == NET))
    y = draft.cell.layout.margin_top_mm
    for parted in parts:
        if parted.part.style == NET:
            continue
        if parted.part.kind == draft.label.line_above:
            y = put_line(draft, y)
        size = draft.size(parted)
        lines = _wrapped(draft, parted, y, size)
        y = draft.put(parted, lines, y, size)
        if y > limit:
            raise NoRoomError("there is more text than room")
        y += draft.setting.gap_mm
    return draft.figure(dropped)


def _wrapped(draft: Draft, parted: Parted, y: float, size: float) -> list[Line]:
    """The part's lines from `y` down, each as wide as the room at its height."""
    tall = sum(reach(parted)) * size * fonts.MM_PER_PT
    step = draft.leading(parted, size)
    full = draft.cell.right - draft.cell.left

    def room(n: int) -> float:
        return draft.width_at(y + n * step + tall)

    lines = parted.words.wrap(size, room, full)
    if lines is None:
        raise NoRoomError(f"a word of the {parted.part.kind} is too long")
    by_piece = _by_piece(parted, size, room, full)
    if 1 < len(by_piece) <= len(lines):
        return by_piece
    if 1 < len(lines) <= _MOST_BALANCED and not parted.part.is_headed:
        return _balanced(parted, lines, size, [room(n) for n in range(len(lines))])
    return lines


def _by_piece(
    parted: Parted, size: float, room: Callable[[int], float], full: float
) -> list[Line]:
    """Each piece on lines of its own; nothing where one does not fit."""
    lines: list[Line] = []
    for one in parted.pieces:
        more = one.wrap(size, _after(len(lines), room), full)
        if more is None:
            return []
        lines += more
    return lines


def _balanced(
    parted: Parted, lines: list[Line], size: float, room: list[float]
) -> list[Line]:
    """As many lines, of like width: no single word left over on the last."""
    narrow, wide = 0.0, max(room)
    for _ in range(8):
        middle = (narrow + wide) / 2
        tried = parted.words.wrap(size, _within(middle, room), max(room))
        if tried is not None and len(tried) == len(lines):
            lines, wide = tried, middle
        else:
            narrow = middle
    return lines


def _after(count: int, room: Callable[[int], float]) -> Callable[[int], float]:
    return lambda n: room(n + count)


def _within(width: float, room: list[float]) -> Callable[[int], float]:
    return lambda n: min(width, room[min(n, len(room) - 1)])


def _put_foot(draft: Draft, net: Parted) -> float:
    """The net quantity at the foot, the bars above it; where text must end."""
    cell, setting = draft.cell, draft.setting
    size = draft.size(net)
    width = draft.width_at(cell.foot)
    lines = net.words.wrap(size, lambda _: width, width)
    if lines is None or len(lines) > _MOST_NET_LINES:
        raise NoRoomError("its net quantity does not fit beside the symbol")
    above, below = (part * size * fonts.MM_PER_PT for part in reach(net))
    tall = above + below + (len(lines) - 1) * draft.leading(net, size)
    top = cell.foot - tall
    draft.put(net, lines, top, size)
    if setting.has_bars:
        top = put_bars(draft, top - setting.gap_mm)
    return top - setting.gap_mm
