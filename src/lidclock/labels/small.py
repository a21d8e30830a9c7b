"""Very small lids: name, date, allergens, a Data Matrix and the code in type.

There is no room for bars, nor for an address: the Data Matrix holds the bare code, for
a scanner or the program's own page. What may go is the handling line, then the lines
of facts, the last one first; a date, an allergen or a code is printed whole, or the
label is refused.
"""

from __future__ import annotations

from dataclasses import replace

from lidclock.labels import fit, fonts
from lidclock.labels.draft import Draft, NoRoomError
from lidclock.labels.figure import Box, Figure, Symbol
from lidclock.labels.fit import Fitted
from lidclock.labels.headline import Code
from lidclock.labels.symbols import small_matrix

Row = tuple[str, Fitted]
# From this proportion on the symbol stands beside the text, else below it.
_LOW = 1.4
_GAP_MM = 0.3
_MOST_GAP_MM = 0.7
_MOST_LINES = 3
# The code in type may begin within the column: what is flush right keeps off it.
_BESIDE_CODE_MM = 0.5


def arrange_small(draft: Draft) -> Figure:
    """The whole label, beside or above its symbol."""
    symbol, box = small_matrix(draft.label.code, draft.cell.dots, draft.qr_module_mm)
    is_low = draft.cell.width >= _LOW * draft.cell.height
    (_low if is_low else _tall)(draft, symbol, box)
    return draft.figure()


def _low(draft: Draft, symbol: Symbol, box: Box) -> None:
    """Text on the left, symbol and code at the right."""
    placed = _put_symbol(draft, symbol, box, draft.cell.layout.margin_top_mm)
    right = placed.right - _quiet(box)
    code = _code(draft, placed.width, draft.cell.foot - placed.bottom)
    code.put(draft.texts, draft.boxes, right, placed.bottom)
    column = placed.x - draft.cell.left
    top = draft.cell.layout.margin_top_mm
    end = min(placed.x, right - code.width_mm()) - _BESIDE_CODE_MM
    _place(draft, _rows(draft, column), (top, draft.cell.foot), end)


def _tall(draft: Draft, symbol: Symbol, box: Box) -> None:
    """Text above; at the foot the symbol with the code beside it."""
    side = box.height - 2 * _quiet(box)
    top = draft.cell.dots.down(draft.cell.foot - side)
    placed = _put_symbol(draft, symbol, box, top)
    width = placed.x - draft.cell.left
    code = _code(draft, width, placed.height)
    left = draft.cell.left + code.width_mm()
    code.put(draft.texts, draft.boxes, left, draft.cell.foot - code.height_mm)
    above = min(placed.y, draft.cell.foot - code.height_mm) - _GAP_MM
    across = draft.cell.right - draft.cell.left
    top = draft.cell.layout.margin_top_mm
    _place(draft, _rows(draft, across), (top, above), draft.cell.right)


def _quiet(box: Box) -> float:
    return -box.x


def _put_symbol(draft: Draft, symbol: Symbol, box: Box, top: float) -> Box:
    """The symbol at the right margin; its quiet modules may lie in the margin."""
    dots, quiet = draft.cell.dots, _quiet(box)
    side = box.width - 2 * quiet
    x = dots.down(min(draft.cell.right, draft.cell.width - quiet) - side)
    y = dots.up(max(quiet, top)) if top < draft.cell.height / 2 else dots.down(top)
    y = min(y, dots.down(draft.cell.height - quiet - side))
    draft.symbols.append(replace(symbol, x=x, y=y))
    placed = replace(box, x=x - quiet, y=y - quiet)
    draft.boxes.append(placed)
    return placed


def _code(draft: Draft, width: float, height: float) -> Code:
    """The code in type as large as the room allows, on one line or two."""
    typed = draft.label.typed_code()
    shapes = (tuple(typed.split()), (typed,))
    for size in fit.sizes(*draft.cell.layout.code_pt):
        for lines in shapes:
            code = Code(lines, size)
            if code.width_mm() <= width and code.height_mm <= height:
                return code
    raise NoRoomError("there is no room for its code in type")


def _rows(draft: Draft, width: float) -> list[Row]:
    """Name, date, note, facts, handling, allergens: what the plan leaves of them."""
    label, layout = draft.label, draft.cell.layout
    size = draft.size(layout.body_pt)
    name = fit.name(
        *(label.name, fonts.BOLD, width),
        *(draft.size(layout.name_pt), layout.name_pt[1]),
        may_cut=not draft.plan.whole_name,
    )
    date = fit.shrink(
        *(label.headline, fonts.BOLD, width),
        *(draft.size(layout.headline_pt), layout.headline_pt[1]),
    )
    if name is None or date is None:
        raise NoRoomError("its name or its date does not fit on one line")
    rows = [("name", name), _line("word", label.headline_word, fonts.BOLD, width, size)]
    rows.append(("headline", date))
    if label.headline_note:
        rows.append(_line("note", label.headline_note, fonts.BOLD, width, size))
    rows += _facts(draft, width, size)
    face = fonts.BOLD if label.allergens else fonts.REGULAR
    rows.append(_line("allergens", label.allergen_line(), face, width, size))
    return rows


def _facts(draft: Draft, width: float, size: float) -> list[Row]:
    """The facts and the handling line, as far as the plan keeps them.

    The first line of facts goes last: pulled and ready, opened, made.
    """
    label, plan = draft.label, draft.plan
    kept = label.lines if plan.whole_handling else label.lines[: int(plan.all_lines)]
    rows = []
    if not plan.flowing and label.handling:
        rows.append(_line("handling", label.handling, fonts.REGULAR, width, size))
    elif label.handling:
        draft.shortened.append("handling")
    if kept:
        text = " · ".join(kept)
        rows.insert(0, _line("line", text, fonts.REGULAR, width, size))
    if len(kept) < len(label.lines):
        draft.shortened.append("line")
    return rows


def _line(kind: str, text: str, face: str, width: float, size: float) -> Row:
    fitted = fit.whole(text, face, width, size, most_lines=_MOST_LINES)
    if fitted is None:
        raise NoRoomError(f'"{text}" is too long')
    return kind, fitted


def _place(
    draft: Draft, rows: list[Row], extent: tuple[float, float], right: float
) -> None:
    """The rows one under the other, spread a little, in a column up to `right`."""
    top, bottom = extent
    free = bottom - top - sum(fitted.height_mm for _, fitted in rows)
    gap = min(free / max(len(rows) - 1, 1), _MOST_GAP_MM)
    if gap < (0.0 if draft.tight else _GAP_MM):
        raise NoRoomError("there is more text than room")
    y = top
    for kind, fitted in rows:
        y = draft.put(kind, fitted, draft.cell.left, y, right) + gap
